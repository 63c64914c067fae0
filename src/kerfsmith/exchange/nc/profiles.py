"""The section of an NC part: by its name where the tables know it, else from the header's dimensions."""

import re
from collections.abc import Callable

from kerfsmith.catalog.hollow import CornerRule, hollow_section
from kerfsmith.catalog.section import Section
from kerfsmith.errors import InvalidValue, Severity, UnknownName, UnreadableText
from kerfsmith.exchange.nc.part import CODES, NcHeader, Notebook
from kerfsmith.exchange.section_cells import SectionReader
from kerfsmith.geometry.shapes import (
    Angle,
    Beam,
    Channel,
    Flat,
    RectTube,
    Round,
    RoundTube,
    Shape,
    Tee,
)
from kerfsmith.units.length import Unit
from kerfsmith.units.told import Told, sentence, together

_SIZE_SLACK = 0.01
"""Tables in mm round inch sizes to whole millimetres: sizes within a hundredth or 1.5 mm are one."""
_SIZE_SLACK_MM = 1.5
_WALL_SLACK = 0.06
_WALL_SLACK_MM = 0.6


def section_of(header: NcHeader, read_section: SectionReader, notes: Notebook) -> Section | None:
    """The part's section, None (and told) where neither name nor dimensions give one."""
    named = _named(header, read_section)
    if named is not None and _is_drawn(named):
        return named
    if header.code not in CODES:
        return _of_unknown_code(header, named, notes)
    if header.code in ("RO", "RU"):
        return _round(header, read_section, notes)
    if header.code == "B":
        return _flat(header, notes)
    if header.code == "SO":
        if named is not None:
            return _checked(header, named, notes)
        _fail(notes, header, "is a special profile (code SO), whose shape its header doesn't give")
        return None
    return _checked(header, named, notes) if named is not None else _built(header, notes)


def _is_drawn(section: Section) -> bool:
    return section.shape.kind == "drawn"


def _named(header: NcHeader, read_section: SectionReader) -> Section | None:
    text = re.sub(r"(?<=\d)\s*\*\s*(?=\d)", "x", header.profile)
    try:
        return read_section(text, bare=Unit.MM, decimal=".") if text else None
    except (UnreadableText, UnknownName, InvalidValue):
        return None


def _of_unknown_code(header: NcHeader, named: Section | None, notes: Notebook) -> Section | None:
    known = ", ".join(CODES)
    if named is None:
        _fail(
            notes,
            header,
            sentence(
                "has the profile code {code}, which is none of {known}", code=f"{header.code!r}", known=known
            ),
            "code",
        )
        return None
    notes.tell(
        Severity.WARNING,
        "nc-code",
        sentence(
            "is no profile code (these are {known}); the section was taken by its name, {named}",
            known=known,
            named=named.name,
        ),
        "Check the section, or write the file out again",
        row=header.rows.get("code"),
        about="code",
        read=header.code,
    )
    return _checked(header, named, notes)


def _checked(header: NcHeader, section: Section, notes: Notebook) -> Section | None:
    """The section found by name, refused where the header's dimensions contradict it."""
    shape = section.shape
    outline = shape.outline()
    own = sorted((outline.width_mm, outline.height_mm))
    told = sorted((header.height_mm, header.flange_width_mm))
    differing = []
    if all(told) and not all(
        _near(a, b, _SIZE_SLACK, _SIZE_SLACK_MM) for a, b in zip(own, told, strict=True)
    ):
        differing.append(
            sentence(
                "{height} x {width} mm where it has {own_height} x {own_width}",
                height=f"{told[1]:g}",
                width=f"{told[0]:g}",
                own_height=f"{own[1]:.4g}",
                own_width=f"{own[0]:.4g}",
            )
        )
    for name, wall, its in (
        ("web", header.web_thickness_mm, _wall(shape, "web_mm")),
        ("flange", header.flange_thickness_mm, _wall(shape, "flange_mm")),
    ):
        if wall and its and not _near(wall, its, _WALL_SLACK, _WALL_SLACK_MM):
            differing.append(
                sentence(
                    "a {name} of {wall} mm where it has {its}",
                    name=Told(name),
                    wall=f"{wall:g}",
                    its=f"{its:g}",
                )
            )
    if not differing:
        return section
    _fail(
        notes,
        header,
        sentence(
            "is {section}, but the header tells {differing}",
            section=section.name,
            differing=together(differing),
        ),
    )
    return None


def _wall(shape: Shape, field: str) -> float | None:
    value = getattr(shape, field, None)
    if value is None and isinstance(shape, Angle | RectTube | RoundTube):
        value = shape.wall_mm
    return float(value) if isinstance(value, int | float) else None


def _near(one: float, other: float, share: float, slack_mm: float) -> bool:
    return abs(one - other) <= max(slack_mm, share * max(one, other))


def _round(header: NcHeader, read_section: SectionReader, notes: Notebook) -> Section | None:
    """Bar or tube: the wall decides, for programs have mixed the two codes up."""
    diameter = header.height_mm or header.flange_width_mm
    wall = header.flange_thickness_mm or header.web_thickness_mm
    is_tube = 0 < wall < 0.49 * diameter
    if is_tube != (header.code == "RO"):
        what = (
            sentence("a round tube of {wall} mm wall", wall=f"{wall:g}")
            if is_tube
            else Told("a solid round bar")
        )
        means = Told("round tube (German Rohr)") if header.code == "RO" else Told("round bar (German rund)")
        notes.tell(
            Severity.WARNING,
            "nc-round",
            sentence(
                "is the code of a {means}, but the wall thickness says {what}; the wall was believed",
                means=means,
                what=what,
            ),
            "Check whether it is bar or tube",
            row=header.rows.get("code"),
            about="code",
            read=header.code,
        )
    text = f"tube {diameter:g} mm OD x {wall:g} mm wall" if is_tube else f"round {diameter:g} mm"
    plain = _try(header, notes, lambda: _shape_section(text, _round_shape(diameter, wall, is_tube=is_tube)))
    named = _named(header, read_section)
    if plain is None or named is None or named.shape.kind != plain.shape.kind:
        return plain
    return _checked(header, named, notes)


def _round_shape(diameter_mm: float, wall_mm: float, *, is_tube: bool) -> Shape:
    return RoundTube(diameter_mm, wall_mm) if is_tube else Round(diameter_mm)


def _flat(header: NcHeader, notes: Notebook) -> Section | None:
    thickness = header.web_thickness_mm or header.flange_thickness_mm or header.flange_width_mm
    # Some programs tell a plate's thickness as its height, and its width as that of the flange.
    swapped = header.height_mm == thickness < header.flange_width_mm
    sizes = sorted((header.flange_width_mm if swapped else header.height_mm, thickness), reverse=True)
    section = _try(
        header,
        notes,
        lambda: _shape_section(f"flat {sizes[0]:g} x {sizes[1]:g} mm", Flat(sizes[0], sizes[1])),
    )
    numbers = sorted(float(number) for number in re.findall(r"\d+(?:\.\d+)?", header.profile))
    if section is None or len(numbers) != 2:
        return section
    if all(_near(a, b, _SIZE_SLACK, 0.1) for a, b in zip(numbers, sorted(sizes), strict=True)):
        return section
    told = sentence(
        "says {name_height} x {name_width}, but the header {height} x {width} mm",
        name_height=f"{numbers[1]:g}",
        name_width=f"{numbers[0]:g}",
        height=f"{sizes[0]:g}",
        width=f"{sizes[1]:g}",
    )
    _fail(notes, header, told)
    return None


def _built(header: NcHeader, notes: Notebook) -> Section | None:
    """A section from the header's dimensions, told as such."""
    name = header.profile or f"{CODES[header.code]} {header.height_mm:g} x {header.flange_width_mm:g} mm"
    section = _try(header, notes, lambda: _shape_section(name, _shape(header)))
    if section is not None:
        lips = Told(" without the lips, which it doesn't give") if header.code == "C" else ""
        notes.tell(
            Severity.WARNING,
            "nc-section-built",
            sentence(
                "is no section of the tables kept here; it was built as {shape} from the "
                "header's dimensions{lips}",
                shape=CODES[header.code],
                lips=lips,
            ),
            "Check its dimensions; bars of it on the rack must be named by the same dimensions",
            row=header.rows.get("profile"),
            about="profile",
            read=header.profile,
        )
    return section


def _shape(header: NcHeader) -> Shape:
    """The shape by its code. Raises InvalidValue where the dimensions make none."""
    height, width, radius = header.height_mm, header.flange_width_mm, header.radius_mm
    flange, web = header.flange_thickness_mm, header.web_thickness_mm
    match header.code:
        case "I":
            return Beam(height, width, web, flange, radius)
        case "U":
            return Channel(height, width, web, flange, radius)
        case "C":
            return Channel(height, width, web or flange, flange or web, radius)
        case "T":
            return Tee(height, width, web, flange, radius)
        case "L":
            return Angle(height, width, web or flange, radius)
        case _:
            return _tube(height, width, web or flange, radius)


def _tube(height_mm: float, width_mm: float, wall_mm: float, radius_mm: float) -> Shape:
    if radius_mm > wall_mm:
        return RectTube(width_mm, height_mm, wall_mm, radius_mm, radius_mm - wall_mm)
    return hollow_section(width_mm, height_mm, wall_mm, CornerRule.EN_10219)


def _shape_section(name: str, shape: Shape) -> Section:
    return Section(name, shape)


def _try(header: NcHeader, notes: Notebook, make: Callable[[], Section]) -> Section | None:
    try:
        return make()
    except (InvalidValue, ArithmeticError) as fault:
        _fail(notes, header, sentence("can't be built from the header's dimensions: {fault}", fault=fault))
        return None


def _fail(notes: Notebook, header: NcHeader, problem: str, about: str = "profile") -> None:
    read = header.profile if about == "profile" else header.code
    remedy = sentence("Correct the profile in the file, or {remedy}", remedy=notes.remedies.section)
    notes.tell(
        Severity.ERROR, f"nc-{about}", problem, remedy, row=header.rows.get(about), about=about, read=read
    )

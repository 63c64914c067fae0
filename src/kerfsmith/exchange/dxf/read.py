"""A DXF file as a section."""

import io
from collections import Counter
from dataclasses import dataclass, field

from ezdxf import recover
from ezdxf.document import Drawing
from ezdxf.lldxf.const import DXFError

from kerfsmith.catalog.section import Section
from kerfsmith.errors import Finding, InvalidValue, Severity
from kerfsmith.exchange.dxf.chains import GAP_MM, Unclosed, chain
from kerfsmith.exchange.dxf.pieces import (
    CURVE_MM,
    MOST_PIECES,
    Found,
    NotFlatError,
    TooManyPiecesError,
    collect,
)
from kerfsmith.geometry.affine import Point
from kerfsmith.geometry.drawing import drawn_outline
from kerfsmith.geometry.outline import Outline
from kerfsmith.geometry.pieces import Piece
from kerfsmith.geometry.shapes import Drawn
from kerfsmith.units.length import Unit
from kerfsmith.units.told import Told, sentence, together

MOST_BYTES = 10 * 1024 * 1024
UNITS_MM = {1: 25.4, 2: 304.8, 4: 1.0, 5: 10.0, 6: 1000.0, 8: 25.4e-6, 9: 0.0254, 13: 0.001, 14: 100.0}
"""$INSUNITS: 1 inch, 2 foot, 4 mm, 5 cm, 6 m, 8 microinch, 9 mil, 13 micrometre, 14 dm."""
TOLD_MM = {Unit.MM: 1.0, Unit.CM: 10.0, Unit.M: 1000.0, Unit.INCH: 25.4, Unit.FOOT: 304.8}
LARGEST_MM, LEAST_MM = 1_500.0, 2.0
"""No bar of a saw room is wider than 1.5 m, nor thinner than 2 mm: beyond either the unit is wrong."""


@dataclass(frozen=True, slots=True)
class DrawnRead:
    """What a drawing gave: the section, or None with findings that say why; ``unit_mm`` is its unit in mm."""

    section: Section | None
    findings: tuple[Finding, ...]
    unit_mm: float | None = None
    pieces: tuple[Piece, ...] = ()
    """The lines and arcs found, mm, also where they make no section."""
    amiss: tuple[Point, ...] = ()
    """Where lines end in nothing, or more than two in one place, mm."""

    @property
    def needs_unit(self) -> bool:
        """Whether only its unit of length is missing."""
        return any(finding.code == "dxf-unit-missing" for finding in self.findings)


@dataclass(slots=True)
class _Notes:
    file: str
    findings: list[Finding] = field(default_factory=list)
    unit_mm: float | None = None
    pieces: tuple[Piece, ...] = ()
    amiss: tuple[Point, ...] = ()

    def tell(self, severity: Severity, code: str, problem: str, remedy: str, read: str = "") -> None:
        self.findings.append(Finding(code, severity, self.file, None, None, read, problem, remedy))

    def fail(self, code: str, problem: str, remedy: str, read: str = "") -> None:
        self.tell(Severity.ERROR, code, problem, remedy, read)


def read_dxf_section(
    file: str, data: bytes, *, name: str, unit: Unit | None = None, bare: Unit | None = None
) -> DrawnRead:
    """The section drawn in a DXF file, called ``name``.

    Closed outlines of lines, arcs, circles, polylines with bulges, ellipses and free curves, in blocks and on
    any layer that is seen; outlines within outlines are holes. ``unit`` is the drawing's unit as a person
    says it, which holds even where $INSUNITS says another; ``bare`` is one to take where neither says any.
    Never raises for anything in ``data``: what can't be used makes findings.
    """
    notes = _Notes(file)
    outline = _outline(data, unit, bare, notes)
    section = None
    if outline is not None:
        try:
            section = Section(name, Drawn(outline, name), f"drawing {file}")
        except InvalidValue as fault:
            notes.fail(
                "dxf-section",
                sentence("makes no section: {fault}", fault=fault.said),
                "Draw the outline again",
            )
    return DrawnRead(section, tuple(notes.findings), notes.unit_mm, notes.pieces, notes.amiss)


def _outline(data: bytes, unit: Unit | None, bare: Unit | None, notes: _Notes) -> Outline | None:
    drawing = _opened(data, notes)
    scale = _scale(drawing, unit, bare, notes) if drawing is not None else None
    if drawing is None or scale is None:
        return None
    notes.unit_mm = scale
    found = _collected(drawing, scale, notes)
    if found is None:
        return None
    notes.pieces = tuple(found.pieces)
    try:
        chained = chain(found.pieces)
        if isinstance(chained, Unclosed):
            notes.amiss = (*chained.open, *chained.many)
            _tell_unclosed(chained, notes)
            return None
        for gap, place in chained.gaps:
            problem = sentence(
                "has a gap of {gap} mm at {place}, which was joined", gap=f"{gap:.3g}", place=_at(place)
            )
            notes.tell(Severity.WARNING, "dxf-gap", problem, "Close it in the drawing, if it is none")
        if chained.dropped:
            problem = sentence(
                "holds {dropped} pieces that are doubled or tiny; they were left out", dropped=chained.dropped
            )
            notes.tell(Severity.NOTE, "dxf-doubled", problem, "Nothing")
        outline = drawn_outline(chained.loops)
        _tell_apart(outline, notes)
        return _sized(outline, notes)
    except (InvalidValue, ArithmeticError) as fault:
        notes.fail(
            "dxf-outline",
            sentence("makes no outline: {fault}", fault=fault),
            "Mend the drawing there and save it again",
        )
        return None


def _opened(data: bytes, notes: _Notes) -> Drawing | None:
    if len(data) > MOST_BYTES:
        problem = sentence("has more than {most_bytes} MB", most_bytes=MOST_BYTES // 2**20)
        notes.fail("dxf-too-large", problem, "Save only the section's outline in a file of its own")
        return None
    try:
        drawing, _ = recover.read(io.BytesIO(data))
    except (DXFError, OSError, ValueError, LookupError, TypeError, AttributeError, ArithmeticError,
            RecursionError, MemoryError, AssertionError):  # fmt: skip
        notes.fail("dxf-unreadable", "is no DXF drawing that can be read", "Save it as DXF R2000 or later")
        return None
    return drawing


def _scale(drawing: Drawing, unit: Unit | None, bare: Unit | None, notes: _Notes) -> float | None:
    """Mm to one unit of the drawing."""
    code = drawing.header.get("$INSUNITS", 0)
    own = UNITS_MM.get(code)
    if unit is not None and own not in (None, TOLD_MM[unit]):
        problem = sentence(
            "says that its unit is {own} mm, and was read in {unit} as told", own=own, unit=unit
        )
        notes.tell(Severity.WARNING, "dxf-unit", problem, "Compare the size with the drawing")
    if unit is not None or own is not None:
        return TOLD_MM[unit] if unit is not None else own
    if bare is not None:
        return TOLD_MM[bare]
    notes.fail(
        "dxf-unit-missing",
        Told("doesn't say in which unit it is drawn ($INSUNITS)")
        if not code
        else Told("is drawn in a unit unknown here"),
        "Say mm or in, or set the unit in the drawing",
        f"$INSUNITS {code}" if code else "",
    )
    return None


def _collected(drawing: Drawing, scale: float, notes: _Notes) -> Found | None:
    found = Found(scale, _hidden_layers(drawing))
    try:
        collect(drawing.modelspace(), found)
    except TooManyPiecesError:
        problem = sentence(
            "holds more than {most_pieces} pieces, more than a section has", most_pieces=MOST_PIECES
        )
        notes.fail("dxf-too-many", problem, "Save only the section's outline in a file of its own")
        return None
    except NotFlatError as fault:
        problem = sentence("holds a {fault} that doesn't lie in the plane of the drawing", fault=fault)
        notes.fail("dxf-not-flat", problem, "Save a flat view of the section")
        return None
    except (DXFError, InvalidValue, ValueError, LookupError, TypeError, AttributeError, ArithmeticError,
            RecursionError) as fault:  # fmt: skip
        problem = sentence("holds an entity that can't be read: {kind}", kind=type(fault).__name__)
        notes.fail("dxf-entity", problem, "Mend the drawing and save it again")
        return None
    for kinds, severity, problem in (
        (found.passed, Severity.NOTE, Told("holds entities beside its outline, which were passed over")),
        (
            found.strange,
            Severity.WARNING,
            Told("holds entities that can't be understood; they were left out"),
        ),
    ):
        if kinds:
            notes.tell(
                severity, "dxf-passed", problem, "Nothing, if none is part of the outline", _list(kinds)
            )
    if found.curves:
        problem = sentence(
            "holds {curves} ellipses or free curves, taken as chords within {curve} mm",
            curves=found.curves,
            curve=CURVE_MM,
        )
        notes.tell(Severity.NOTE, "dxf-curves", problem, "Nothing")
    if not found.pieces:
        notes.fail(
            "dxf-empty", "holds no line, arc or polyline", "Save the section's outline as closed polylines"
        )
        return None
    return found


def _hidden_layers(drawing: Drawing) -> frozenset[str]:
    """Layers that are off or frozen, and the one of points that no drawing is printed with."""
    hidden = (layer.dxf.name for layer in drawing.layers if layer.is_off() or layer.is_frozen())
    return frozenset(name.casefold() for name in (*hidden, "defpoints"))


def _list(kinds: Counter[str]) -> str:
    return ", ".join(f"{count} {kind}" for kind, count in sorted(kinds.items()))[:120]


def _tell_unclosed(wrong: Unclosed, notes: _Notes) -> None:
    if wrong.open:
        places = together(_at(point) for point in sorted(wrong.open)[:4])
        problem = sentence(
            "has an outline that is open at {places}: no other end lies within {gap} mm",
            places=places,
            gap=GAP_MM,
        )
        notes.fail("dxf-open", problem, "Close the outline there")
    if wrong.many:
        places = together(_at(point) for point in sorted(wrong.many)[:4])
        problem = sentence(
            "has more than two lines that end at {places}, so that no one outline can be followed",
            places=places,
        )
        notes.fail("dxf-branch", problem, "Take out what is no part of the outline")


def _tell_apart(outline: Outline, notes: _Notes) -> None:
    if len(outline.bodies) > 1:
        problem = sentence(
            "holds {count} outlines that nothing joins, though a bar is one", count=len(outline.bodies)
        )
        notes.tell(
            Severity.WARNING, "dxf-apart", problem, "Leave one outline, with its holes, in the drawing"
        )


def _at(point: Point) -> str:
    return f"({point[0]:.2f}, {point[1]:.2f}) mm"


def _sized(outline: Outline, notes: _Notes) -> Outline | None:
    large, small = max(outline.width_mm, outline.height_mm), min(outline.width_mm, outline.height_mm)
    if large <= LARGEST_MM and small >= LEAST_MM:
        return outline
    problem = sentence(
        "measures {width} x {height} mm, which is no bar for a saw",
        width=f"{outline.width_mm:.4g}",
        height=f"{outline.height_mm:.4g}",
    )
    notes.fail("dxf-size", problem, "Check the unit of the drawing")
    return None

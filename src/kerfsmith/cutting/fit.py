"""Does the work go through the saw: every dimension that fails, by how much, and what would help."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import reduce

from kerfsmith.catalog.material import Grade
from kerfsmith.catalog.saw import Capacity, SawSheet
from kerfsmith.catalog.section import Section
from kerfsmith.cutting.condition import AS_USUAL, Condition
from kerfsmith.cutting.present import present, ways_to_lie
from kerfsmith.cutting.setting import Misfit
from kerfsmith.cutting.work import Work
from kerfsmith.geometry.measures import mass_kg_per_m
from kerfsmith.geometry.shapes import Round, RoundTube, Square
from kerfsmith.units.told import Told, either, has_measures, quantity, sentence

ANGLE_SLACK_DEG = 1e-9
BAND_SLACK_MM = 0.6
"""Widths are nominal: a sheet and a band of one size may round them apart by this."""

LARGER = Told("a larger saw")
MORE_TRAVEL = Told("a saw with more head travel")
WIDER_GUIDES = Told("a saw with wider guides")
SET_UP = Told("a saw set up for it")
GENERAL = (LARGER, MORE_TRAVEL, WIDER_GUIDES, SET_UP)
"""Remedies that say no more than "another saw": left out where one can be named."""


@dataclass(frozen=True, slots=True)
class Fit:
    """One way the work can lie on the saw, and what stands against it (nothing, if it fits)."""

    work: Work
    misfits: tuple[Misfit, ...]

    @property
    def fits(self) -> bool:
        """Whether it goes through."""
        return not self.misfits


def capacity_at(saw: SawSheet, angle_deg: float) -> Capacity | None:
    """The capacity row that holds at a head angle: the next row up. None beyond the last."""
    rows = sorted(saw.capacities, key=lambda row: row.angle_deg)
    for row in rows:
        if row.angle_deg >= abs(angle_deg) - ANGLE_SLACK_DEG:
            return row
    return None


def ways_to_fit(
    grade: Grade,
    section: Section,
    saw: SawSheet,
    *,
    angle_deg: float = 0.0,
    bundle: int = 1,
    condition: Condition = AS_USUAL,
    others: Sequence[SawSheet] = (),
) -> tuple[Fit, ...]:
    """Each lie of the section on this saw, the usual one first, with its misfits.

    ``others`` are saws to name in a remedy when the work goes through one of them.
    """
    ways = ways_to_lie(section, bundle)
    works = [present(section, lie, angle_deg=angle_deg, bundle=bundle, cant_deg=saw.cant_deg) for lie in ways]
    found = [(work, _misfits(grade, section, saw, work, condition)) for work in works]
    if all(misfits for _, misfits in found):
        elsewhere = _elsewhere(grade, section, others, angle_deg, bundle, condition)
        lower = _lower_angle(grade, section, saw, angle_deg, bundle, condition)
        return tuple(Fit(work, _remedied(misfits, elsewhere, lower)) for work, misfits in found)
    turned = next(work.lie for work, misfits in found if not misfits)
    return tuple(
        Fit(work, _remedied(misfits, sentence("lay it {turned}", turned=Told(turned)), Told()))
        for work, misfits in found
    )


def _remedied(misfits: tuple[Misfit, ...], elsewhere: Told, lower: Told) -> tuple[Misfit, ...]:
    """Misfits with what would help put before each one's own remedy."""
    out = []
    for misfit in misfits:
        own = Told() if elsewhere and misfit.remedy in GENERAL else misfit.remedy
        ways = [text for text in (elsewhere, lower, own) if text]
        remedy = reduce(lambda these, one: sentence("{these}; or {one}", these=these, one=one), ways)
        out.append(Misfit(misfit.dimension, misfit.wanted, misfit.limit, misfit.unit, misfit.text, remedy))
    return tuple(out)


def _elsewhere(
    grade: Grade,
    section: Section,
    others: Sequence[SawSheet],
    angle_deg: float,
    bundle: int,
    condition: Condition,
) -> Told:
    able = [
        other.name
        for other in others
        if any(
            fit.fits
            for fit in ways_to_fit(
                grade, section, other, angle_deg=angle_deg, bundle=bundle, condition=condition
            )
        )
    ]
    return sentence("cut it on {saws}", saws=either(able)) if able else Told()


def _lower_angle(
    grade: Grade, section: Section, saw: SawSheet, angle_deg: float, bundle: int, condition: Condition
) -> Told:
    if not angle_deg:
        return Told()
    for row in sorted(saw.capacities, key=lambda row: -row.angle_deg):
        if row.angle_deg < abs(angle_deg) - ANGLE_SLACK_DEG:
            for lie in ways_to_lie(section, bundle):
                work = present(section, lie, angle_deg=row.angle_deg, bundle=bundle, cant_deg=saw.cant_deg)
                if not _misfits(grade, section, saw, work, condition):
                    return sentence("the saw takes it at {angle}°", angle=f"{row.angle_deg:g}")
    return Told()


def _over(dimension: Told, wanted: float, limit: float, unit: str, remedy: Told) -> list[Misfit]:
    """A misfit when ``wanted`` exceeds ``limit``."""
    if wanted <= limit + 1e-6:
        return []

    def told(value: float) -> str:
        if unit == "deg":
            return f"{value:.4g}°"
        return quantity(value, unit) if has_measures(unit) else f"{value:.4g} {unit}"

    text = sentence(
        "{dimension} is {wanted}, {over} over the saw's {limit}",
        dimension=dimension,
        wanted=told(wanted),
        over=told(wanted - limit),
        limit=told(limit),
    )
    return [Misfit(dimension, wanted, limit, unit, text, remedy)]


def _misfits(
    grade: Grade, section: Section, saw: SawSheet, work: Work, condition: Condition
) -> tuple[Misfit, ...]:
    row = capacity_at(saw, work.angle_deg)
    if row is None:
        most = max(capacity.angle_deg for capacity in saw.capacities)
        return tuple(
            _over(
                Told("head angle"),
                abs(work.angle_deg),
                most,
                "deg",
                Told("cut it square and mill or grind the mitre"),
            )
        )
    found = _vise_misfits(section, saw, work, row)
    found += _over(
        Told("travel of the band"),
        work.travel_mm,
        saw.head_travel_mm,
        "mm",
        Told("a saw with more head travel"),
    )
    found += _over(
        Told("width between guides"),
        work.width_mm,
        saw.guide_span_max_mm,
        "mm",
        Told("a saw with wider guides"),
    )
    found += _bar_misfits(grade, saw, work, condition)
    if saw.materials and grade.group not in saw.materials:
        text = sentence("{saw} isn't set up for {group}", saw=saw.name, group=Told(grade.group))
        found.append(Misfit(Told("kind of material"), 0.0, 0.0, "", text, SET_UP))
    return tuple(found)


def _vise_misfits(section: Section, saw: SawSheet, work: Work, row: Capacity) -> list[Misfit]:
    width, height = work.piece_width_mm, work.piece_height_mm
    found: list[Misfit] = []
    if work.bundle > 1 and work.angle_deg:
        text = Told("a bundle isn't cut at a mitre: the pieces would shift and come out of different lengths")
        return [Misfit("bundle", work.bundle, 1, "pieces", text, Told("cut the pieces one at a time"))]
    if work.bundle > 1:
        if row.bundle_width_mm <= 0 or row.bundle_height_mm <= 0:
            text = sentence("{saw} has no bundle clamps for this angle", saw=saw.name)
            return [Misfit("bundle", work.bundle, 1, "pieces", text, Told("cut the pieces one at a time"))]
        fewer = Told("fewer pieces in the bundle")
        found += _over(Told("width of the bundle"), width, row.bundle_width_mm, "mm", fewer)
        found += _over(Told("height of the bundle"), height, row.bundle_height_mm, "mm", fewer)
    elif isinstance(section.shape, Round | RoundTube):
        found += _over(Told("diameter"), max(width, height), row.round_mm, "mm", LARGER)
    elif isinstance(section.shape, Square) and work.lie == "flat":
        found += _over(Told("side"), width, row.square_mm, "mm", LARGER)
    else:
        found += _over(Told("width"), width, row.rect_width_mm, "mm", LARGER)
        found += _over(Told("height"), height, row.rect_height_mm, "mm", LARGER)
    if width < saw.min_work_mm - 1e-6:
        text = sentence(
            "width is {width}; the vise closes no further than {min_work}",
            width=quantity(width, "mm"),
            min_work=quantity(saw.min_work_mm, "mm"),
        )
        remedy = Told("bundle it or use a packing piece")
        found.append(Misfit(Told("least width"), width, saw.min_work_mm, "mm", text, remedy))
    return found


def _bar_misfits(grade: Grade, saw: SawSheet, work: Work, condition: Condition) -> list[Misfit]:
    bar = condition.bar_length_mm
    if bar is None:
        return []
    found = _over(
        Told("bar length"),
        bar,
        saw.max_bar_length_mm,
        "mm",
        Told("cut the bar down before it goes to this saw"),
    )
    mass = bar_mass_kg(grade, work, bar)
    found += _over(
        Told("mass of the bars"), mass, saw.load_limit_kg, "kg", Told("shorter bars or fewer at once")
    )
    if condition.piece_length_mm is not None:
        most = bar - saw.least_grip_mm
        found += _over(
            Told("piece length"),
            condition.piece_length_mm,
            most,
            "mm",
            Told("a longer bar: the vise must keep its grip"),
        )
    return found


def bar_mass_kg(grade: Grade, work: Work, bar_length_mm: float) -> float:
    """Mass of the bars in the vise, kg."""
    area = work.square_area_mm2
    return mass_kg_per_m(area, grade.density_kg_per_m3.value) * bar_length_mm / 1000


def band_fits(saw: SawSheet, width_mm: float) -> bool:
    """Whether a band of this width runs on the saw's wheels and guides."""
    return abs(saw.band_width_mm - width_mm) <= BAND_SLACK_MM

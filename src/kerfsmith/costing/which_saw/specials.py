"""Where a saw as it stands isn't enough: which figure a special must reach, and what it would be worth."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

from kerfsmith.catalog.catalog import Catalog
from kerfsmith.catalog.saw import Capacity, SawSheet
from kerfsmith.costing.which_saw.saw_year import Cannot, SawYear
from kerfsmith.cutting.choose import set_cut
from kerfsmith.cutting.present import ways_to_lie
from kerfsmith.cutting.setting import CutSetting, Misfit
from kerfsmith.planning.plan import PlanGroup
from kerfsmith.planning.times import idle_seconds_per_cut
from kerfsmith.units.length import um_to_mm
from kerfsmith.units.told import Told, quantity, sentence

CANTS_DEG = (1.0, 2.0, 3.0, 5.0)
"""Cants of the head that are tried."""
BUNDLES = (4, 6, 9)
"""Bundles that are tried."""
WORTH_WHILE = 0.03
"""A special that saves a smaller share of a group's sawing time isn't named."""
GROUPS_TRIED = 6
"""Groups that take most of the sawing time are tried with a canted head and in bundles."""
_AT_LEAST = frozenset({"least feed", "least width", "piece length"})
_S_PER_H = 3600.0


@dataclass(frozen=True, slots=True)
class Special:
    """One figure of a saw that should be another: what it has, what it must reach, why, and for how many
    pieces a year. ``hours`` are saved a year; 0 where it isn't time but the work itself that is won."""

    figure: Told
    has: float
    must_reach: float
    unit: str
    why: Told
    pieces_a_year: float
    hours: float = 0.0


def specials(year: SawYear, catalog: Catalog) -> tuple[Special, ...]:
    """Everything that would open work the saw can't do, then what would make it quicker, most first."""
    opening = list(_for_misfits(year.cannot))
    quicker = [
        *_speed(year, catalog),
        *_stroke(year),
        *_cant(year, catalog),
        *_bundles(year, catalog),
    ]
    ordered = sorted(quicker, key=lambda special: -special.hours)
    return (*sorted(opening, key=lambda special: -special.pieces_a_year), *ordered)


def _for_misfits(cannot: Sequence[Cannot]) -> Iterator[Special]:
    """For each dimension that fails somewhere, the figure that takes all of it."""
    found: dict[str, list[tuple[Misfit, Cannot]]] = {}
    for one in cannot:
        for misfit in one.misfits:
            found.setdefault(misfit.dimension, []).append((misfit, one))
    for dimension, cases in found.items():
        low = dimension in _AT_LEAST or all(misfit.wanted < misfit.limit for misfit, _ in cases)
        far = (min if low else max)(cases, key=lambda case: case[0].wanted)[0]
        lines = {one.line.id: one for _, one in cases}
        pieces = sum(float(one.pieces_a_year) for one in lines.values())
        yield Special(Told(dimension), far.limit, far.wanted, far.unit, _why(far, lines.values()), pieces)


def _why(misfit: Misfit, cases: Iterable[Cannot]) -> Told:
    names = list(dict.fromkeys(f"{one.line.grade} {one.line.section.name}" for one in cases))
    shown = ", ".join(names[:3])
    if len(names) > 3:
        shown = sentence("{some} and {count} more", some=shown, count=len(names) - 3)
    if misfit.dimension in ("bar mass", "mass of the bars"):
        return sentence("{shown}: {why}; or {remedy}", shown=shown, why=misfit.text, remedy=misfit.remedy)
    return sentence("{shown}: {why}", shown=shown, why=misfit.text)


def _speed(year: SawYear, catalog: Catalog) -> Iterator[Special]:
    """A higher band speed, where the grade wants more than the saw has."""
    saw = year.saw
    slow = [group for group in _groups(year) if _wants(group) > saw.band_speed_max_m_per_min * 1.001]
    if not slow:
        return
    wanted = max(_wants(group) for group in slow)
    faster = replace(saw, band_speed_max_m_per_min=wanted)
    hours = sum(_saved(year, group, faster, catalog) for group in slow)
    names = ", ".join(dict.fromkeys(group.grade for group in slow))
    why = sentence("{names} want up to {wanted}", names=names, wanted=quantity(wanted, "m/min"))
    pieces = sum(_pieces(year, group) for group in slow)
    yield Special(Told("band speed"), saw.band_speed_max_m_per_min, wanted, "m/min", why, pieces, hours)


def _wants(group: PlanGroup) -> float:
    return group.settings[0].wanted_speed_m_per_min


def _stroke(year: SawYear) -> Iterator[Special]:
    """A stroke that brings up the longest piece at once."""
    saw = year.saw
    longest, pieces, seconds = 0.0, 0.0, 0.0
    for line in year.lines:
        advance = um_to_mm(line.line.length_um + line.group.settings[0].kerf_um)
        strokes = saw.strokes(advance)
        if strokes > 1:
            many = float(year.pieces(line))
            longest, pieces = max(longest, advance), pieces + many
            seconds += many * (strokes - 1) * saw.cycle.index_fixed_s
    if pieces:
        why = sentence(
            "{pieces} pieces a year take more than one stroke; each stroke adds its index error too",
            pieces=f"{pieces:.0f}",
        )
        yield Special(
            Told("shuttle stroke"), saw.shuttle_stroke_mm, longest, "mm", why, pieces, seconds / _S_PER_H
        )


def _cant(year: SawYear, catalog: Catalog) -> Iterator[Special]:
    """A canted head, where the engine finds that it shortens the cut."""
    saw = year.saw
    best: dict[float, float] = {}
    for cant in CANTS_DEG:
        if cant > saw.cant_deg:
            canted = replace(saw, cant_deg=cant)
            best[cant] = sum(_saved(year, group, canted, catalog) for group in _longest(year))
    whole = sum(_sawing_hours(year, group) for group in _longest(year))
    if not best or not whole or max(best.values()) < WORTH_WHILE * whole:
        return
    enough = min(cant for cant, hours in best.items() if hours >= 0.9 * max(best.values()))
    groups = [
        group
        for group in _longest(year)
        if _saved(year, group, replace(saw, cant_deg=enough), catalog)
        > WORTH_WHILE * _sawing_hours(year, group)
    ]
    names = ", ".join(f"{group.grade} {group.section.name}" for group in groups)
    why = sentence(
        "shorter contact in {names}: {share} of the longest groups' sawing time",
        names=names,
        share=f"{best[enough] / whole:.0%}",
    )
    pieces = sum(_pieces(year, group) for group in groups)
    yield Special(Told("cant of the head"), saw.cant_deg, enough, "deg", why, pieces, best[enough])


def _bundles(year: SawYear, catalog: Catalog) -> Iterator[Special]:
    """Hold-downs for bundles, where pieces cut together take less time and the saw has no clamps so large."""
    saw = year.saw
    square = saw.capacities[0]
    for group in _longest(year):
        lines = [line for line in year.lines if line.group.id == group.id]
        single = group.settings[0]
        if len(group.settings) > 1 or min(line.pieces for line in lines) < BUNDLES[0]:
            continue
        idle = idle_seconds_per_cut(saw)
        now = min((one.cut_seconds + idle) / one.bundle for one in (single, *group.bundle_settings))
        found = list(_tried_bundles(group, saw, catalog, min(line.pieces for line in lines)))
        if not found:
            continue
        each, count, width, height = min(found)
        has_room = square.bundle_width_mm >= width and square.bundle_height_mm >= height
        if has_room or each > now * (1 - WORTH_WHILE):
            continue
        pieces = _pieces(year, group)
        before = Told("as planned") if group.bundle_settings else Told("one by one")
        why = sentence(
            "{grade} {section}: {count} at once take {each} s a piece, {before} {now} s; "
            "clamps over {width} × {height}",
            grade=group.grade,
            section=group.section.name,
            count=count,
            each=f"{each:.0f}",
            before=before,
            now=f"{now:.0f}",
            width=quantity(width, "mm"),
            height=quantity(height, "mm"),
        )
        hours = pieces * (now - each) / _S_PER_H
        name = Told("hold-downs for bundles")
        yield Special(name, square.bundle_width_mm, width, "mm wide", why, pieces, hours)


def _tried_bundles(
    group: PlanGroup, saw: SawSheet, catalog: Catalog, most: int
) -> Iterator[tuple[float, int, float, float]]:
    """Seconds a piece, pieces, and the width and height that the clamps must take."""
    square = saw.capacities[0]
    for count in BUNDLES:
        ways = ways_to_lie(group.section, count)
        if not ways or count > most:
            continue
        width, height = ways[0].outline.width_mm, ways[0].outline.height_mm
        if width > square.rect_width_mm or height > square.rect_height_mm:
            continue
        answer = _asked(group, _with_clamps(saw, square, width, height), catalog, bundle=count)
        if answer is not None:
            yield (answer.cut_seconds + idle_seconds_per_cut(saw)) / count, count, width, height


def _with_clamps(saw: SawSheet, square: Capacity, width: float, height: float) -> SawSheet:
    clamped = replace(
        square,
        bundle_width_mm=max(width, square.bundle_width_mm),
        bundle_height_mm=max(height, square.bundle_height_mm),
    )
    return replace(saw, capacities=(clamped, *saw.capacities[1:]))


def _saved(year: SawYear, group: PlanGroup, special: SawSheet, catalog: Catalog) -> float:
    """Hours a year that a special saves on a group's square cuts; none where it has no setting."""
    answer = _asked(group, special, catalog)
    now = group.settings[0].cut_seconds
    if answer is None or answer.cut_seconds >= now:
        return 0.0
    return _sawing_hours(year, group) * (1 - answer.cut_seconds / now)


def _asked(group: PlanGroup, saw: SawSheet, catalog: Catalog, bundle: int = 1) -> CutSetting | None:
    grade = catalog.find_grade(group.grade)
    answer = set_cut(grade, group.section, saw, catalog.bands, catalog.corrections, bundle=bundle)
    return answer if isinstance(answer, CutSetting) else None


def _groups(year: SawYear) -> list[PlanGroup]:
    costed = {line.group.id for line in year.lines}
    return [group for group in year.plan.groups if group.id in costed]


def _longest(year: SawYear) -> list[PlanGroup]:
    return sorted(_groups(year), key=lambda group: -_sawing_hours(year, group))[:GROUPS_TRIED]


def _sawing_hours(year: SawYear, group: PlanGroup) -> float:
    lines = [line for line in year.lines if line.group.id == group.id]
    return sum(line.seconds.sawing_s * float(year.workload.times(line.line)) for line in lines) / _S_PER_H


def _pieces(year: SawYear, group: PlanGroup) -> float:
    return sum(float(year.pieces(line)) for line in year.lines if line.group.id == group.id)

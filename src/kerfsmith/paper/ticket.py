"""The saw ticket of one run: a plan's group told to the person who cuts it, in the order in which he does
it."""

from collections.abc import Iterable, Iterator
from dataclasses import replace

from kerfsmith.catalog.material import Grade, Hazard
from kerfsmith.catalog.saw import SawSheet
from kerfsmith.cutting.cautions import ALWAYS
from kerfsmith.cutting.present import ways_to_lie
from kerfsmith.cutting.setting import CutSetting
from kerfsmith.errors import InvalidValue
from kerfsmith.geometry.outline import Outline
from kerfsmith.paper.bar_card import Bench, allowed, bar_card, is_mitred, span
from kerfsmith.paper.codes import Code, CodeKind
from kerfsmith.paper.gap import best_possible
from kerfsmith.paper.setting_card import setting_card
from kerfsmith.paper.sketch import sketch
from kerfsmith.paper.ticket_page import BarCard, FirstPiece, Load, TicketPage
from kerfsmith.planning.lengths import SQUARENESS
from kerfsmith.planning.plan import Plan, PlanGroup, PlannedBar
from kerfsmith.shop.order import OrderLine
from kerfsmith.shop.rack import BarKind
from kerfsmith.units.length import UM_PER_MM, Measure, mm_to_um
from kerfsmith.units.show import show_length, show_mass, show_seconds
from kerfsmith.units.told import Told, in_measure, sentence

SAFETY = " ".join(
    (
        *ALWAYS,
        "Stop the band and lock the power off before hands go near it.",
        "A piece cut off can fall, roll and be hot; its edges are sharp.",
    )
)
"""What holds for every cut, at the foot of every page."""

BY_HAND_KG = 20.0
"""A heavier bar is not lifted by hand (common practice)."""

AIM_NOTE = (
    "Where a tolerance is not the same both ways (+x/−0) the advance aims for its middle, not for the "
    "nominal length."
)
AT_ONCE_CAUTION = Told(
    "Bars cut at once may shift. Lay them touching, with their ends level; clamp them from the side and from "
    "above as the saw's manual says, and stop the band when one moves. Take burrs off where bars lie on each "
    "other."
)
VISE_NOTE = (
    "“End in vise”: the last piece is the bar's own end. When the piece before it is off, stop, unclamp, "
    "take it out and measure it; it gets no cut. Where it is too long, clamp it again only if the saw's "
    "manual allows so short a piece."
)
MITRE_NOTE = (
    "Mitred pieces: lengths are from long point to long point; the first angle is the near end's as the "
    "piece lies. Neighbours whose ends match share one cut, so a piece may lie turned against its "
    "drawing; where “near end cut too” stands, cut the near end at its angle first, then advance. “By "
    "pivot”: the head swings between the two cuts, and the advance hangs on where the saw's pivot "
    "stands (see its manual). Measure the first one before going on."
)


def ticket(
    plan: Plan,
    group: PlanGroup,
    saw: SawSheet,
    grade: Grade,
    *,
    measure: Measure,
    lines: Iterable[OrderLine] = (),
) -> TicketPage:
    """The ticket of ``group``, which must be one of ``plan``'s and have a setting.

    ``lines`` are the order lines its pieces come from (tolerance, order, notes); others are passed over.
    Every figure of the answer is text in ``measure``. Raises InvalidValue where the group has no setting or
    isn't in the plan."""
    if not group.settings:
        raise InvalidValue(f"group {group.id} has no setting, so there is nothing to cut by")
    shown = _settings(group)
    lying = _lying(group, group.settings[0])
    # What lies in the vise where several bars do is drawn: that is what must be clamped right.
    drawn = max(shown, key=lambda setting: setting.bundle)
    together = _lying(group, drawn)
    by_id = {line.id: line for line in lines}
    bench = Bench(
        saw=saw,
        lines=by_id,
        measure=measure,
        across_um=mm_to_um(lying.width_mm),
        kerf_um=group.settings[0].kerf_um,
        longest_um=max((bar.length_um for bar in group.bars), default=1),
        plan=plan.id,
        run=run_number(plan, group),
    )
    loads, load_note = _loads(group, saw, measure)
    return TicketPage(
        code=Code(CodeKind.RUN, plan.id, bench.run).text,
        run=f"Run {bench.run}",
        plan=plan.name or plan.id,
        saw=group.saw_name or saw.name,
        grade=grade.name,
        condition=grade.condition,
        section=group.section.name,
        due=group.first_due.isoformat() if group.first_due else "no due date",
        pieces=f"{_counted(group.pieces_planned, 'piece')} from {_counted(group.bars_used, 'bar')}",
        hours=_hours(group),
        loads=loads,
        load_note=load_note,
        settings=tuple(setting_card(setting, saw, grade, measure) for setting in shown),
        sketch=sketch(together, measure),
        lying=f"{drawn.bundle} at once in the vise" if drawn.bundle > 1 else "as it lies in the vise",
        first_piece=_first_piece(group, bench, together.height_mm),
        facing=_facing(group, bench),
        hazards=", ".join(_hazard_words(hazard) for hazard in grade.hazards),
        cautions=tuple(in_measure(text, measure) for text in _cautions(group, grade)),
        bars=tuple(_bar_cards(group, bench)),
        strip_scale=show_length(bench.longest_um, measure),
        best_possible=best_possible(group),
        not_planned=tuple(
            f"{left.count} × {left.mark}: {in_measure(left.reason, measure)}" for left in group.unplanned
        ),
        notes=tuple(in_measure(note, measure) for note in _notes(group, by_id)),
        safety=SAFETY,
    )


def run_number(plan: Plan, group: PlanGroup) -> int:
    """The group's place in the plan, from 1, as codes and tickets count it. Raises InvalidValue where it
    isn't in it."""
    for number, one in enumerate(plan.groups, start=1):
        if one.id == group.id:
            return number
    raise InvalidValue(f"group {group.id} isn't in plan {plan.id}")


def numbered_bars(group: PlanGroup) -> Iterator[tuple[int, PlannedBar]]:
    """Each pattern with the number of the first of its bars in the run."""
    first = 1
    for bar in group.bars:
        yield first, bar
        first += bar.times


def _counted(count: int, word: str) -> str:
    return f"{count} {word}" if count == 1 else f"{count} {word}s"


def _settings(group: PlanGroup) -> tuple[CutSetting, ...]:
    """What is dialled in for this run: for bars cut alone where there are any, then for those cut at once."""
    alone = group.settings if any(bar.at_once == 1 for bar in group.bars) else ()
    return (*alone, *group.bundle_settings) or group.settings


def _lying(group: PlanGroup, setting: CutSetting) -> Outline:
    """The work, bundle and all, as a setting lays it; the usual way where it names another."""
    ways = ways_to_lie(group.section, setting.bundle) or ways_to_lie(group.section)
    return next((way for way in ways if way.name == setting.lie), ways[0]).outline


def _bar_cards(group: PlanGroup, bench: Bench) -> Iterator[BarCard]:
    for first, bar in numbered_bars(group):
        yield bar_card(bar, first, bench)


def _hours(group: PlanGroup) -> str:
    times = group.times
    other_s = times.total_s - times.sawing_s
    low, high = show_seconds(times.sawing_low_s + other_s), show_seconds(times.sawing_high_s + other_s)
    return f"about {show_seconds(times.total_s)} ({low} to {high})"


def _loads(group: PlanGroup, saw: SawSheet, measure: Measure) -> tuple[tuple[Load, ...], str]:
    """One row for each pattern's rack entry, neighbours of one entry put together, and a word on the
    weight."""
    rows: list[Load] = []
    counts: list[range] = []
    for first, bar in numbered_bars(group):
        row = _load(bar, range(first, first + bar.times), group, saw, measure)
        if rows and _is_more_of(rows[-1], row):
            counts[-1] = range(counts[-1][0], first + bar.times)
            rows[-1] = replace(rows[-1], numbers=span(counts[-1]), count=str(len(counts[-1])))
            continue
        counts.append(range(first, first + bar.times))
        rows.append(row)
    longest_um = max((bar.length_um for bar in group.bars), default=0)
    heaviest_kg = group.mass_kg_per_m * longest_um / 1e6
    load_um = max((bar.length_um * bar.at_once for bar in group.bars), default=0)
    limit = show_mass(saw.load_limit_kg, measure)
    heaviest = show_mass(heaviest_kg, measure)
    load = show_mass(group.mass_kg_per_m * load_um / 1e6, measure)
    what = f"the heaviest load {load}" if load_um > longest_um else ""
    note = f"The heaviest bar weighs {heaviest}{what and f', {what}'}; this saw bears {limit}."
    if heaviest_kg > BY_HAND_KG:
        note += " Lift it with a sling or clamp."
    return tuple(rows), note


def _is_more_of(row: Load, other: Load) -> bool:
    return (row.bar_id, row.length, row.kind) == (other.bar_id, other.length, other.kind)


def _load(bar: PlannedBar, numbers: range, group: PlanGroup, saw: SawSheet, measure: Measure) -> Load:
    mass_kg = group.mass_kg_per_m * bar.length_um / 1e6
    cautions = []
    if bar.kind is BarKind.TO_BUY:
        cautions.append("still to be bought")
    if mass_kg > saw.load_limit_kg:
        cautions.append(f"heavier than the saw bears ({show_mass(saw.load_limit_kg, measure)})")
    if not bar.heat and bar.kind is not BarKind.TO_BUY:
        cautions.append("no heat: write it in from the bar")
    return Load(
        numbers=span(numbers),
        count=str(len(numbers)),
        bar_id=bar.bar_id,
        kind=bar.kind.value if bar.at_once == 1 else f"{bar.kind.value}, {bar.at_once} at once",
        length=show_length(bar.length_um, measure),
        heat=bar.heat,
        place=bar.place,
        mass=show_mass(mass_kg, measure),
        caution="; ".join(cautions),
    )


def _first_piece(group: PlanGroup, bench: Bench, height_mm: float) -> FirstPiece | None:
    piece = next((piece for bar in group.bars for piece in bar.pieces), None)
    if piece is None:
        return None
    repeat = show_length(mm_to_um(bench.saw.index_accuracy_mm), bench.measure, denominator=1, decimals=2)
    off_um = round(height_mm * UM_PER_MM * SQUARENESS)
    off = show_length(off_um, bench.measure, denominator=1, decimals=2)
    return FirstPiece(
        mark=piece.mark,
        length=bench.piece(piece.length_um),
        allowed=allowed(bench.lines.get(piece.line_id), bench.measure),
        squareness=f"{off} over {bench.text(mm_to_um(height_mm))} of height",
        note=f"The saw's shuttle repeats within {repeat}. A bowed or twisted bar gives a false first length."
        + (" Of bars cut at once measure the first piece of each." if group.bundle_settings else ""),
    )


def _facing(group: PlanGroup, bench: Bench) -> str:
    faced = {bar.facing_um for bar in group.bars}
    if faced == {0} or not faced:
        return "No facing cut: the bars are taken as they come."
    if any(bar.pieces and bar.pieces[0].ends_deg[0] for bar in group.bars):
        return f"Face every bar at the angle beside its strip: {bench.dial(max(faced))} and one kerf."
    return f"Square the front end of every bar: {bench.dial(max(faced))} and one kerf."


def _hazard_words(hazard: Hazard) -> str:
    """``fire-titanium`` -> ``titanium fire``, ``hot-chips`` -> ``hot chips``."""
    words = hazard.value.split("-")
    return " ".join((*words[1:], words[0]) if words[0] == "fire" else words)


def _cautions(group: PlanGroup, grade: Grade) -> tuple[str, ...]:
    """What the settings say of this work, each once; what holds for every cut stands at the foot instead.

    What a setting for bars at once says alone names how many.
    """
    settings = _settings(group)
    said: dict[str, None] = {}
    for setting in settings:
        for caution in setting.cautions:
            alone = setting.bundle > 1 and not all(caution in other.cautions for other in settings)
            named = sentence("{count} at once: {caution}", count=setting.bundle, caution=caution)
            said.setdefault(named if alone else caution)
    own = tuple(caution for caution in said if caution not in ALWAYS)
    if group.bundle_settings:
        own = (AT_ONCE_CAUTION, *own)
    if grade.hazards and not own:
        return ("Ask what these hazards call for before you cut.",)
    return own


def _notes(group: PlanGroup, by_id: dict[str, OrderLine]) -> Iterator[str]:
    yield from group.notes
    if any(is_mitred(piece) for bar in group.bars for piece in bar.pieces):
        yield MITRE_NOTE
    if any(bar.ends_in_vise for bar in group.bars):
        yield VISE_NOTE
    if any(piece.over_um for bar in group.bars for piece in bar.pieces):
        yield AIM_NOTE
    for line_id in dict.fromkeys(piece.line_id for bar in group.bars for piece, _ in bar.each_piece()):
        line = by_id.get(line_id)
        if line and line.notes:
            yield f"{line.mark}: {line.notes}"

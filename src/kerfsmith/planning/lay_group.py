"""One group's bars: the saw whose bars suffice, what must be bought beside them, and what can't be laid."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from kerfsmith.nesting.result import Result, Status
from kerfsmith.planning.lay_bars import read_back
from kerfsmith.planning.lengths import over_um, spare_um
from kerfsmith.planning.loads import counts_first, time_of_loads
from kerfsmith.planning.mitred_ends import depth_um, ends_cross
from kerfsmith.planning.nest_group import Effort as Effort
from kerfsmith.planning.nest_group import nest_group, next_aims
from kerfsmith.planning.pick_saw import Trial, shortened
from kerfsmith.planning.plan import PlannedAim, PlannedBar, Unplanned
from kerfsmith.planning.pose_group import Bench
from kerfsmith.planning.share_loads import LoadRules, recounted
from kerfsmith.planning.work import Work
from kerfsmith.shop.order import OrderLine
from kerfsmith.shop.rack import Bar, BarKind
from kerfsmith.shop.rules import ShopRules
from kerfsmith.units.length import mm_to_um, um_to_mm
from kerfsmith.units.told import Told, quantity, sentence


@dataclass(frozen=True, slots=True)
class Laid:
    """What was found for a group on one saw: bars and pieces, how their cost is to be read, what is left out.

    ``result`` is None where no line could be laid at all.
    """

    trial: Trial
    result: Result | None
    bars: tuple[PlannedBar, ...]
    cost_unit: str
    is_short: bool = False
    notes: tuple[Told, ...] = ()
    left_out: tuple[Unplanned, ...] = ()
    next_aims: tuple[PlannedAim, ...] = ()


def lay_group(work: Work, fitting: Sequence[Trial], rules: ShopRules, effort: Effort) -> Laid:
    """The cheapest saw whose bars suffice; where none's do, the cheapest saw, with bars to be bought.

    Saws differ in the bars they can be loaded with, by length and mass.
    """
    first = _lay(work, fitting[0], rules, effort)
    if not first.is_short:
        return first
    for trial in fitting[1:]:
        if trial.bars != fitting[0].bars:
            laid = _lay(work, trial, rules, effort)
            if not laid.is_short:
                return laid
    return first


def _lay(work: Work, trial: Trial, rules: ShopRules, effort: Effort) -> Laid:
    """Bars off the rack; where the rack is short, with bars still to be bought beside it."""
    bought = bar_to_buy(work, trial, rules)
    lines, left_out = part_lines(work, trial, (*trial.bars, bought))
    if not lines:
        return Laid(trial, None, (), "", left_out=left_out)
    sound = Work(work.grade, work.section, tuple(lines))
    laid = _nest(sound, trial, trial.bars, rules, effort)
    if laid.result is None or laid.result.status is not Status.INFEASIBLE:
        return replace(laid, left_out=left_out)
    says = [reason.says for reason in laid.result.reasons]
    again = _nest(sound, trial, (*trial.bars, bought), rules, effort)
    missing = sum(bar.times for bar in again.bars if bar.kind is BarKind.TO_BUY)
    if missing:
        says.append(
            sentence(
                "to be bought: {missing} × {length}",
                missing=missing,
                length=quantity(um_to_mm(bought.length_um), "mm"),
            )
        )
    return replace(again, is_short=True, notes=(*says, *again.notes), left_out=left_out)


def part_lines(
    work: Work, trial: Trial, bars: Sequence[Bar]
) -> tuple[list[OrderLine], tuple[Unplanned, ...]]:
    """The lines that can be laid, and those too short, too long for any bar, or with ends that cross."""
    square = trial.settings[0]
    grip_um, trim_um = mm_to_um(trial.saw.least_grip_mm), mm_to_um(trial.saw.facing_mm)
    facing_um = trim_um + square.kerf_um if trim_um else 0
    longest_um = max(bar.length_um for bar in bars)
    usable_um = longest_um - facing_um - grip_um - (square.kerf_um if grip_um else 0)
    across_um = depth_um(work.section, square.lie)
    good: list[OrderLine] = []
    left_out = []
    for line in work.lines:
        if line.is_mitred and line.lie not in ("", square.lie):
            why = sentence(
                "its slant wants the section {lie}, and this run lays it {laid}: plan it apart",
                lie=Told(line.lie),
                laid=Told(square.lie),
            )
        elif ends_cross(line, across_um):
            length = quantity(um_to_mm(line.length_um), "mm")
            why = sentence(
                "its mitred ends cross: {length} is too short for the slant of both", length=length
            )
        elif um_to_mm(line.length_um) < trial.saw.min_work_mm:
            least = quantity(trial.saw.min_work_mm, "mm")
            why = sentence("too short: {saw} indexes no less than {least}", saw=trial.saw.name, least=least)
        elif line.length_um + over_um(line) > usable_um and not _fills(line, bars, facing_um):
            over = quantity(um_to_mm(line.length_um + over_um(line) - usable_um), "mm")
            longest = quantity(um_to_mm(longest_um), "mm")
            why = sentence(
                "too long by {over} for the longest bar there is, {longest}", over=over, longest=longest
            )
        else:
            good.append(line)
            continue
        left_out.append(Unplanned(line.id, line.mark, line.quantity, why))
    return good, tuple(left_out)


def _fills(line: OrderLine, bars: Sequence[Bar], facing_um: int) -> bool:
    """Whether the piece is just what is left in the vise of some bar with a good end."""
    rooms = (bar.length_um - facing_um - line.length_um - over_um(line) for bar in bars if bar.end_is_good)
    return any(0 <= room <= spare_um(line) for room in rooms)


def bench_of(work: Work, trial: Trial) -> Bench:
    """What the group's bars are laid on, with what a load of them takes on this saw."""
    square, bundles = trial.settings[0], trial.bundles.settings
    time = time_of_loads(work, trial.saw, trial.settings, bundles, trial.factors)
    return Bench(trial.saw, square.kerf_um, square.lie, time, frozenset(bundles))


def _nest(work: Work, trial: Trial, bars: Sequence[Bar], rules: ShopRules, effort: Effort) -> Laid:
    bench = bench_of(work, trial)
    nested = nest_group(work, bars, bench, rules, effort)
    sharing = LoadRules(bench.at_once, bench.time, counts_first(nested.problem))
    laid = read_back(nested.result, nested.problem, nested.kinds, bars, sharing)
    return Laid(
        trial,
        nested.result,
        laid,
        nested.unit,
        notes=nested.notes,
        next_aims=tuple(recounted(next_aims(nested, rules), laid, nested.kinds, sharing)),
    )


def bar_to_buy(work: Work, trial: Trial, rules: ShopRules) -> Bar:
    """The bar in which more of this section is bought: as long as the longest on the rack, else the usual."""
    stock = [bar for bar in trial.bars if bar.kind is not BarKind.REMNANT]
    longest = max(stock, key=lambda bar: bar.length_um, default=None)
    bought = Bar(
        id=f"buy {work.grade} {work.section.name}",
        grade=work.grade,
        section=work.section,
        length_um=longest.length_um if longest else rules.stock_length_um,
        count=None,
        price=longest.price if longest else None,
        kind=BarKind.TO_BUY,
    )
    return shortened(bought, trial.saw, trial.mass_kg_per_m)

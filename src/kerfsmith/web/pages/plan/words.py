"""The plan in words: how close to the best possible, what is late or short, how many hours."""

from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from markupsafe import Markup

from kerfsmith.planning.plan import GroupTimes, Plan, PlanGroup, PlanStatus
from kerfsmith.shop.rack import BarKind
from kerfsmith.units.money import Money
from kerfsmith.units.show import show_money
from kerfsmith.web.days import day_and_month
from kerfsmith.web.reading import hours, share, span
from kerfsmith.web.sheet import glyph
from kerfsmith.web.words import say, say_many

SOON_DAYS = 3
_LEAST_GAP = 5e-5
"""A gap below this shows as 0.00 % and isn't worth a word."""
_KIND = {
    PlanStatus.BEST: "best",
    PlanStatus.GOOD: "good",
    PlanStatus.SHORT: "short",
    PlanStatus.CANNOT: "cannot",
    PlanStatus.OPEN: "cannot",
}


@dataclass(frozen=True, slots=True)
class State:
    """A status as shown: its kind for the style sheet, its mark and its words."""

    kind: str
    mark: Markup
    words: str


def state_of(group: PlanGroup) -> State:
    """How a group stands."""
    kind = _KIND[group.status]
    return State(kind, glyph(kind), say(str(group.status)))


def cost_words(amount: float, unit: str) -> str:
    """A cost in the plan's own unit: money, bars, or metres of bar, with what else the unit says."""
    plain, _, weight = unit.partition(", ")
    if plain == "bars":
        shown = say_many("1 bar", "{count} bars", round(amount))
    elif len(plain) == 3 and plain.isupper():
        shown = show_money(Money(Decimal(repr(amount)), plain))
    else:
        shown = (
            say("{metres} m of bar", metres=f"{amount:.2f}")
            if plain == "m of bar"
            else f"{amount:.2f} {plain}"
        )
    return say("{shown} ({weighed})", shown=shown, weighed=weighed_words(weight)) if weight else shown


def weighed_words(weight: str) -> str:
    """What a plan's unit counts more than once: bars still to be bought."""
    return say("bought bars counted ×{times}", times=weight.rpartition(" x")[2])


def gap_words(group: PlanGroup) -> str:
    """How far the group's plan is from the best possible."""
    if not group.bars:
        return say("Nothing of it is planned.")
    if group.bars_to_buy and "bought bars" in group.cost_unit:
        bought = say_many("1 bar", "{count} bars", group.bars_to_buy)
        return say(
            "{bought} still to be bought: the rack is used up first, a bought bar weighs ten times more.",
            bought=bought,
        )
    if group.cost_unit == "bars":
        least = say_many("1 bar", "{count} bars", round(group.lower_bound))
        return say(
            "No plan can use fewer than {least}; this one uses {bars_used}.",
            least=least,
            bars_used=group.bars_used,
        )
    cost = cost_words(group.cost, group.cost_unit)
    if group.gap < _LEAST_GAP:
        return say("No plan can cost less than this one's {cost}.", cost=cost)
    bound = cost_words(group.lower_bound, group.cost_unit)
    return say(
        "This one costs {cost}; no plan can cost less than {bound}, {gap} below.",
        cost=cost,
        bound=bound,
        gap=share(group.gap, 2),
    )


@dataclass(frozen=True, slots=True)
class Hours:
    """Hours of work with their range."""

    likely: float
    low: float
    high: float

    @property
    def words(self) -> str:
        """``3.2 h``."""
        return hours(self.likely)

    @property
    def span(self) -> str:
        """``between 2.9 and 3.8 h``."""
        return span(self.low, self.high)


def hours_of(times: GroupTimes) -> Hours:
    """A group's hours; only the sawing has a range."""
    still_s = times.total_s - times.sawing_s
    return Hours(
        times.total_s / 3600, (still_s + times.sawing_low_s) / 3600, (still_s + times.sawing_high_s) / 3600
    )


def hours_together(groups: tuple[PlanGroup, ...]) -> Hours:
    """Hours of several groups, ranges added (they share the figures that make them uncertain)."""
    found = [hours_of(group.times) for group in groups]
    return Hours(sum(h.likely for h in found), sum(h.low for h in found), sum(h.high for h in found))


@dataclass(frozen=True, slots=True)
class Due:
    """A due date as shown: ``kind`` is late, soon, later or none."""

    kind: str
    words: str


def due_of(first_due: date | None, today: date) -> Due:
    """What a due date means today."""
    if first_due is None:
        return Due("none", say("no due date"))
    days = (first_due - today).days
    shown = day_and_month(first_due)
    if days < 0:
        return Due(
            "late", say("{shown}, {days} late", shown=shown, days=say_many("1 day", "{count} days", -days))
        )
    if days == 0:
        return Due("soon", say("{shown}, today", shown=shown))
    if days <= SOON_DAYS:
        return Due(
            "soon", say("{shown}, in {days}", shown=shown, days=say_many("1 day", "{count} days", days))
        )
    return Due("later", say("due {shown}", shown=shown))


def lead_sentences(plan: Plan) -> tuple[str, ...]:
    """The whole plan in three or four sentences."""
    hours_all = hours_together(plan.groups)
    said = [
        say(
            "{pieces_planned} of {pieces} lie on {bars_and_remnants}, in {groups} of one grade "
            "and section each.",
            pieces_planned=plan.pieces_planned,
            pieces=say_many("1 piece", "{count} pieces", plan.pieces_wanted),
            bars_and_remnants=say_many("1 bar and remnant", "{count} bars and remnants", plan.bars_used),
            groups=say_many("1 group", "{count} groups", len(plan.groups)),
        ),
        say(
            "Cutting them takes {likely} of saw time, {span}.",
            likely=hours(hours_all.likely),
            span=hours_all.span,
        ),
    ]
    laid = [group for group in plan.groups if group.bars]
    best = [group for group in laid if group.gap < _LEAST_GAP]
    if laid and len(best) == len(laid):
        said.append(
            say("For every group it is proven that no plan can cost less.")
            if len(laid) == len(plan.groups)
            else say("For every group that is cut it is proven that no plan can cost less.")
        )
    elif laid:
        widest = max(group.gap for group in laid)
        said.append(
            say(
                "For {best} of {groups} it is proven that no plan can cost less; no other costs more "
                "than {widest} above the least possible.",
                best=len(best),
                groups=say_many("1 group", "{count} groups", len(laid)),
                widest=share(widest, 2),
            )
        )
    return tuple(said)


def yield_words(group: PlanGroup) -> str:
    """What becomes of the bars' length: pieces, remnants, the rest."""
    taken = sum(bar.times * bar.length_um for bar in group.bars)
    kept = sum(bar.times * bar.remnant_um for bar in group.bars if bar.keep)
    part, back = share(yield_of((group,))), share(kept / taken) if taken else ""
    if kept:
        return say_many(
            "{part} of the bar becomes pieces, {back} goes back to the rack.",
            "{part} of {count} bars become pieces, {back} goes back to the rack.",
            group.bars_used,
            part=part,
            back=back,
        )
    return say_many(
        "{part} of the bar becomes pieces.",
        "{part} of {count} bars become pieces.",
        group.bars_used,
        part=part,
    )


def shortage_words(group: PlanGroup) -> str:
    """What is missing: pieces without a bar, or bars that must be bought first."""
    missing = group.pieces_wanted - group.pieces_planned
    if missing:
        return say("{pieces} without a bar", pieces=say_many("1 piece", "{count} pieces", missing))
    buy = sum(bar.times for bar in group.bars if bar.kind is BarKind.TO_BUY)
    return (
        say("{bars} to be bought first", bars=say_many("1 bar", "{count} bars", buy))
        if buy
        else say("too little on the rack")
    )


def yield_of(groups: tuple[PlanGroup, ...]) -> float:
    """Share of the bars taken that becomes pieces, by length."""
    taken = sum(bar.times * bar.length_um for group in groups for bar in group.bars)
    pieces = sum(bar.times * bar.pieces_um for group in groups for bar in group.bars)
    return pieces / taken if taken else 0.0

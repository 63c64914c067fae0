"""What a week reaches and how good that can be at best, in sentences for people."""

from kerfsmith.scheduling.problem import Aim
from kerfsmith.scheduling.result import AimValue, Status, Week

_WHAT = {
    Aim.TARDINESS: "{} piece-hours late",
    Aim.LATE: "{} pieces late",
    Aim.MAX_LATENESS: "the worst {} h past its due time",
    Aim.COMPLETION: "{} piece-hours until done",
    Aim.MAKESPAN: "all done after {} h",
    Aim.HOURS: "{} h of saws and overtime",
    Aim.CHANGES: "{} band changes",
    Aim.MOVES: "{} runs taken from their place",
}
_ONE = {
    Aim.TARDINESS: "{} piece-hour late",
    Aim.LATE: "{} piece late",
    Aim.CHANGES: "{} band change",
    Aim.MOVES: "{} run taken from its place",
}
_IN_HOURS = frozenset({Aim.TARDINESS, Aim.MAX_LATENESS, Aim.COMPLETION, Aim.MAKESPAN, Aim.HOURS})


def amount(aim: Aim, value: int, tick_s: int) -> str:
    """A value in the aim's own words: "3 band changes"."""
    number = f"{value * tick_s / 3600:.1f}".removesuffix(".0") if aim in _IN_HOURS else str(value)
    what = _ONE.get(aim, _WHAT[aim]) if number == "1" else _WHAT[aim]
    return what.format(number)


def standing(one: AimValue, tick_s: int) -> str:
    """How one aim stands: reached, the proven least, and the gap between."""
    reached = amount(one.aim, one.value, tick_s)
    if one.bound is None:
        return f"{reached}; how much better it could be isn't known"
    if one.is_proven:
        return f"{reached}; no week does better"
    least = amount(one.aim, one.bound, tick_s)
    gap = f", at most {one.gap:.0%} to gain" if one.gap is not None else ""
    return f"{reached}; no week can do better than {least}{gap} (known by: {one.bound_source})"


def headline(week: Week) -> str:
    """The week in one sentence."""
    match week.status:
        case Status.OPTIMAL:
            return "No week does better on due dates, then hours, then changes, in that order."
        case Status.FEASIBLE:
            return "A good week; how far it may be from the best stands beside each aim."
        case Status.INFEASIBLE:
            return "There is no such week: " + "; ".join(week.reasons)
        case Status.UNFINISHED:
            return "No week was found yet: " + "; ".join(week.reasons)

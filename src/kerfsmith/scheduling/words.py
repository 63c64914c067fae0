"""What a week reaches and how good that can be at best, in sentences for people."""

from kerfsmith.scheduling.problem import Aim
from kerfsmith.scheduling.result import AimValue, Status, Week
from kerfsmith.units.told import Told, how_many, joined, sentence

_IN_HOURS = frozenset({Aim.TARDINESS, Aim.MAX_LATENESS, Aim.COMPLETION, Aim.MAKESPAN, Aim.HOURS})


def amount(aim: Aim, value: int, tick_s: int) -> Told:
    """A value in the aim's own words: "3 band changes"."""
    number = f"{value * tick_s / 3600:.1f}".removesuffix(".0") if aim in _IN_HOURS else str(value)
    count = int(number) if number.isdecimal() else 2  # parts of one are many in English
    match aim:
        case Aim.TARDINESS:
            return how_many("{count} piece-hour late", "{count} piece-hours late", count, count=number)
        case Aim.LATE:
            return how_many("{count} piece late", "{count} pieces late", count)
        case Aim.MAX_LATENESS:
            return sentence("the worst {hours} h past its due time", hours=number)
        case Aim.COMPLETION:
            return sentence("{hours} piece-hours until done", hours=number)
        case Aim.MAKESPAN:
            return sentence("all done after {hours} h", hours=number)
        case Aim.HOURS:
            return sentence("{hours} h of saws and overtime", hours=number)
        case Aim.CHANGES:
            return how_many("{count} band change", "{count} band changes", count)
        case Aim.MOVES:
            return how_many("{count} run taken from its place", "{count} runs taken from their place", count)


def standing(one: AimValue, tick_s: int) -> Told:
    """How one aim stands: reached, the proven least, and the gap between."""
    reached = amount(one.aim, one.value, tick_s)
    if one.bound is None:
        return sentence("{reached}; how much better it could be isn't known", reached=reached)
    if one.is_proven:
        return sentence("{reached}; no week does better", reached=reached)
    least = amount(one.aim, one.bound, tick_s)
    gap = sentence(", at most {gap} to gain", gap=f"{one.gap:.0%}") if one.gap is not None else ""
    return sentence(
        "{reached}; no week can do better than {least}{gap} (known by: {source})",
        reached=reached,
        least=least,
        gap=gap,
        source=Told(one.bound_source),
    )


def headline(week: Week) -> Told:
    """The week in one sentence."""
    match week.status:
        case Status.OPTIMAL:
            return Told("No week does better on due dates, then hours, then changes, in that order.")
        case Status.FEASIBLE:
            return Told("A good week; how far it may be from the best stands beside each aim.")
        case Status.INFEASIBLE:
            return sentence("There is no such week: {reasons}", reasons=joined("; ", week.reasons))
        case Status.UNFINISHED:
            return sentence("No week was found yet: {reasons}", reasons=joined("; ", week.reasons))

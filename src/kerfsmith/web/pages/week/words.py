"""The week in words: times of day, aims, verdicts."""

from datetime import datetime, timedelta

from kerfsmith.scheduling.problem import Aim
from kerfsmith.scheduling.result import AimValue
from kerfsmith.web.days import day_and_time
from kerfsmith.web.words import say, say_many, to_say

AIM_NAMES = {
    Aim.TARDINESS: to_say("Lateness, piece-hours"),
    Aim.LATE: to_say("Pieces late"),
    Aim.HOURS: to_say("Hours of saws and overtime"),
    Aim.CHANGES: to_say("Band changes"),
    Aim.MOVES: to_say("Runs taken from their place"),
}
IN_HOURS = frozenset({Aim.TARDINESS, Aim.HOURS})


def from_to(start: datetime, end: datetime) -> str:
    """A stretch of time, the day said once where it is the same."""
    if start.date() == end.date():
        return f"{day_and_time(start)}–{end:%H:%M}"
    return f"{day_and_time(start)} – {day_and_time(end)}"


def length_of(minutes: float) -> str:
    """Minutes below an hour and a half, hours beyond."""
    return f"{minutes:.0f} min" if minutes < 90 else f"{minutes / 60:.1f} h"


def aim_value(aim: Aim, value: int, tick_s: int) -> str:
    """A value of an aim, hours to a tenth."""
    return f"{value * tick_s / 3600:.1f}" if aim in IN_HOURS else str(value)


def verdict(aim: Aim, before: int, after: int, tick_s: int) -> str:
    """What has become of an aim, in words."""
    if after == before:
        return say("the same")
    amount = aim_value(aim, abs(after - before), tick_s)
    return say("{amount} more", amount=amount) if after > before else say("{amount} less", amount=amount)


def what_it_costs(before: tuple[AimValue, ...], after: tuple[AimValue, ...], tick_s: int) -> str:
    """The first thing that differs, in a sentence: due dates, then hours, then changes."""
    old = {one.aim: one.value for one in before}
    for one in after:
        if one.aim is Aim.MOVES or one.aim not in old or one.value == old[one.aim]:
            continue
        amount = aim_value(one.aim, abs(one.value - old[one.aim]), tick_s)
        worse = one.value > old[one.aim]
        match one.aim:
            case Aim.TARDINESS:
                return (
                    say("It costs {amount} piece-hours of lateness.", amount=amount)
                    if worse
                    else say("It saves {amount} piece-hours of lateness.", amount=amount)
                )
            case Aim.LATE:
                count = abs(one.value - old[one.aim])
                return (
                    say_many("It makes {count} piece more late.", "It makes {count} pieces more late.", count)
                    if worse
                    else say_many(
                        "It saves {count} piece from being late.",
                        "It saves {count} pieces from being late.",
                        count,
                    )
                )
            case Aim.HOURS:
                return (
                    say("It costs {amount} h of saws and overtime, and makes nothing later.", amount=amount)
                    if worse
                    else say("It saves {amount} h of saws and overtime.", amount=amount)
                )
            case _:
                count = abs(one.value - old[one.aim])
                return (
                    say_many(
                        "It costs {count} band change more.", "It costs {count} band changes more.", count
                    )
                    if worse
                    else say_many("It saves {count} band change.", "It saves {count} band changes.", count)
                )
    return say("It costs nothing: due dates, hours and band changes stay as they are.")


def rounded_down(moment: datetime, hours: int) -> datetime:
    """The last full step of so many hours on that day."""
    return moment.replace(hour=moment.hour // hours * hours, minute=0, second=0, microsecond=0)


def rounded_up(moment: datetime, hours: int) -> datetime:
    """The next full step of so many hours."""
    down = rounded_down(moment, hours)
    return down if down == moment else down + timedelta(hours=hours)


def script_words() -> dict[str, str]:
    """What the week's script says, by the key that it asks for."""
    return {
        "not-changed": say("The week could not be changed."),
        "no-other-saw": say("No other saw there takes it."),
    }

"""Saw time and people of one order line in a group: its own, and its share of what the group shares."""

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal

from kerfsmith.catalog.figure import Confidence
from kerfsmith.catalog.saw import SawSheet
from kerfsmith.costing.rates import Rates
from kerfsmith.costing.reckoning import Basis, Cause, Cost, Driver, Kind, Reckoning, Sway, exact, reckoned
from kerfsmith.costing.seconds import CutKind, GroupWork, LineWork, Spread, sawing_seconds
from kerfsmith.cutting.setting import CutSetting
from kerfsmith.units.told import NOTHING, Told, sentence

_S_PER_H = Decimal(3600)


@dataclass(frozen=True, slots=True)
class Stretch:
    """A stretch of saw time: its seconds with their range, how much of a person it takes, and whose it is.

    ``share`` is the line's part of it.
    """

    name: Told
    seconds: Spread
    person: Decimal
    share: Decimal
    share_text: Told
    basis: Basis
    is_sawing: bool = False


@dataclass(frozen=True, slots=True)
class LineSeconds:
    """Saw seconds of one line, its share of what is shared included: sawing with its range, and the rest."""

    sawing_s: float
    sawing_low_s: float
    sawing_high_s: float
    other_s: float

    @property
    def total_s(self) -> float:
        """All of it, with the likeliest sawing time."""
        return self.sawing_s + self.other_s


def stretches(
    work: GroupWork, line: LineWork, settings: dict[CutKind, CutSetting], saw: SawSheet, rates: Rates
) -> tuple[Stretch, ...]:
    """Everything the line takes of the saw's time; those of no time are left out."""
    share, why = work.share(line), share_text(work, line)
    cycle = Basis(sentence("cycle on the sheet of {saw}", saw=saw.name), "saw sheet", Confidence.SHOP)
    engine = Basis(Told("cut slice by slice, with the range of the figures used"), "cutting engine")
    set_up = Basis(Told("set-up of a run"), _mark(rates, "set_up_s"), Confidence.COMMON_PRACTICE)
    one, own, minded, by_hand = Decimal(1), NOTHING, rates.attendance, rates.hands_on
    found = (
        Stretch(Told("sawing"), sawing_seconds(line.cuts, settings), minded, one, own, engine, True),
        Stretch(
            Told("facing cuts"), sawing_seconds(work.facing_cuts, settings), minded, share, why, engine, True
        ),
        Stretch(Told("feeding and head back"), _sure(line.feeding_s), minded, one, own, cycle),
        Stretch(Told("facing: head down and back"), _sure(work.facing_s), minded, share, why, cycle),
        Stretch(Told("putting pieces down"), _sure(line.unloading_s), by_hand, one, own, cycle),
        Stretch(Told("loading bars"), _sure(work.loading_s), by_hand, share, why, cycle),
        Stretch(Told("setting up"), _sure(float(rates.set_up_s)), by_hand, share, why, set_up),
    )
    return tuple(stretch for stretch in found if stretch.seconds[1] > 0)


def share_text(work: GroupWork, line: LineWork) -> Told:
    """Why the line bears the share it bears."""
    if len(work.lines) == 1:
        return NOTHING
    used, all_used = line.consumed_um / 1e6, work.consumed_um / 1e6
    return sentence(
        "{used} m of the {all_used} m of bar that the run's pieces use up",
        used=f"{used:.3f}",
        all_used=f"{all_used:.3f}",
    )


def saw_costs(found: tuple[Stretch, ...], saw: SawSheet, rates: Rates) -> Iterator[Cost]:
    """The saw's hour for each stretch."""
    text = sentence("hour of {saw}, without the person at it", saw=saw.name)
    basis = Basis(text, "shop" if saw.id in rates.saw_hour else "saw sheet", Confidence.SHOP)
    for one in found:
        yield _timed(one, Kind.SAW, rates.hour_of(saw), Driver.SAW_HOUR, Decimal(1), basis, rates)


def people_costs(found: tuple[Stretch, ...], rates: Rates) -> Iterator[Cost]:
    """People for each stretch: minding while the saw works, hands on while it doesn't."""
    for one in found:
        text = sentence("people's hour, {share} of a person", share=f"{one.person:.0%}")
        basis = Basis(text, _mark(rates, "people_hour"), Confidence.COMMON_PRACTICE)
        yield _timed(one, Kind.PEOPLE, rates.people_hour, Driver.PEOPLE_HOUR, one.person, basis, rates)


def line_seconds(found: tuple[Stretch, ...]) -> LineSeconds:
    """The same as seconds."""
    low = likely = high = other = 0.0
    for one in found:
        share = float(one.share)
        if not one.is_sawing:
            other += one.seconds[1] * share
        else:
            low, likely, high = (
                total + each * share for total, each in zip((low, likely, high), one.seconds, strict=True)
            )
    return LineSeconds(likely, low, high, other)


def _timed(
    one: Stretch, kind: Kind, rate: Decimal, driver: Driver, person: Decimal, basis: Basis, rates: Rates
) -> Cost:
    low, likely, high = (exact(seconds) / _S_PER_H for seconds in one.seconds)
    share = one.share * person
    how = Reckoning(likely, Told("h"), rates.money(rate), driver, (one.basis, basis), share, one.share_text)
    sway = Sway(Cause.SAWING_TIME, (likely - low) * rate * share, (high - likely) * rate * share)
    return reckoned(one.name, kind, how, [sway])


def _sure(seconds: float) -> Spread:
    return seconds, seconds, seconds


def _mark(rates: Rates, name: str) -> str:
    return "shop" if rates.is_own(name) else "house"

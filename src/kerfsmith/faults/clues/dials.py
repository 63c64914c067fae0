"""What was dialled in against the advice, and what the chips say of it."""

from collections.abc import Iterator

from kerfsmith.catalog.saw import FeedControl
from kerfsmith.faults.circumstances import Chips, Circumstances
from kerfsmith.faults.clue import Clue, Weight
from kerfsmith.units.told import quantity, sentence


def dial_clues(case: Circumstances) -> Iterator[Clue]:
    """Clues from speed, feed, power and the chips."""
    yield from _feed(case)
    yield from _speed(case)
    yield from _chips(case)
    yield from _power(case)


def _advised_feed(case: Circumstances) -> float:
    held = case.setting.feed_control is FeedControl.CONSTANT_FEED
    return case.setting.constant_feed_mm_per_min if held else case.setting.mean_feed_mm_per_min


def _feed(case: Circumstances) -> Iterator[Clue]:
    fed, advised = case.seen.feed_mm_per_min, _advised_feed(case)
    if fed is None or advised <= 0:
        return
    text = sentence(
        "fed {fed} where {advised} is advised",
        fed=quantity(fed, "mm/min"),
        advised=quantity(advised, "mm/min"),
    )
    share = fed / advised
    heavy, light = "feed too heavy", "feed too light"
    if share > 1.1:
        yield Clue(heavy, Weight.STRONG if share > 1.3 else Weight.CLEAR, text)
        yield Clue(light, Weight.RULES_OUT, text)
        yield Clue("gullets full", Weight.FAINT, text)
        yield Clue("more power asked than the motor has", Weight.FAINT, text)
    elif share < 0.8:
        yield Clue(light, Weight.STRONG if share < 0.65 else Weight.CLEAR, text)
        yield Clue(heavy, Weight.RULES_OUT, text)
    else:
        yield Clue(heavy, Weight.AGAINST, text)
        yield Clue(light, Weight.AGAINST, text)


def _speed(case: Circumstances) -> Iterator[Clue]:
    run, setting = case.seen.speed_m_per_min, case.setting
    high, low = "band speed too high", "band speed too low"
    if run is not None:
        advised = quantity(setting.band_speed_m_per_min, "m/min")
        text = sentence(
            "the band runs {run} where {advised} is advised", run=quantity(run, "m/min"), advised=advised
        )
        share = run / setting.band_speed_m_per_min
        if share > 1.1:
            yield Clue(high, Weight.STRONG if share > 1.2 else Weight.CLEAR, text)
            yield Clue(low, Weight.RULES_OUT, text)
        elif share < 0.9:
            yield Clue(low, Weight.STRONG if share < 0.8 else Weight.CLEAR, text)
            yield Clue(high, Weight.RULES_OUT, text)
        else:
            yield Clue(high, Weight.AGAINST, text)
            yield Clue(low, Weight.AGAINST, text)
    wanted = setting.wanted_speed_m_per_min
    if wanted and setting.band_speed_m_per_min > 1.1 * wanted:
        text = sentence(
            "the saw can't run as slow as the {wanted} that the grade asks for",
            wanted=quantity(wanted, "m/min"),
        )
        yield Clue(high, Weight.CLEAR, text)
    if wanted and setting.band_speed_m_per_min < 0.9 * wanted:
        text = sentence(
            "the saw can't run as fast as the {wanted} that the grade asks for",
            wanted=quantity(wanted, "m/min"),
        )
        yield Clue(low, Weight.CLEAR, text)


_CHIPS: dict[Chips, tuple[tuple[str, Weight], ...]] = {
    Chips.POWDER: (
        ("feed too light", Weight.CLEAR),
        ("feed too heavy", Weight.AGAINST),
        ("band speed too high", Weight.FAINT),
        ("pitch too fine", Weight.FAINT),
        ("worn band", Weight.FAINT),
        ("work hardening", Weight.FAINT),
    ),
    Chips.CURL: (
        ("feed too light", Weight.AGAINST),
        ("feed too heavy", Weight.AGAINST),
        ("band speed too high", Weight.FAINTLY_AGAINST),
    ),
    Chips.THICK_BLUE: (
        ("feed too heavy", Weight.CLEAR),
        ("feed too light", Weight.AGAINST),
        ("band speed too high", Weight.FAINT),
        ("coolant weak or absent", Weight.FAINT),
    ),
    Chips.WELDED: (
        ("coolant weak or absent", Weight.FAINT),
        ("chip brush failed", Weight.FAINT),
        ("gullets full", Weight.FAINT),
    ),
}
"""What chips say. Source: GW2019 p. 164 for powder (light feed); the rest common practice.

A tooth takes feed times pitch over speed: at the feed advised powder comes of too much speed or too fine a
pitch.
"""


def _chips(case: Circumstances) -> Iterator[Clue]:
    chips = case.seen.chips
    if chips is None:
        return
    source = "GW2019" if chips is Chips.POWDER else "trade"
    for cause, weight in _CHIPS[chips]:
        yield Clue(cause, weight, sentence("the chips are {chips}", chips=chips), source)


def _power(case: Circumstances) -> Iterator[Clue]:
    cause, load = "more power asked than the motor has", case.seen.motor_load
    has = case.saw.motor_kw * case.saw.drive_efficiency
    asked = case.setting.peak_power_kw
    if load is not None:
        text = sentence("the load meter stood at {load}", load=f"{load:.0%}")
        weight = Weight.STRONG if load >= 1 else Weight.FAINT if load >= 0.9 else Weight.AGAINST
        yield Clue(cause, weight, text)
        if load < 0.8:
            spared = sentence("{text}: the motor was not the one that gave in", text=text)
            for slips in ("slipping drive", "worn drive wheel"):
                yield Clue(slips, Weight.CLEAR, spared)
            yield Clue("bar harder than it should be", Weight.FAINTLY_AGAINST, text)
    if asked > 0:
        text = sentence(
            "the setting asks for {asked} of {has} at the band",
            asked=quantity(asked, "kW"),
            has=quantity(has, "kW"),
        )
        share = asked / has
        if share > 0.9:
            yield Clue(cause, Weight.CLEAR, text)
        elif share < 0.6:
            yield Clue(cause, Weight.AGAINST, text)

"""The band's own story: age, break-in, bending, where it broke."""

from collections.abc import Iterator

from kerfsmith.faults.circumstances import Broke, Circumstances
from kerfsmith.faults.clue import Clue, Weight
from kerfsmith.units.told import Told, quantity

YOUNG = 0.3
"""Share of the low end of a band's life below which wear is unlikely: house rule."""

FAR_TOO_SMALL = 0.8
"""Share of the wheel wanted under which a band seldom lasts: house rule."""


def band_clues(case: Circumstances) -> Iterator[Clue]:
    """Clues from the band that is mounted."""
    yield from _age(case)
    yield from _break_in(case)
    yield from _bending(case)
    yield from _break(case)
    yield from _told(case)


def _age(case: Circumstances) -> Iterator[Clue]:
    band, life = case.band, case.setting.life_area_cm2
    if band is None or life is None:
        return
    low, usual, _ = life
    cut = quantity(band.cut_cm2, "cm2")
    if band.cut_cm2 >= usual:
        text = f"band {band.id} has cut {cut}, past its usual life of {quantity(usual, 'cm2')}"
        yield Clue("worn band", Weight.STRONG, Told(text))
    elif band.cut_cm2 >= low:
        text = f"band {band.id} has cut {cut}; some are worn from {quantity(low, 'cm2')} on"
        yield Clue("worn band", Weight.CLEAR, Told(text))
    elif band.cut_cm2 < YOUNG * low:
        text = f"band {band.id} has cut only {cut}; few are worn before {quantity(low, 'cm2')}"
        yield Clue("worn band", Weight.AGAINST, Told(text))


def _break_in(case: Circumstances) -> Iterator[Clue]:
    band, fed, report = case.band, case.seen.feed_mm_per_min, case.report
    if band is None:
        return
    left = band.break_in_left_cm2
    share = report.break_in_feed_share if report else None
    if left > 0 and fed is not None and share is not None:
        allowed = share * case.setting.mean_feed_mm_per_min
        if fed > 1.15 * allowed:
            text = (
                f"{quantity(left, 'cm2')} of its break-in are left, and it is fed {quantity(fed, 'mm/min')} "
                f"where {quantity(allowed, 'mm/min')} would break it in"
            )
            yield Clue("band not broken in", Weight.STRONG, Told(text), "trade")
    elif left > 0:
        text = f"{quantity(left, 'cm2')} of its break-in are left"
        yield Clue("band not broken in", Weight.FAINT, Told(text), "trade")
    elif band.break_in_cm2 and band.cut_cm2 > 3 * band.break_in_cm2:
        yield Clue("band not broken in", Weight.AGAINST, Told("its break-in is long done"))


def _bending(case: Circumstances) -> Iterator[Clue]:
    report = case.report
    if report is None:
        return
    if report.wheel_ratio < report.wheel_ratio_wanted:
        text = (
            f"the wheel is {report.wheel_ratio:.0f} times as wide as the band is thick; "
            f"{report.wheel_ratio_wanted:.0f} times is wanted"
        )
        far = report.wheel_ratio < FAR_TOO_SMALL * report.wheel_ratio_wanted
        yield Clue("wheel too small for the band", Weight.STRONG if far else Weight.FAINT, Told(text))
    else:
        text = f"the wheel is {report.wheel_ratio:.0f} times as wide as the band is thick"
        yield Clue("wheel too small for the band", Weight.AGAINST, Told(text))
    yield from _fatigue(case, report.fatigue_use)


def _fatigue(case: Circumstances, use: float) -> Iterator[Clue]:
    if case.band is None or case.setting.life_area_cm2 is None:
        return
    used = case.band.cut_cm2 / case.setting.life_area_cm2[1]
    cause = "band at the end of its fatigue life"
    if use > 1 and used > 0.5:
        text = f"its back is stressed to {use:.2f} of what it bears without end, and it is not new"
        yield Clue(cause, Weight.CLEAR, Told(text))
    elif used > 1:
        yield Clue(cause, Weight.CLEAR, Told(f"it has cut {used:.1f} times its usual life"))
    elif used < YOUNG:
        yield Clue(cause, Weight.AGAINST, Told("the band is young"))


def _break(case: Circumstances) -> Iterator[Clue]:
    if case.seen.broke is Broke.AT_WELD:
        yield Clue("poor weld", Weight.STRONG, Told("it broke at the weld"), "trade")
        return
    if case.seen.broke is not None:
        yield Clue("poor weld", Weight.RULES_OUT, Told("it did not break at the weld"))
    if case.seen.broke is Broke.FROM_BACK:
        for cause in ("tension too high", "guides too tight", "worn wheel flange"):
            yield Clue(cause, Weight.CLEAR, Told("the crack began at the back"), "trade")
        yield Clue("enters at a corner", Weight.AGAINST, Told("the crack did not begin at the teeth"))
    if case.seen.broke is Broke.FROM_GULLET:
        for cause in ("band at the end of its fatigue life", "enters at a corner", "feed too heavy"):
            yield Clue(cause, Weight.FAINT, Told("the crack began in a gullet"), "trade")
        yield Clue("worn wheel flange", Weight.AGAINST, Told("the crack did not begin at the back"))


def _told(case: Circumstances) -> Iterator[Clue]:
    right_way = case.seen.band_runs_right_way
    if right_way is False:
        yield Clue("band fitted backwards", Weight.STRONG, Told("the teeth point against its run"))
    elif right_way:
        yield Clue("band fitted backwards", Weight.RULES_OUT, Told("the teeth point with its run"))
    else:
        rare = Told("nobody looked; it is seldom so")
        yield Clue("band fitted backwards", Weight.FAINTLY_AGAINST, rare)
    if case.seen.teeth_missing:
        yield Clue("teeth damaged", Weight.STRONG, Told("teeth are chipped or missing"))
    elif case.seen.teeth_missing is False:
        yield Clue("teeth damaged", Weight.RULES_OUT, Told("all teeth are there"))
    if case.seen.started_in_old_kerf:
        yield Clue(
            "started in an old kerf", Weight.STRONG, Told("it was put into a kerf already begun"), "GW2019"
        )
    elif case.seen.started_in_old_kerf is False:
        yield Clue("started in an old kerf", Weight.RULES_OUT, Told("it began its own kerf"))
    elif case.cuts_since_mounted is not None and case.cuts_since_mounted > 3:
        text = f"{case.cuts_since_mounted} cuts since it was mounted"
        yield Clue("started in an old kerf", Weight.AGAINST, Told(text))

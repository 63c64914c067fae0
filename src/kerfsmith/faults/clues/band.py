"""The band's own story: age, break-in, bending, where it broke."""

from collections.abc import Iterator

from kerfsmith.faults.circumstances import Broke, Circumstances
from kerfsmith.faults.clue import Clue, Weight
from kerfsmith.units.told import Told, quantity, sentence

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
        text = sentence(
            "band {band} has cut {cut}, past its usual life of {usual}",
            band=band.id,
            cut=cut,
            usual=quantity(usual, "cm2"),
        )
        yield Clue("worn band", Weight.STRONG, text)
    elif band.cut_cm2 >= low:
        text = sentence(
            "band {band} has cut {cut}; some are worn from {low} on",
            band=band.id,
            cut=cut,
            low=quantity(low, "cm2"),
        )
        yield Clue("worn band", Weight.CLEAR, text)
    else:
        text = sentence(
            "band {band} has cut only {cut}; few are worn before {low}",
            band=band.id,
            cut=cut,
            low=quantity(low, "cm2"),
        )
        young = band.cut_cm2 < YOUNG * low
        yield Clue("worn band", Weight.AGAINST if young else Weight.FAINTLY_AGAINST, text)


def _break_in(case: Circumstances) -> Iterator[Clue]:
    band, fed, report = case.band, case.seen.feed_mm_per_min, case.report
    if band is None:
        return
    left = band.break_in_left_cm2
    share = report.break_in_feed_share if report else None
    if left > 0 and fed is not None and share is not None:
        allowed = share * case.setting.mean_feed_mm_per_min
        if fed > 1.15 * allowed:
            text = sentence(
                "{left} of its break-in are left, and it is fed {fed} where {allowed} would break it in",
                left=quantity(left, "cm2"),
                fed=quantity(fed, "mm/min"),
                allowed=quantity(allowed, "mm/min"),
            )
            yield Clue("band not broken in", Weight.STRONG, text, "trade")
    elif left > 0:
        text = sentence("{left} of its break-in are left", left=quantity(left, "cm2"))
        yield Clue("band not broken in", Weight.FAINT, text, "trade")
    elif band.break_in_cm2 and band.cut_cm2 > 3 * band.break_in_cm2:
        yield Clue("band not broken in", Weight.AGAINST, Told("its break-in is long done"))


def _bending(case: Circumstances) -> Iterator[Clue]:
    report = case.report
    if report is None:
        return
    if report.wheel_ratio < report.wheel_ratio_wanted:
        text = sentence(
            "the wheel is {wheel_ratio} times as wide as the band is thick; "
            "{wheel_ratio_wanted} times is wanted",
            wheel_ratio=f"{report.wheel_ratio:.0f}",
            wheel_ratio_wanted=f"{report.wheel_ratio_wanted:.0f}",
        )
        far = report.wheel_ratio < FAR_TOO_SMALL * report.wheel_ratio_wanted
        yield Clue("wheel too small for the band", Weight.STRONG if far else Weight.FAINT, text)
    else:
        text = sentence(
            "the wheel is {wheel_ratio} times as wide as the band is thick",
            wheel_ratio=f"{report.wheel_ratio:.0f}",
        )
        yield Clue("wheel too small for the band", Weight.AGAINST, text)
    yield from _fatigue(case, report.fatigue_use)


def _fatigue(case: Circumstances, use: float) -> Iterator[Clue]:
    if case.band is None or case.setting.life_area_cm2 is None:
        return
    used = case.band.cut_cm2 / case.setting.life_area_cm2[1]
    cause = "band at the end of its fatigue life"
    if use > 1 and used > 0.5:
        text = sentence(
            "its back is stressed to {use} of what it bears without end, and it is not new", use=f"{use:.2f}"
        )
        yield Clue(cause, Weight.CLEAR, text)
    elif used > 1:
        yield Clue(
            cause, Weight.CLEAR, sentence("it has cut {used} times its usual life", used=f"{used:.1f}")
        )
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
        text = sentence(
            "{cuts_since_mounted} cuts since it was mounted", cuts_since_mounted=case.cuts_since_mounted
        )
        yield Clue("started in an old kerf", Weight.AGAINST, text)

"""How band and work are held: tension, guides, vise, drive."""

from collections.abc import Iterator

from kerfsmith.faults.circumstances import Circumstances
from kerfsmith.faults.clue import Clue, Weight
from kerfsmith.units.told import Told, quantity, sentence


def hold_clues(case: Circumstances) -> Iterator[Clue]:
    """Clues from tension, guides, clamping and drive."""
    yield from _tension(case)
    yield from _guides(case)
    yield from _work(case)
    yield from _head(case)


def _tension(case: Circumstances) -> Iterator[Clue]:
    measured, wanted = case.seen.tension_mpa, case.saw.band_tension_mpa
    loose, tight = "band too loose", "tension too high"
    if measured is not None:
        text = sentence(
            "tension {measured} where the saw should have {wanted}",
            measured=quantity(measured, "MPa"),
            wanted=quantity(wanted, "MPa"),
        )
        share = measured / wanted
        if share < 0.9:
            yield Clue(loose, Weight.STRONG if share < 0.8 else Weight.CLEAR, text)
            yield Clue(tight, Weight.RULES_OUT, text)
        elif share > 1.1:
            yield Clue(tight, Weight.STRONG if share > 1.2 else Weight.CLEAR, text)
            yield Clue(loose, Weight.RULES_OUT, text)
        else:
            yield Clue(loose, Weight.AGAINST, text)
            yield Clue(tight, Weight.AGAINST, text)
        return
    usual = case.report.tension_usual_mpa if case.report else None
    if usual is not None and wanted < usual[0]:
        put, least = quantity(wanted, "MPa"), quantity(usual[0], "MPa")
        text = sentence(
            "the saw puts {put} into a band that usually gets {least} or more", put=put, least=least
        )
        yield Clue(loose, Weight.FAINT, text)


def _guides(case: Circumstances) -> Iterator[Clue]:
    span, needed = case.seen.guide_span_mm, case.setting.guide_span_mm
    cause = "guides too far apart"
    if span is not None and needed > 0:
        text = sentence(
            "guides {span} apart where {needed} would do",
            span=quantity(span, "mm"),
            needed=quantity(needed, "mm"),
        )
        share = span / needed
        weight = Weight.STRONG if share > 1.5 else Weight.CLEAR if share > 1.2 else Weight.AGAINST
        yield Clue(cause, weight, text, "GW2019")
    share = case.setting.band_force_share
    if share > 0.9:
        text = sentence(
            "the advice itself takes {share} of the force that the band bears straight", share=f"{share:.0%}"
        )
        yield Clue("feed too heavy", Weight.FAINT, text)
        yield Clue("band too loose", Weight.FAINT, text)
        yield Clue("guides too far apart", Weight.FAINT, text)
    elif 0 < share < 0.4:
        text = sentence(
            "the advice takes only {share} of the force that the band bears straight", share=f"{share:.0%}"
        )
        yield Clue("guides too far apart", Weight.FAINTLY_AGAINST, text)


def _work(case: Circumstances) -> Iterator[Clue]:
    if case.seen.work_firm is False:
        yield Clue("work loose", Weight.STRONG, Told("the work could be moved in the vise"))
    elif case.seen.work_firm:
        yield Clue("work loose", Weight.RULES_OUT, Told("the work was firm in the vise"))
    elif case.bundle > 1:
        text = sentence("{bundle} bars were cut at once, and any of them may be loose", bundle=case.bundle)
        yield Clue("work loose", Weight.FAINT, text)
    square = case.seen.square_in_vise
    if square is False:
        yield Clue("work not square in the vise", Weight.STRONG, Told("the work did not lie square"))
    elif square:
        yield Clue("work not square in the vise", Weight.RULES_OUT, Told("the work lay square"))
    if case.seen.drive_slips:
        # Belt and wheel slip alike: only the check tells them apart.
        for slips in ("slipping drive", "worn drive wheel"):
            yield Clue(slips, Weight.STRONG, Told("the band slows while the motor does not"))
    elif case.seen.drive_slips is False:
        yield Clue("slipping drive", Weight.RULES_OUT, Told("the band keeps its speed"))
        yield Clue("worn drive wheel", Weight.AGAINST, Told("the band keeps its speed"))


def _head(case: Circumstances) -> Iterator[Clue]:
    if case.seen.came_down_hard:
        yield Clue(
            "band dropped on the work", Weight.STRONG, Told("the head came down on the work"), "GW2019"
        )
    elif case.seen.came_down_hard is False:
        yield Clue("band dropped on the work", Weight.RULES_OUT, Told("the head came down gently"))

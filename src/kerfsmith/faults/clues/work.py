"""The work itself and what cools it: grade, skin, hardness, coolant."""

from collections.abc import Iterator

from kerfsmith.faults.circumstances import Circumstances, Skin
from kerfsmith.faults.clue import Clue, Weight
from kerfsmith.units.told import Told, sentence

LEAST_COOLANT_PERCENT = 5.0
"""Concentration below which a sawing coolant counts as weak.

Sources disagree: NAV14345 has about 2.5 % soluble oil, the trade 8 to 12 % (memory): between the two.
"""


def work_clues(case: Circumstances) -> Iterator[Clue]:
    """Clues from grade, bar and coolant."""
    yield from _coolant(case)
    yield from _hardening(case)
    yield from _skin(case)
    yield from _hardness(case)


def _coolant(case: Circumstances) -> Iterator[Clue]:
    cause, seen = "coolant weak or absent", case.seen
    if case.grade.coolant == "dry":
        yield Clue(cause, Weight.RULES_OUT, sentence("{grade} is sawn dry", grade=case.grade.name))
        return
    if seen.coolant_runs is False:
        yield Clue(cause, Weight.STRONG, Told("no coolant ran"))
    elif seen.coolant_percent is not None and seen.coolant_percent < LEAST_COOLANT_PERCENT:
        yield Clue(
            cause,
            Weight.CLEAR,
            sentence(
                "the refractometer reads {coolant_percent} %", coolant_percent=f"{seen.coolant_percent:g}"
            ),
            "NAV14345",
        )
    elif seen.coolant_percent is not None:
        yield Clue(
            cause,
            Weight.AGAINST,
            sentence(
                "the refractometer reads {coolant_percent} %", coolant_percent=f"{seen.coolant_percent:g}"
            ),
            "NAV14345",
        )
    elif seen.coolant_runs:
        yield Clue(cause, Weight.FAINTLY_AGAINST, Told("coolant ran"))
    elif not case.saw.coolant:
        yield Clue(cause, Weight.CLEAR, sentence("the {saw} has no coolant", saw=case.saw.name))


def _hardening(case: Circumstances) -> Iterator[Clue]:
    cause, glazed = "work hardening", case.seen.face_glazed
    if not case.grade.work_hardens:
        yield Clue(cause, Weight.RULES_OUT, sentence("{grade} hardly work-hardens", grade=case.grade.name))
        if glazed:
            yield Clue("hard spot", Weight.CLEAR, Told("the face is glazed"), "OD1646")
    elif glazed:
        yield Clue(
            cause,
            Weight.STRONG,
            sentence("{grade} work-hardens and its face is glazed", grade=case.grade.name),
        )
    elif glazed is False:
        yield Clue(cause, Weight.AGAINST, Told("the face is not glazed"))
    else:
        yield Clue(cause, Weight.FAINT, sentence("{grade} work-hardens", grade=case.grade.name))


def _skin(case: Circumstances) -> Iterator[Clue]:
    skin, cause = case.seen.skin, "scale or hard skin"
    if skin is Skin.CLEAN:
        yield Clue(cause, Weight.RULES_OUT, Told("the bar's skin is clean"))
    elif skin is not None:
        yield Clue(
            cause,
            Weight.CLEAR if skin is Skin.SCALE else Weight.STRONG,
            sentence("the skin: {skin}", skin=skin),
        )


def _hardness(case: Circumstances) -> Iterator[Clue]:
    harder, found, usual = "bar harder than it should be", case.seen.hardness_hb, case.grade.hb
    if found is not None:
        text = sentence(
            "{found} HB where {grade} has {usual_low} to {usual_high}",
            found=f"{found:g}",
            grade=case.grade.name,
            usual_low=f"{usual.low:g}",
            usual_high=f"{usual.high:g}",
        )
        over = found > max(1.1 * usual.value, usual.high)
        yield Clue(harder, Weight.STRONG if over else Weight.RULES_OUT, text, usual.source)
    if case.other_bars_fine:
        text = Told("other bars of this grade go well with the same band")
        yield Clue(harder, Weight.CLEAR, text)
        yield Clue("hard spot", Weight.CLEAR, text)
        for cause in ("worn band", "band too loose", "band fitted backwards", "slipping drive"):
            yield Clue(cause, Weight.AGAINST, text)
    elif case.other_bars_fine is False:
        text = Told("other bars of this grade go as badly")
        yield Clue(harder, Weight.AGAINST, text)
        yield Clue("hard spot", Weight.AGAINST, text)

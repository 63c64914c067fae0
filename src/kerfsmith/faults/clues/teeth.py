"""Pitch against section: teeth in the cut, gullets, entry, brush."""

from collections.abc import Iterator

from kerfsmith.catalog.band import Pitch
from kerfsmith.faults.circumstances import Circumstances
from kerfsmith.faults.clue import Clue, Weight
from kerfsmith.units.told import Told, quantity, sentence

LEAST_TEETH = 3.0
"""Teeth that must be in the cut. Source: GW2019 p. 164; NAV14345."""

ENTRY = 0.01
"""Depth, as a share of the height, at which the entry is judged."""

POINTED = 0.05
"""Contact there, as a share of the widest, under which the band meets a point: a round has 0.2."""


def teeth_clues(case: Circumstances) -> Iterator[Clue]:
    """Clues from how the teeth meet the section."""
    advised, pitch = case.setting.band.pitch, case.band_kind.pitch
    if pitch is None or advised is None:
        return
    # Teeth in the cut are chord over pitch, so those of another band follow from those of the advised one.
    yield from _few(case.setting.least_teeth_in_cut * advised.coarse_mm / pitch.coarse_mm)
    yield from _many(case.setting.most_teeth_in_cut * advised.mean_mm / pitch.mean_mm)
    if case.band_kind.id == case.setting.band.id:
        yield from _gullets(case.setting.fullest_gullet)
    yield from _entry(case)
    yield from _pitch_kind(case, pitch)
    yield from _brush(case)


def _few(least: float) -> Iterator[Clue]:
    cause = "too few teeth in the cut"
    text = sentence("{least} teeth in the thinnest part of the cut", least=f"{least:.1f}")
    if least < LEAST_TEETH:
        yield Clue(cause, Weight.STRONG if least < LEAST_TEETH / 2 else Weight.CLEAR, text, "GW2019")
    else:
        yield Clue(cause, Weight.RULES_OUT, text, "GW2019")


def _many(most: float) -> Iterator[Clue]:
    many = sentence("{most} teeth in the widest part of the cut", most=f"{most:.0f}")
    if most > 24:
        yield Clue("pitch too fine", Weight.STRONG if most > 40 else Weight.CLEAR, many, "trade")
        yield Clue("too coarse a pitch for the face", Weight.AGAINST, many)
    else:
        yield Clue("pitch too fine", Weight.AGAINST, many)
    if most < 4 * LEAST_TEETH:
        weight = Weight.CLEAR if most < 2 * LEAST_TEETH else Weight.FAINT
        yield Clue("too coarse a pitch for the face", weight, many)


def _gullets(full: float) -> Iterator[Clue]:
    gullets = sentence("gullets {full} full at the setting advised", full=f"{full:.0%}")
    if full > 0.9:
        yield Clue("gullets full", Weight.CLEAR, gullets)
        yield Clue("pitch too fine", Weight.FAINT, gullets)
    elif full < 0.5:
        yield Clue("gullets full", Weight.AGAINST, gullets)


def _entry(case: Circumstances) -> Iterator[Clue]:
    slices = case.setting.slices
    if len(slices) < 3:
        return
    top, height = slices[0].depth_mm, slices[-1].depth_mm - slices[0].depth_mm
    first = min(slices, key=lambda one: abs(one.depth_mm - top - ENTRY * height))
    widest = max(one.contact_mm for one in slices)
    if widest <= 0:
        return
    text = sentence(
        "the band meets {contact} at its entry and {widest} at most",
        contact=quantity(first.contact_mm, "mm"),
        widest=quantity(widest, "mm"),
    )
    pointed = first.contact_mm < POINTED * widest
    yield Clue("enters at a corner", Weight.CLEAR if pointed else Weight.AGAINST, text)


def _pitch_kind(case: Circumstances, pitch: Pitch) -> Iterator[Clue]:
    if pitch.coarse_tpi == pitch.fine_tpi:
        yield Clue(
            "constant pitch",
            Weight.CLEAR,
            sentence("the band has a constant pitch of {pitch} TPI", pitch=pitch),
            "trade",
        )
    else:
        yield Clue(
            "constant pitch", Weight.RULES_OUT, sentence("the band's pitch varies, {pitch} TPI", pitch=pitch)
        )
    changes = case.seen.speed_changes_noise
    if changes:
        yield Clue("resonance", Weight.STRONG, Told("the noise changes with the band speed"), "trade")
    elif changes is False:
        yield Clue("resonance", Weight.AGAINST, Told("the noise stays when the band speed is moved"), "trade")


def _brush(case: Circumstances) -> Iterator[Clue]:
    turns = case.seen.brush_turns
    if turns is False:
        yield Clue("chip brush failed", Weight.STRONG, Told("the brush does not turn"), "trade")
        yield Clue("gullets full", Weight.CLEAR, Told("the brush does not turn"), "trade")
    elif turns:
        yield Clue("chip brush failed", Weight.RULES_OUT, Told("the brush turns"))

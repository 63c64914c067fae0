"""Whether a run may go on with nobody there, and why or why not.

The limits are the shop's to set; those given are common practice, not law. The saw's own manual, local
rules and the insurer come before all of them.
"""

import math
from collections.abc import Iterator
from dataclasses import dataclass, field

from kerfsmith.catalog.figure import Confidence
from kerfsmith.catalog.material import Hazard
from kerfsmith.errors import InvalidValue
from kerfsmith.scheduling.problem import Unattended
from kerfsmith.units.told import Told, joined, quantity, sentence

LOCAL_RULES = Told("The saw's manual, local rules and the insurer come before this.")

BURNING = frozenset({Hazard.FIRE_MAGNESIUM, Hazard.FIRE_TITANIUM, Hazard.WOOD_DUST, Hazard.HOT_CHIPS})
"""Chips or dust that burn: somebody with the right extinguishing agent must be there."""

WATCHED = frozenset({Hazard.BERYLLIUM, Hazard.SILICA, Hazard.CONDUCTIVE_DUST, Hazard.FIBRE_DUST})
"""Dust whose extraction must be watched while it is made."""

HAZARD_WORDS = {
    Hazard.FIRE_MAGNESIUM: Told("magnesium chips burn, and water makes it worse"),
    Hazard.FIRE_TITANIUM: Told("titanium chips and fines burn"),
    Hazard.WOOD_DUST: Told("wood dust burns and explodes"),
    Hazard.HOT_CHIPS: Told("chips come off hot enough to set things alight"),
    Hazard.BERYLLIUM: Told("beryllium: extraction must be watched"),
    Hazard.SILICA: Told("silica dust: extraction must be watched"),
    Hazard.CONDUCTIVE_DUST: Told("conductive dust: extraction must be watched"),
    Hazard.FIBRE_DUST: Told("fibre dust: extraction must be watched"),
}


@dataclass(frozen=True, slots=True)
class UnattendedRules:
    """The shop's limits. Each is common practice until the shop sets its own.

    ``most_piece_kg``: a heavier piece is lifted off by crane, not left to drop (25 kg: reference mass of
    ISO 11228-1 for lifting by hand). ``longest_piece_mm``: what the outfeed catches. ``least_tilt_deg``:
    a piece cut off must stand being tilted so far. ``longest_bar_mm``: long stock is supported, fenced
    off and watched. ``most_strokes``: each stroke of the shuttle is a chance to slip.
    ``most_force_share``: near the force that the band bears, a cut may run out of square. Raises
    InvalidValue for a limit below zero.
    """

    most_piece_kg: float = 25.0
    longest_piece_mm: float = 1000.0
    least_tilt_deg: float = 15.0
    longest_bar_mm: float = 6500.0
    most_strokes: int = 2
    most_force_share: float = 0.8
    hazards: frozenset[Hazard] = field(default_factory=lambda: BURNING | WATCHED)
    mark: Confidence = Confidence.COMMON_PRACTICE

    def __post_init__(self) -> None:
        limits = (self.most_piece_kg, self.longest_piece_mm, self.longest_bar_mm, self.most_force_share)
        if min(*limits, self.most_strokes) < 0 or not 0 <= self.least_tilt_deg < 90:
            raise InvalidValue("a limit of unattended work can't be below zero")


@dataclass(frozen=True, slots=True)
class Part:
    """What the rule looks at in a run: its heaviest piece, its shortest and longest, how it stands, its
    bar, its chips.

    ``height_mm`` is the section's as it lies. ``strokes`` is the most that one piece takes.
    ``force_share`` is peak feed force over what the band bears. ``mitred`` and ``bundle`` say whether
    ends lean and how many lie together.
    """

    piece_kg: float
    shortest_mm: float
    longest_mm: float
    height_mm: float
    bar_mm: float
    strokes: int
    hazards: tuple[Hazard, ...] = ()
    force_share: float = 0.0
    mitred: bool = False
    bundle: int = 1
    dry: bool = False

    @property
    def tilt_deg(self) -> float:
        """How far the shortest piece, standing on its cut-off length, can be tilted before it falls:
        atan(length /
        height). Source: derived, centre of mass over the edge of the foot; for an even section."""
        return math.degrees(math.atan2(self.shortest_mm, self.height_mm))


def judge_unattended(part: Part, rules: UnattendedRules) -> Unattended:
    """Whether ``part`` may be cut with nobody there, with every ground against it, or what was looked at."""
    against = tuple(_against(part, rules))
    if against:
        return Unattended(
            False,
            sentence(
                "{against} ({mark}). {rules}",
                against=joined("; ", against),
                mark=rules.mark,
                rules=LOCAL_RULES,
            ),
        )
    heaviest, longest = quantity(part.piece_kg, "kg"), quantity(part.longest_mm, "mm")
    return Unattended(
        True,
        sentence(
            "heaviest piece {heaviest} of {most_piece}, longest {longest} of "
            "{longest_piece}, stands {tilt}° of tilt, strokes a piece {strokes}, no "
            "chips that must be watched ({mark}). {rules}",
            heaviest=heaviest,
            most_piece=quantity(rules.most_piece_kg, "kg"),
            longest=longest,
            longest_piece=quantity(rules.longest_piece_mm, "mm"),
            tilt=f"{part.tilt_deg:.0f}",
            strokes=part.strokes,
            mark=rules.mark,
            rules=LOCAL_RULES,
        ),
    )


def _against(part: Part, rules: UnattendedRules) -> Iterator[Told]:
    for hazard in part.hazards:
        if hazard in rules.hazards:
            yield HAZARD_WORDS.get(hazard, Told(hazard.value))
    if part.piece_kg > rules.most_piece_kg:
        most = quantity(rules.most_piece_kg, "kg")
        yield sentence(
            "a piece weighs {piece}, more than {most}", piece=quantity(part.piece_kg, "kg"), most=most
        )
    if part.longest_mm > rules.longest_piece_mm:
        most = quantity(rules.longest_piece_mm, "mm")
        yield sentence(
            "a piece is {longest} long, more than {most}", longest=quantity(part.longest_mm, "mm"), most=most
        )
    if part.tilt_deg < rules.least_tilt_deg:
        yield (
            sentence(
                "a piece {shortest} long and {height} high falls over when tilted by {tilt}°, "
                "{least_tilt}° wanted",
                shortest=quantity(part.shortest_mm, "mm"),
                height=quantity(part.height_mm, "mm"),
                tilt=f"{part.tilt_deg:.0f}",
                least_tilt=f"{rules.least_tilt_deg:.0f}",
            )
        )
    if part.bar_mm > rules.longest_bar_mm:
        most = quantity(rules.longest_bar_mm, "mm")
        yield sentence("the bar is {bar} long, more than {most}", bar=quantity(part.bar_mm, "mm"), most=most)
    if part.strokes > rules.most_strokes:
        yield sentence(
            "a piece takes {strokes} strokes, more than {most_strokes}",
            strokes=part.strokes,
            most_strokes=rules.most_strokes,
        )
    if part.force_share > rules.most_force_share:
        yield sentence(
            "the feed force is {force_share} of what the band bears straight",
            force_share=f"{part.force_share:.0%}",
        )
    if part.mitred:
        yield Told("the head swings between cuts")
    if part.bundle > 1:
        yield Told("a bundle may shift in the vise")
    if part.dry:
        yield Told("it is cut dry, and chips and pieces come off hot")

"""What the shop decides for itself: least remnant, usual stock length, currency."""

from dataclasses import dataclass
from enum import StrEnum

from kerfsmith.errors import InvalidValue
from kerfsmith.shop.factors import NO_FACTORS, Factors
from kerfsmith.units.told import Told


class NextAim(StrEnum):
    """What decides between plans whose bars cost the same."""

    REMNANT_WORTH = "worth of the remnants"
    FEW_REMNANTS = "few remnants"
    FEW_PATTERNS = "few different bars"
    FEW_CUTS = "few cuts"
    FEW_LOADS = "few loads"
    SAW_HOURS = "few saw hours"


@dataclass(frozen=True, slots=True)
class ShopRules:
    """The shop's own decisions, each of which a lead may change.

    ``least_remnant_um``: a shorter remnant is scrap (common practice: 150 to 500 mm are kept).
    ``stock_length_um``: the length in which a section that isn't on the rack is bought.
    ``buying_weight``: how many metres off the rack one bought metre is worth in choosing bars, so that
    the rack is used up before anything is bought.
    ``inspect_every``: after so many pieces one is measured again (common practice: 10 to 50).
    ``next_aims``: what decides, in this order, between plans whose bars cost the same.
    ``long_remnant_um`` and ``long_remnant_percent``: a remnant so long or longer is worth so many hundredths
    of the cheapest metre of bar; a shorter one is kept but worth nothing (common practice: what will take
    most pieces of the usual work).
    ``most_new_remnants``: how many new remnants one group may leave (None: any number); others are scrap.
    ``keep_due_order``: pieces due by a day lie on no more bars than they would need alone, so that later work
    fills their bars and never pushes them onto others; counted in bars, not in minutes.
    ``one_heat_an_order``: all pieces of an order that are of one grade and section come from one heat; a bar
    whose heat isn't known serves none of them.
    ``most_at_once``: so many equal bars may lie in the vise and be cut at once, where saw and section allow
    (1: each bar alone). ``bundle_tolerance_um``: a length that may be off by less than this either way is
    never cut in a bundle (common practice: bundles hold about 1 mm).
    ``factors``: what the shop's own records put on published figures, as far as a person accepted it.
    ``break_in_cm2``: the area over which a new band is broken in (common practice: 300 to 650 for bimetal).

    Raises InvalidValue for a length or weight that isn't above zero.
    """

    name: str = "The shop"
    currency: str = "EUR"
    least_remnant_um: int = 300_000
    stock_length_um: int = 6_000_000
    buying_weight: int = 10
    inspect_every: int = 25
    break_in_cm2: float = 500.0
    next_aims: tuple[NextAim, ...] = (NextAim.REMNANT_WORTH, NextAim.FEW_PATTERNS)
    long_remnant_um: int = 1_000_000
    long_remnant_percent: int = 50
    most_new_remnants: int | None = None
    keep_due_order: bool = True
    one_heat_an_order: bool = False
    most_at_once: int = 1
    bundle_tolerance_um: int = 1_000
    factors: Factors = NO_FACTORS

    def __post_init__(self) -> None:
        least = min(self.least_remnant_um, self.stock_length_um, self.buying_weight, self.inspect_every)
        if least <= 0 or self.break_in_cm2 < 0:
            raise InvalidValue(Told("the shop's lengths and weights must be above zero"))
        if not 0 <= self.long_remnant_percent <= 100 or self.long_remnant_um < 0:
            raise InvalidValue(Told("a long remnant is worth 0 to 100 percent of bar"))
        if self.most_at_once < 1 or self.bundle_tolerance_um < 0:
            raise InvalidValue(Told("a load holds a bar at least, and no length is off by less than nothing"))
        if (self.most_new_remnants or 0) < 0 or len(set(self.next_aims)) < len(self.next_aims):
            raise InvalidValue(Told("remnants left must not be below zero, and each aim is named once"))

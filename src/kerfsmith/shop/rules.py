"""What the shop decides for itself: least remnant, usual stock length, currency."""

from dataclasses import dataclass

from kerfsmith.errors import InvalidValue
from kerfsmith.shop.factors import NO_FACTORS, Factors


@dataclass(frozen=True, slots=True)
class ShopRules:
    """The shop's own decisions, each of which a lead may change.

    ``least_remnant_um``: a shorter remnant is scrap (common practice: 150 to 500 mm are kept).
    ``stock_length_um``: the length in which a section that isn't on the rack is bought.
    ``buying_weight``: how many metres off the rack one bought metre is worth in choosing bars, so that
    the rack is used up before anything is bought.
    ``inspect_every``: after so many pieces one is measured again (common practice: 10 to 50).
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
    factors: Factors = NO_FACTORS

    def __post_init__(self) -> None:
        least = min(self.least_remnant_um, self.stock_length_um, self.buying_weight, self.inspect_every)
        if least <= 0 or self.break_in_cm2 < 0:
            raise InvalidValue("the shop's lengths and weights must be above zero")

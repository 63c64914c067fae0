"""What the shop decides for itself: least remnant, usual stock length, currency."""

from dataclasses import dataclass

from kerfsmith.errors import InvalidValue


@dataclass(frozen=True, slots=True)
class ShopRules:
    """The shop's own decisions, each of which a lead may change.

    ``least_remnant_um``: a shorter remnant is scrap (common practice: 150 to 500 mm are kept).
    ``stock_length_um``: the length in which a section that isn't on the rack is bought.
    ``buying_weight``: how many metres off the rack one bought metre is worth in choosing bars, so that
    the rack is used up before anything is bought.
    ``facing_um``: waste of the facing cut where the saw's sheet doesn't say.

    Raises InvalidValue for a length or weight that isn't above zero.
    """

    name: str = "The shop"
    currency: str = "EUR"
    least_remnant_um: int = 300_000
    stock_length_um: int = 6_000_000
    buying_weight: int = 10

    def __post_init__(self) -> None:
        if min(self.least_remnant_um, self.stock_length_um, self.buying_weight) <= 0:
            raise InvalidValue("the shop's lengths and weights must be above zero")

"""A shop for the command line: its tables, rules, rates, hours and decisions, or those of the house."""

from dataclasses import dataclass, field
from pathlib import Path

from kerfsmith.catalog.catalog import Catalog
from kerfsmith.costing.rates import Rates
from kerfsmith.errors import InvalidValue
from kerfsmith.library.load import load_catalog
from kerfsmith.scheduling.hours import ShopHours
from kerfsmith.shop.factors import FactorDecided
from kerfsmith.shop.rules import ShopRules
from kerfsmith.wiring.records import open_store
from kerfsmith.wiring.shop_tables import ShopTables


@dataclass(frozen=True, slots=True)
class ShopAtHand:
    """All that a command reads of a shop. ``rules`` carry the factors that ``decided`` put in force."""

    catalog: Catalog = field(default_factory=load_catalog)
    rules: ShopRules = field(default_factory=ShopRules)
    rates: Rates = field(default_factory=Rates)
    hours: ShopHours = field(default_factory=ShopHours)
    decided: tuple[FactorDecided, ...] = ()


def shop_at_hand(shop: str) -> ShopAtHand:
    """The shop whose records are named, the house's own figures where none are.

    Raises InvalidValue where there are no such records.
    """
    if not shop:
        return ShopAtHand()
    if "://" not in shop and not Path(shop).expanduser().is_file():
        raise InvalidValue(f"there are no records in {shop}; name those of a shop")
    store = open_store(shop)
    catalog = ShopTables(store, load_catalog()).now()
    with store.look() as look:
        return ShopAtHand(
            catalog, look.rules(), look.prices.rates(), look.weeks.hours(), look.learning.decisions()
        )

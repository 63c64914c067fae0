"""Label stocks: where the labels lie on a sheet or roll."""

from dataclasses import dataclass
from types import MappingProxyType

from kerfsmith.errors import InvalidValue, UnknownName


@dataclass(frozen=True, slots=True)
class Stock:
    """Labels of ``width_mm`` by ``height_mm`` in ``columns`` by ``rows`` on a page, all in mm.

    The first lies ``left_mm`` and ``top_mm`` from the page's corner, the next ``step_x_mm`` and ``step_y_mm``
    on. ``inset_mm`` stays empty inside each label for the printer's and the die's play.

    Raises InvalidValue where the labels overlap or reach beyond the page.
    """

    name: str
    text: str
    page_width_mm: float
    page_height_mm: float
    width_mm: float
    height_mm: float
    columns: int
    rows: int
    left_mm: float
    top_mm: float
    step_x_mm: float
    step_y_mm: float
    inset_mm: float

    def __post_init__(self) -> None:
        across = self.left_mm + (self.columns - 1) * self.step_x_mm + self.width_mm
        down = self.top_mm + (self.rows - 1) * self.step_y_mm + self.height_mm
        if across > self.page_width_mm + 1e-6 or down > self.page_height_mm + 1e-6:
            raise InvalidValue(f"stock {self.name}: the labels reach beyond the page")
        if (self.columns > 1 and self.step_x_mm < self.width_mm) or (
            self.rows > 1 and self.step_y_mm < self.height_mm
        ):
            raise InvalidValue(f"stock {self.name}: the labels overlap")

    @property
    def per_page(self) -> int:
        """Labels on one page."""
        return self.columns * self.rows


STOCKS = MappingProxyType(
    {
        stock.name: stock
        for stock in (
            Stock("a4-24", "A4, 24 labels of 70 × 37 mm", 210, 297, 70, 37, 3, 8, 0, 0.5, 70, 37, 3),
            Stock(
                "letter-30",
                "Letter, 30 labels of 2 5/8 × 1 in",
                215.9,
                279.4,
                66.675,
                25.4,
                3,
                10,
                4.7625,
                12.7,
                69.85,
                25.4,
                1.6,
            ),
            Stock("roll-100x50", "roll, labels of 100 × 50 mm", 100, 50, 100, 50, 1, 1, 0, 0, 100, 50, 3),
        )
    }
)
"""The stocks that are sold everywhere (common practice; measure a sheet of your own before a long run)."""


def stock_named(name: str) -> Stock:
    """The stock of that name. Raises UnknownName."""
    if name not in STOCKS:
        raise UnknownName("label stock", name, tuple(STOCKS))
    return STOCKS[name]

"""Pieces cut from something else than what was ordered, as the order allows, and what that saves."""

from dataclasses import dataclass

from kerfsmith.shop.order import Material


@dataclass(frozen=True, slots=True)
class Substituted:
    """``count`` pieces of a line that a group cuts although ``ordered`` is what was ordered for them."""

    line_id: str
    mark: str
    count: int
    ordered: Material


@dataclass(frozen=True, slots=True)
class SubstitutesPrice:
    """What the groups named save together by the substitutes taken, against each cutting what was ordered.

    ``pieces`` more can be cut; ``to_buy`` fewer bars are to be bought, ``bars`` fewer taken, and bars cost
    ``cost`` less, in ``cost_unit``; ``runs`` fewer are to be set up, for ``set_up`` less in money where bars
    and saws have their prices. Each may be below zero where another weighs more: pieces first, then bars and
    set-up together in money, else bars before runs. ``is_proven``: with no other choice of grades and
    sections bars cost less.
    """

    group_ids: tuple[str, ...]
    pieces: int
    to_buy: int
    bars: int
    cost: float
    cost_unit: str
    is_proven: bool
    runs: int = 0
    set_up: float = 0.0

    @property
    def money(self) -> str:
        """The unit of ``set_up``: that of the cost, whatever bought bars weigh."""
        return self.cost_unit.partition(",")[0]

"""What a plan is to be best at, and how money is reckoned when money decides."""

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum

from kerfsmith.errors import InvalidValue


class Aim(StrEnum):
    """One thing to keep as small as possible. A problem names its aims in order of weight.

    LATE counts pieces whose bar leaves the saw after they are due; where it isn't among the aims, no piece
    may be late. COST is the price of all bars used, NEW_STOCK of those that are not remnants, NET_MATERIAL
    the price less the worth of what goes back to the rack. SCRAP is bar length that becomes neither piece
    nor remnant [um]. CUTS counts cuts of the saw (one for a whole bundle), LOADS the times the saw is loaded,
    SAW_TIME the time of both [ms]. CHANGES counts bars of the former plan that aren't cut as it said. MONEY
    is everything that has a price, added up by :class:`Rates`.
    """

    LATE = "late"
    COST = "cost"
    NEW_STOCK = "new stock"
    NET_MATERIAL = "net material"
    BARS = "bars"
    SCRAP = "scrap"
    REMNANTS = "remnants"
    CUTS = "cuts"
    LOADS = "loads"
    SAW_TIME = "saw time"
    PATTERNS = "patterns"
    SUBSTITUTED = "substituted"
    CHANGES = "changes"
    MONEY = "money"


@dataclass(frozen=True, slots=True)
class Rates:
    """Prices for Aim.MONEY beside the bars' own, each in millionths of the currency.

    A load's saw time is priced as milliseconds times ``saw_per_second``, divided by 1000 and cut to a whole
    millionth. The rest are prices each: of a load handled, a remnant put away, a pattern set up, a piece
    late.

    Raises InvalidValue for a price below zero.
    """

    saw_per_second: int = 0
    per_load: int = 0
    per_remnant: int = 0
    per_pattern: int = 0
    per_late_piece: int = 0

    def __post_init__(self) -> None:
        prices = (self.saw_per_second, self.per_load, self.per_remnant, self.per_pattern, self.per_late_piece)
        if min(prices) < 0:
            raise InvalidValue("a rate must not be below zero")


@dataclass(frozen=True, slots=True)
class SawTime:
    """How long the saw is busy: ``load_ms`` to load and index a bar or bundle and ``bar_ms`` more for each
    bar of it, ``cut_ms[j - 1]`` for a cut through j bars at once (the last entry serves larger bundles).
    ``slanted`` gives cuts at an angle times of their own: by how much further along the bar one edge of the
    face lies than the other [um], then as ``cut_ms``; at any other angle a cut takes as long as a square one.
    The cutting engine knows these.

    Raises InvalidValue for a time below zero, no cut time at all, or a slant that is given twice or is none.
    """

    load_ms: int = 0
    cut_ms: tuple[int, ...] = (0,)
    bar_ms: int = 0
    slanted: tuple[tuple[int, tuple[int, ...]], ...] = ()

    def __post_init__(self) -> None:
        each = [self.cut_ms, *(cut_ms for _, cut_ms in self.slanted)]
        if not all(each) or min(self.load_ms, self.bar_ms, *(ms for cut_ms in each for ms in cut_ms)) < 0:
            raise InvalidValue("saw times must be given and not below zero")
        slants = {lean for lean, _ in self.slanted}
        if len(slants) < len(self.slanted) or min(slants, default=1) < 1:
            raise InvalidValue("a slant's cut time is given once, for a slant above zero")

    def of_load(self, cuts: int, bars: int, slanted: Mapping[int, int] | None = None) -> int:
        """Milliseconds for one load of ``bars`` bars with ``cuts`` cuts through it.

        ``slanted``: how many of the cuts have a face that slants by so much [um]; the rest are square.
        """
        extra = sum(
            number * (self.cut_of(bars, lean) - self.cut_of(bars)) for lean, number in (slanted or {}).items()
        )
        return self.loading_of(bars) + cuts * self.cut_of(bars) + extra

    def loading_of(self, bars: int) -> int:
        """Milliseconds to load ``bars`` bars at once."""
        return self.load_ms + bars * self.bar_ms

    def cut_of(self, bars: int, lean_um: int = 0) -> int:
        """Milliseconds of one cut through ``bars`` bars whose face slants by so much along the bar [um]."""
        cut_ms = next((each for lean, each in self.slanted if lean == abs(lean_um)), self.cut_ms)
        return cut_ms[min(bars, len(cut_ms)) - 1]


@dataclass(frozen=True, slots=True)
class WorthStep:
    """A leftover of at least ``from_um`` is worth ``per_metre`` millionths of the currency for each metre."""

    from_um: int
    per_metre: int


@dataclass(frozen=True, slots=True)
class Leftovers:
    """What becomes of the end of a bar: below ``least_um`` it is scrap, from there on it may be kept.

    A kept remnant is worth what the highest step it reaches says (nothing below the first); the worth is
    cut to a whole millionth. At most ``most_new`` remnants may be kept (None: any number); what isn't kept
    is scrap.

    Raises InvalidValue when a longer step is worth less per metre, or for a length or number below zero.
    """

    least_um: int = 0
    worth: tuple[WorthStep, ...] = ()
    most_new: int | None = None

    def __post_init__(self) -> None:
        if self.least_um < 0 or (self.most_new is not None and self.most_new < 0):
            raise InvalidValue("least remnant and number of remnants must not be below zero")
        last = WorthStep(-1, 0)
        for step in self.worth:
            if step.from_um <= last.from_um or step.per_metre < last.per_metre:
                raise InvalidValue("worth must rise from step to step")
            last = step

    def may_keep(self, length_um: int) -> bool:
        """Whether a leftover of this length may go back to the rack."""
        return length_um > 0 and length_um >= self.least_um

    def worth_of(self, length_um: int) -> int:
        """Worth of one kept remnant [millionths of the currency]."""
        rate = 0
        for step in self.worth:
            if length_um >= step.from_um:
                rate = step.per_metre
        return rate * length_um // 1_000_000

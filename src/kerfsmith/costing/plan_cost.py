"""The cost of a plan: every order line with its tree, and what can't be priced, with the reason.

What is shared is laid on the pieces by one rule: the metal of a run (bars taken less remnants put back, and
with it facing, kerf and what is too short to keep), its facing cuts, loading, set-up and certificates fall on
its pieces in proportion to the length of bar each uses up, kerf included. So two equal pieces of one run
cost the same, whichever bars they happen to lie on.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal

from kerfsmith.catalog.catalog import Catalog
from kerfsmith.catalog.figure import Confidence
from kerfsmith.catalog.saw import SawSheet
from kerfsmith.costing.hours import line_seconds, people_costs, saw_costs, share_text, stretches
from kerfsmith.costing.line_cost import LineCost as LineCost
from kerfsmith.costing.line_cost import one_a_line
from kerfsmith.costing.metal import Metal, metal_costs, unpriced
from kerfsmith.costing.rates import Rates
from kerfsmith.costing.reckoning import Basis, Cost, Driver, Kind, Reckoning, of_kind, reckoned, summed
from kerfsmith.costing.scrap import scrap_costs
from kerfsmith.costing.seconds import CutKind, GroupWork, LineWork, part_work, settings_by_cut
from kerfsmith.costing.wear import wear_costs, wear_unknown
from kerfsmith.cutting.setting import CutSetting
from kerfsmith.planning.plan import Plan, PlanGroup
from kerfsmith.shop.order import OrderLine
from kerfsmith.shop.rack import Bar
from kerfsmith.units.money import Money
from kerfsmith.units.told import NOTHING, Told, sentence

_ONE = Decimal(1)


def _passes(kind: CutKind, cuts: int) -> Decimal:
    """Passes of the band that so many cuts through single bars are."""
    return Decimal(cuts) / kind[1]


@dataclass(frozen=True, slots=True)
class Uncosted:
    """Pieces of a line that have no cost, and why. ``is_cut``: they can be cut, only no price is known."""

    line: OrderLine
    count: int
    reason: Told
    is_cut: bool = False


@dataclass(frozen=True, slots=True)
class PlanCost:
    """What a plan costs. ``doubts`` are whole sentences on what the figures leave out."""

    currency: str
    lines: tuple[LineCost, ...]
    uncosted: tuple[Uncosted, ...]
    doubts: tuple[Told, ...]

    @property
    def total(self) -> Money:
        """Cost of all lines."""
        return Money.total((line.cost.amount for line in self.lines), self.currency)

    def of_line(self, line_id: str) -> LineCost | None:
        """The cost of one line, None where it has none."""
        return next((line for line in self.lines if line.line.id == line_id), None)

    def of_orders(self) -> dict[str, Money]:
        """Cost of each order, in the order in which they come up."""
        found: dict[str, Money] = {}
        for line in self.lines:
            order = line.line.order
            found[order] = found.get(order, Money.zero(self.currency)) + line.cost.amount
        return found


def cost_plan(
    plan: Plan,
    lines: Iterable[OrderLine],
    catalog: Catalog,
    rates: Rates,
    *,
    rack: Sequence[Bar] = (),
    certificates: bool = True,
) -> PlanCost:
    """Cost every line of ``plan``; ``lines`` are the order lines it was made from, ``rack`` the bars priced.

    Raises UnknownName for a saw or grade that isn't in the catalog.
    """
    by_id = {line.id: line for line in lines}
    costed: list[LineCost] = []
    uncosted: list[Uncosted] = []
    doubts: list[Told] = []
    for group in plan.groups:
        uncosted += [
            Uncosted(by_id[left.line_id], left.count, Told(left.reason))
            for left in group.unplanned
            if left.line_id in by_id
        ]
        if not group.bars:
            continue
        bench = _Bench.of(group, by_id, catalog, rates, rack, certificates=certificates)
        doubts += bench.doubts()
        nameless = unpriced(bench.metal, group.bars)
        if nameless:
            bars = ", ".join(nameless)
            why = sentence(
                "no price is known for {bars}: put one on the rack list or set a price by weight", bars=bars
            )
            uncosted += [
                Uncosted(by_id[one.line_id], one.pieces, why, is_cut=True) for one in bench.work.lines
            ]
        else:
            costed += bench.line_costs()
    place = {name: number for number, name in enumerate(by_id)}
    ordered = sorted(costed, key=lambda one: place[one.line.id])
    return PlanCost(rates.currency, tuple(one_a_line(ordered)), tuple(uncosted), tuple(dict.fromkeys(doubts)))


@dataclass(frozen=True, slots=True)
class _Bench:
    """One group with all that its lines are costed by."""

    group: PlanGroup
    saw: SawSheet
    settings: dict[CutKind, CutSetting]
    work: GroupWork
    metal: Metal
    rates: Rates
    by_id: Mapping[str, OrderLine]
    certificates: bool

    @classmethod
    def of(
        cls,
        group: PlanGroup,
        by_id: Mapping[str, OrderLine],
        catalog: Catalog,
        rates: Rates,
        rack: Sequence[Bar],
        *,
        certificates: bool,
    ) -> "_Bench":
        saw = catalog.find_saw(group.saw)
        settings = settings_by_cut(group)
        metal = Metal(group, catalog.find_grade(group.grade), rack, rates)
        return cls(group, saw, settings, part_work(group, saw), metal, rates, by_id, certificates)

    def doubts(self) -> Iterator[Told]:
        for one in self.group.substituted:
            yield sentence(
                "{count} × {mark}, ordered in {ordered}, are reckoned from {material}: the order allows it",
                count=one.count,
                mark=one.mark,
                ordered=one.ordered.name,
                material=self.group.material.name,
            )
        for setting in self.settings.values():
            doubt = wear_unknown(setting)
            if doubt is not None:
                yield doubt
        if not self.rates.hour_of(self.saw):
            yield sentence(
                "no hour's rate is known for {saw}: its time isn't in the price", saw=self.saw.name
            )

    def line_costs(self) -> Iterator[LineCost]:
        for line in self.work.lines:
            yield self._line_cost(line)

    def _line_cost(self, work: LineWork) -> LineCost:
        line = self.by_id[work.line_id]
        currency = self.rates.currency
        found = stretches(self.work, work, self.settings, self.saw, self.rates)
        making = [
            of_kind(Kind.MATERIAL, self._metal(work), currency),
            of_kind(Kind.SAW, saw_costs(found, self.saw, self.rates), currency),
            of_kind(Kind.PEOPLE, people_costs(found, self.rates), currency),
            of_kind(Kind.BAND, self._wear(work), currency),
        ]
        rest = [
            of_kind(Kind.HANDLING, self._handling(work), currency),
            of_kind(Kind.PAPERS, self._papers(work, line), currency),
            of_kind(Kind.SCRAP, scrap_costs(making, self.rates), currency),
        ]
        return LineCost(
            line=line,
            group=self.group,
            pieces=work.pieces,
            missing=line.quantity - work.pieces,
            cost=summed(Told(line.mark), Kind.MATERIAL, (*making, *rest), currency),
            seconds=line_seconds(found),
            area_cm2=self._area_cm2(work),
            bands=self._bands(work),
            substitutes=() if line.material == self.group.material else (self.group.material.name,),
        )

    def _metal(self, work: LineWork) -> list[Cost]:
        share, why = self.work.share(work), share_text(self.work, work)
        return metal_costs(self.metal, self.group.bars, self.rates, share, why)

    def _wear(self, work: LineWork) -> Iterator[Cost]:
        share, why = self.work.share(work), share_text(self.work, work)
        for kind, cuts in sorted(work.cuts.items()):
            yield from wear_costs(
                self.settings[kind], self.saw, self.rates, _passes(kind, cuts), _ONE, NOTHING
            )
        for kind, cuts in sorted(self.work.facing_cuts.items()):
            yield from wear_costs(self.settings[kind], self.saw, self.rates, _passes(kind, cuts), share, why)

    def _cuts(self, work: LineWork) -> Iterator[tuple[CutSetting, float]]:
        share = float(self.work.share(work))
        for kind, cuts in work.cuts.items():
            yield self.settings[kind], float(_passes(kind, cuts))
        for kind, cuts in self.work.facing_cuts.items():
            yield self.settings[kind], float(_passes(kind, cuts)) * share

    def _area_cm2(self, work: LineWork) -> float:
        return sum(setting.area_cm2 * cuts for setting, cuts in self._cuts(work))

    def _bands(self, work: LineWork) -> tuple[float, float, float] | None:
        low = likely = high = 0.0
        for setting, cuts in self._cuts(work):
            if setting.life_area_cm2 is None:
                return None
            short, usual, long = setting.life_area_cm2
            area = setting.area_cm2 * cuts
            low, likely, high = low + area / long, likely + area / usual, high + area / short
        return low, likely, high

    def _handling(self, work: LineWork) -> Iterator[Cost]:
        share, why = self.work.share(work), share_text(self.work, work)
        bars = Decimal(self.work.bars)
        yield self._flat(
            Told("bars brought to the saw"), bars, Told("bar"), "handling_per_bar", Kind.HANDLING, share, why
        )
        yield self._flat(Told("packed and set out"), _ONE, Told("line"), "handling_per_line", Kind.HANDLING)

    def _papers(self, work: LineWork, line: OrderLine) -> Iterator[Cost]:
        if self.certificates:
            alike = [one for one in self.work.lines if self.by_id[one.line_id].order == line.order]
            heats = {
                bar.heat or "heat still to come"
                for bar in self.group.bars
                for piece, _ in bar.each_piece()
                if self.by_id[piece.line_id].order == line.order
            }
            used = sum(one.consumed_um for one in alike)
            share = Decimal(work.consumed_um) / used
            why = Told("by bar used up among the order's lines of this run") if len(alike) > 1 else NOTHING
            count = Decimal(len(heats))
            yield self._flat(
                Told("certificates"), count, Told("heat"), "certificate", Kind.PAPERS, share, why
            )
        yield self._flat(Told("labels"), Decimal(work.pieces), Told("piece"), "label", Kind.PAPERS)

    def _flat(
        self,
        name: Told,
        quantity: Decimal,
        unit: Told,
        rate: str,
        kind: Kind,
        share: Decimal = _ONE,
        share_text: Told = NOTHING,
    ) -> Cost:
        amount: Decimal = getattr(self.rates, rate)
        source = "shop" if self.rates.is_own(rate) else "house"
        driver = Driver.HANDLING if kind is Kind.HANDLING else Driver.PAPERS
        basis = (Basis(Told("flat rate"), source, Confidence.COMMON_PRACTICE),)
        how = Reckoning(quantity, unit, self.rates.money(amount), driver, basis, share, share_text)
        return reckoned(name, kind, how)

"""Which saw: one workload replayed on several, set side by side."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from kerfsmith.catalog.catalog import Catalog
from kerfsmith.catalog.figure import Confidence
from kerfsmith.catalog.saw import SawSheet
from kerfsmith.costing.plan_cost import cost_plan
from kerfsmith.costing.rates import Rates
from kerfsmith.costing.which_saw.accuracy import LengthCheck, check_lengths, verdict_shares
from kerfsmith.costing.which_saw.limits_reached import Reach, reaches, time_ruled
from kerfsmith.costing.which_saw.pay_back import Offer, PayBack, Steps, pay_back, running_rates
from kerfsmith.costing.which_saw.saw_year import SawPlanner, SawYear, ShopYear, replay
from kerfsmith.costing.which_saw.specials import Special, specials
from kerfsmith.costing.which_saw.workload import Workload
from kerfsmith.cutting.setting import Limit
from kerfsmith.errors import InvalidValue
from kerfsmith.planning.lengths import Promise
from kerfsmith.shop.rack import Bar
from kerfsmith.units.told import Told, sentence


@dataclass(frozen=True, slots=True)
class SawReport:
    """One saw's year with all that is said of it."""

    year: SawYear
    reaches: tuple[Reach, ...]
    time_ruled: tuple[tuple[Limit, float], ...]
    lengths: tuple[LengthCheck, ...]
    verdicts: Mapping[Promise, float]
    specials: tuple[Special, ...]


@dataclass(frozen=True, slots=True)
class SourceUsed:
    """A source that figures of the report rest on, with the least sure confidence it was used at."""

    key: str
    title: str
    confidence: Confidence


@dataclass(frozen=True, slots=True)
class Comparison:
    """The workload on each saw. ``common`` are the lines that every saw cuts whole: cost a piece is compared
    on them alone. ``against`` is the saw there is."""

    workload: Workload
    shop_year: ShopYear
    steps: Steps
    rates: Rates
    saws: tuple[SawReport, ...]
    common: frozenset[str]
    against: str
    pay_backs: tuple[PayBack, ...]
    sources: tuple[SourceUsed, ...]
    assumptions: tuple[Told, ...]

    def of(self, saw_id: str) -> SawReport:
        """The report of one saw. Raises InvalidValue for another."""
        found = next((report for report in self.saws if report.year.saw.id == saw_id), None)
        if found is None:
            raise InvalidValue(f"saw {saw_id} isn't compared")
        return found


def which_saw(
    workload: Workload,
    saws: Sequence[SawSheet],
    catalog: Catalog,
    rates: Rates,
    planner: SawPlanner,
    *,
    rack: Sequence[Bar] = (),
    offers: Sequence[Offer] = (),
    against: str = "",
    shop_year: ShopYear | None = None,
    steps: Steps | None = None,
) -> Comparison:
    """Replay ``workload`` on each of ``saws`` and set them side by side.

    ``against`` is the saw there is, the first where it isn't named; pay-back is told for each of ``offers``.
    Raises InvalidValue for fewer than two saws, or an offer for a saw that isn't compared.
    """
    if len({saw.id for saw in saws}) < 2:
        raise InvalidValue("a comparison takes two saws or more")
    steps = steps or Steps()
    reports = tuple(
        _report(replay(workload, saw, catalog, rates, planner, rack=rack), catalog) for saw in saws
    )
    common = frozenset.intersection(*(report.year.whole_lines for report in reports))
    comparison = Comparison(
        workload=workload,
        shop_year=shop_year or ShopYear(),
        steps=steps,
        rates=rates,
        saws=reports,
        common=common,
        against=against or saws[0].id,
        pay_backs=(),
        sources=tuple(_sources(reports, catalog)),
        assumptions=(),
    )
    running = running_rates(rates, saws, steps)
    paid = tuple(_paid(comparison, offer, running, catalog, rack) for offer in offers)
    done = replace(comparison, pay_backs=paid)
    return replace(done, assumptions=tuple(_assumptions(done)))


def _report(year: SawYear, catalog: Catalog) -> SawReport:
    lengths = check_lengths(year)
    return SawReport(
        year=year,
        reaches=reaches(year) if year.lines else (),
        time_ruled=time_ruled(year) if year.lines else (),
        lengths=lengths,
        verdicts=verdict_shares(lengths, year) if year.lines else {},
        specials=specials(year, catalog),
    )


def _paid(
    comparison: Comparison, offer: Offer, running: Rates, catalog: Catalog, rack: Sequence[Bar]
) -> PayBack:
    there, new = (
        replace(year, cost=cost_plan(year.plan, year.workload.lines, catalog, running, rack=rack))
        for year in (comparison.of(comparison.against).year, comparison.of(offer.saw).year)
    )
    return pay_back(there, new, offer, comparison.steps)


def _sources(reports: Sequence[SawReport], catalog: Catalog) -> Iterator[SourceUsed]:
    """Every source that the settings' reasons name, the most used first."""
    order = list(Confidence)
    found: dict[str, list[Confidence]] = {}
    for report in reports:
        for group in report.year.plan.groups:
            for setting in (*group.settings, *group.bundle_settings):
                for reason in setting.reasons:
                    if reason.source:
                        found.setdefault(reason.source, []).append(reason.confidence)
    titles = {source.key: source.title for source in catalog.sources}
    for key, uses in sorted(found.items(), key=lambda each: -len(each[1])):
        if key in titles:
            yield SourceUsed(key, titles[key], max(uses, key=order.index))


def _assumptions(comparison: Comparison) -> Iterator[Told]:
    year, rates, steps = comparison.shop_year, comparison.rates, comparison.steps
    yield sentence("Workload: {basis}.", basis=comparison.workload.basis)
    yield Told(
        "The same lines are planned on each saw alone, with its own band, kerf, facing and grip, on new bars "
        "in the lengths stocked; cost a piece is compared on the lines that every saw cuts whole."
    )
    yield sentence(
        "A shift of {shift_hours} h gives {hours} saw hours ({share} of it), {shifts} shifts a year.",
        shift_hours=f"{year.shift_hours:g}",
        hours=f"{year.hours_a_shift:.1f}",
        share=f"{year.availability:.0%}",
        shifts=f"{year.shifts_a_year:g}",
    )
    yield sentence(
        "A person is tied up {attendance} of the time a saw runs and {hands_on} while it is loaded and set "
        "up; a run's set-up takes {seconds} s.",
        attendance=f"{rates.attendance:.0%}",
        hands_on=f"{rates.hands_on:.0%}",
        seconds=rates.set_up_s,
    )
    yield Told(
        "Ranges come from the figures of cutting rate, band life, scrap and prices; each cause moves all it "
        "touches at once, different causes are taken as independent (root of the sum of squares)."
    )
    yield Told(
        "Lengths: the index accuracy of the sheet at every stroke, against half the tolerance, since its "
        "middle is dialled; added up it holds, and by the root of the sum of squares it holds once the first "
        "piece is checked. A length without a tolerance of its own is held to ISO 2768-1 class m. That faces "
        "lean (0.002 of the height, common practice) isn't counted into lengths: both ends lean alike."
    )
    if comparison.pay_backs:
        yield sentence(
            "Pay-back without interest, on the work both saws cut; {share} of a saw's hour is taken as its "
            "own price coming back and left out.",
            share=f"{steps.capital_share:.0%}",
        )
    for one in comparison.saws[0].year.unpriced:
        yield sentence("{mark} is in no figure: {reason}.", mark=one.line.mark, reason=one.reason)
    if not rates.own:
        yield Told(
            "All rates are the house's placeholders: enter the shop's own before anything hangs on the money."
        )

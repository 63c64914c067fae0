"""What the pages of which-saw comparisons show."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal, InvalidOperation

from markupsafe import Markup

from kerfsmith.costing.unfolded import amount_words
from kerfsmith.costing.which_saw.report_page import PayBackCard, PieceRow, ReportPage, SawSection, SideRow
from kerfsmith.costing.which_saw.told import ComparisonTold
from kerfsmith.errors import Finding
from kerfsmith.shop.kept_saw import KeptSaw, SawStanding
from kerfsmith.web.drawing.side_by_side import SideBar, gauge, side_by_side
from kerfsmith.web.findings import FindingRow, finding_rows
from kerfsmith.web.sheet import link
from kerfsmith.web.which_saw_stage import History, WhichWish, WorkKind
from kerfsmith.web.words import say
from kerfsmith.workflow.price_ports import ComparisonHead, KeptComparison

MOST_SAWS = 8


@dataclass(frozen=True, slots=True)
class SawTick:
    """A saw that can be ticked."""

    id: str
    name: str
    standing: str
    ticked: bool
    price: str


@dataclass(frozen=True, slots=True)
class HeadRow:
    """One comparison in a list."""

    href: str
    name: str
    customer: str
    made: str


@dataclass(frozen=True, slots=True)
class WhichPage:
    """Earlier comparisons, and the form of a new one."""

    comparisons: tuple[HeadRow, ...]
    saws: tuple[SawTick, ...]
    history: str
    has_history: bool
    currency: str
    may_make: bool
    problem: str
    findings: tuple[FindingRow, ...]
    texts: Mapping[str, str]


@dataclass(frozen=True, slots=True)
class GaugeView:
    """How near a limit the work comes, drawn and said."""

    name: str
    picture: Markup
    percent: str
    words: str


@dataclass(frozen=True, slots=True)
class SawCard:
    """What is told of one saw."""

    key: str
    section: SawSection
    gauges: tuple[GaugeView, ...]


@dataclass(frozen=True, slots=True)
class ComparedPage:
    """A comparison: side by side, saw by saw, pay-back, each piece, assumptions and sources."""

    workload: str
    basis: str
    pieces: str
    currency: str
    customer: str
    made: str
    saws: tuple[str, ...]
    side: tuple[SideRow, ...]
    common: str
    pictures: tuple[tuple[str, Markup], ...]
    cards: tuple[SawCard, ...]
    pay_backs: tuple[PayBackCard, ...]
    piece_rows: tuple[PieceRow, ...]
    assumptions: tuple[str, ...]
    sources: tuple[tuple[str, str], ...]
    href: str
    may_drop: bool


def which_page(
    comparisons: Sequence[ComparisonHead],
    saws: Sequence[KeptSaw],
    history: History,
    currency: str,
    texts: Mapping[str, str],
    *,
    may_make: bool,
    problem: str = "",
    findings: Sequence[Finding] = (),
) -> WhichPage:
    """The list and the form; ``texts`` is what was filled in before."""
    return WhichPage(
        comparisons=tuple(
            HeadRow(link("which-saw", one.id), one.name, one.customer, f"{one.made_at:%Y-%m-%d}")
            for one in comparisons
        ),
        saws=tuple(
            SawTick(
                saw.sheet.id,
                saw.sheet.name,
                say("candidate") if saw.standing is SawStanding.CANDIDATE else say("the shop's own"),
                bool(texts.get(f"saw.{saw.sheet.id}")) or not texts,
                texts.get(f"price.{saw.sheet.id}", ""),
            )
            for saw in saws
        ),
        history=say(
            "{count} pieces cut from {first} to {last}",
            count=history.pieces,
            first=history.first.isoformat(),
            last=history.last.isoformat(),
        ),
        has_history=history.pieces > 0,
        currency=currency,
        may_make=may_make,
        problem=problem,
        findings=finding_rows(findings),
        texts=texts,
    )


def wish_told(texts: Mapping[str, str], file: str, data: bytes, saws: Sequence[KeptSaw]) -> WhichWish | str:
    """The comparison that a form asks for, or what must be filled in otherwise."""
    kind = texts.get("kind", "")
    if kind not in list(WorkKind):
        return say("Say what the work is: a list, a yearly sheet, or what the shop has cut.")
    if kind != WorkKind.HISTORY and not data:
        return say("Choose the file with the work.")
    ticked = tuple(saw.sheet.id for saw in saws if texts.get(f"saw.{saw.sheet.id}"))
    if not 2 <= len(ticked) <= MOST_SAWS:
        return say("Tick two saws or more, up to {count}.", count=MOST_SAWS)
    times = _figure(texts.get("times", "") or "1")
    if times is None:
        return say("How often a year the list comes is a figure above zero.")
    prices = []
    for saw in ticked:
        text = texts.get(f"price.{saw}", "").strip()
        price = _figure(text) if text else None
        if text and price is None:
            return say("The price of a saw is a figure above zero.")
        if price is not None:
            prices.append((saw, price))
    against = texts.get("against", "")
    return WhichWish(
        WorkKind(kind),
        file,
        data,
        times,
        ticked,
        tuple(one for one in prices if one[0] != (against or ticked[0])),
        against if against in ticked else ticked[0],
        texts.get("customer", "").strip()[:200],
    )


def _figure(text: str) -> Decimal | None:
    try:
        value = Decimal(text.strip().replace(" ", "").replace(",", "."))
    except InvalidOperation:
        return None
    return value if value.is_finite() and 0 < value < Decimal("1e9") else None


def compared_page(kept: KeptComparison, report: ReportPage, *, may_drop: bool) -> ComparedPage:
    """A comparison in the reader's measure."""
    return ComparedPage(
        workload=report.workload,
        basis=report.basis,
        pieces=report.pieces,
        currency=report.currency,
        customer=report.customer,
        made=report.day,
        saws=report.saws,
        side=report.side,
        common=report.common,
        pictures=tuple(_pictures(kept.told)),
        cards=tuple(
            SawCard(
                f"saw{at}",
                section,
                tuple(
                    GaugeView(one.name, gauge(one.share), one.percent, one.words) for one in section.gauges
                ),
            )
            for at, section in enumerate(report.sections)
        ),
        pay_backs=report.pay_backs,
        piece_rows=report.piece_rows,
        assumptions=report.assumptions,
        sources=report.sources,
        href=link("which-saw", kept.id),
        may_drop=may_drop,
    )


def _pictures(told: ComparisonTold) -> list[tuple[str, Markup]]:
    """Hours, and cost a piece, of the work that all of them cut; of what each cuts where there is none."""
    same = told.common > 0
    hours = say("Saw hours a year, same work") if same else say("Saw hours a year, of what each cuts")
    bars = []
    for saw in told.saws:
        low, likely, high = saw.common_hours if same else saw.hours
        bars.append(SideBar(saw.sheet.name, low, likely, high, f"{likely:.0f} h ({low:.0f} to {high:.0f})"))
    found = [(hours, side_by_side(bars, hours))]
    costs = [(saw.sheet.name, saw.common_cost_each if same else saw.cost_each) for saw in told.saws]
    priced = [(name, span) for name, span in costs if span is not None]
    if priced:
        title = say("Cost a piece, {currency}", currency=told.currency)
        each = [
            SideBar(
                name,
                float(span.low.amount),
                float(span.likely.amount),
                float(span.high.amount),
                f"{amount_words(span.likely)} ({amount_words(span.low)} to {amount_words(span.high)})",
            )
            for name, span in priced
        ]
        found.append((title, side_by_side(each, title)))
    return found

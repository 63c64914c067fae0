"""Rates, quotes, saws and comparisons on record: kept as they were, settled once, added up to the cent."""

from dataclasses import replace
from datetime import date, timedelta
from decimal import Decimal

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from sqlalchemy import Engine, delete, insert, update
from sqlalchemy.exc import DatabaseError
from tests.costing.test_costing import any_rates, costed
from tests.costing.test_quote import DAY, UNTIL, quote
from tests.costing.test_which_saw import QUICK, SLOW, compared, steel
from tests.workflow.shop_floor import AT, LEAD, LINES, PLANNER, SAW, later, released

from kerfsmith.costing.kept_quote import QuoteState
from kerfsmith.costing.price import quantity_prices
from kerfsmith.costing.quote import QuoteTerms, make_quote
from kerfsmith.costing.rates import Rates, Span
from kerfsmith.costing.which_saw.pay_back import Offer
from kerfsmith.costing.which_saw.told import tell
from kerfsmith.records import price_tables
from kerfsmith.records.store import Store
from kerfsmith.shop.cut_log import EntryKind, ScrapReason
from kerfsmith.shop.kept_saw import KeptSaw, SawStanding
from kerfsmith.shop.order import Order
from kerfsmith.shop.rules import ShopRules
from kerfsmith.units.money import Money, smallest_part
from kerfsmith.workflow.accept_quote import (
    AcceptQuote,
    DeclineQuote,
    QuoteAccepted,
    accept_quote,
    decline_quote,
)
from kerfsmith.workflow.begin_shop import begin_own_shop, open_demo
from kerfsmith.workflow.keep_comparison import drop_comparison, keep_comparison
from kerfsmith.workflow.keep_quote import QuoteKept, keep_quote
from kerfsmith.workflow.keep_saw import KeepSaw, keep_saw, retire_saw
from kerfsmith.workflow.load_bar import LoadBar, load_bar
from kerfsmith.workflow.log_cut import LogCut, log_cut
from kerfsmith.workflow.refusal import Refusal
from kerfsmith.workflow.reject_piece import RejectPiece, reject_piece
from kerfsmith.workflow.set_rates import set_rates
from kerfsmith.workflow.take_order import take_order
from kerfsmith.workflow.undo_cut import UndoCut, undo_cut


def kept(store: Store, **terms: object) -> QuoteKept:
    answer = keep_quote(store, quote(**terms), by=PLANNER, at=AT)
    assert isinstance(answer, QuoteKept), answer
    return answer


def refusal(answer: object) -> Refusal:
    assert isinstance(answer, Refusal), answer
    return answer


def test_a_quote_comes_back_digit_for_digit_and_unfolds(store: Store) -> None:
    kept(store)
    with store.look() as look:
        found = look.quotes.quote("Q-7")
        heads = look.quotes.heads()
    assert found is not None
    assert found.quote == quote()
    assert (found.made_by, found.made_at) == (PLANNER.name, AT)
    assert [(one.number, one.total, one.state(UNTIL)) for one in heads] == [
        ("Q-7", quote().total, QuoteState.OPEN)
    ]
    assert heads[0].state(UNTIL + timedelta(days=1)) is QuoteState.ENDED


@pytest.mark.parametrize("currency", ["EUR", "JPY"])
@given(rates=any_rates(), asked=st.lists(st.integers(1, 40), min_size=0, max_size=3, unique=True))
@settings(max_examples=25, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_kept_lines_always_add_up_to_the_kept_total(
    store: Store, currency: str, rates: Rates, asked: list[int]
) -> None:
    rates = replace(rates, currency=currency)
    found = costed(rates)
    more = {one.pieces: one for one in found.lines[:1]} if asked else {}
    terms = QuoteTerms("x", "c", DAY, UNTIL)
    breaks = {found.lines[0].line.id: quantity_prices(more, rates)} if more else {}
    made = make_quote(found, rates, terms, breaks=breaks)
    answer = keep_quote(store, made, by=PLANNER, at=AT, numbered=False)
    assert isinstance(answer, QuoteKept)
    with store.look() as look:
        back = look.quotes.quote(answer.number)
        head = look.quotes.revisions(answer.number)[0]
    assert back is not None
    lines = back.quote.lines
    assert lines == made.lines
    assert head.total == back.quote.total == answer.total
    assert head.total.amount == sum(line.price.each.amount * line.price.count for line in lines)
    assert head.total.amount % smallest_part(currency) == 0
    for line in lines:
        assert sum(part.amount.amount for part in line.price.reckoning.parts) == line.price.total.amount


def test_the_schema_refuses_a_line_that_is_not_its_count_times_its_price(
    engine: Engine, store: Store
) -> None:
    kept(store)
    row = {
        "number": "Q-7", "revision": 1, "position": 9, "line_id": "x", "mark": "x", "count": 3,
        "each_parts": 100, "total_parts": 301, "document": {},
    }  # fmt: skip
    for deed in (
        insert(price_tables.quote_lines).values(**row),
        update(price_tables.quotes).values(total_parts=1),
        update(price_tables.quote_lines).values(each_parts=0, total_parts=0),
        delete(price_tables.quotes),
        delete(price_tables.quote_lines),
    ):
        with engine.connect() as connection, pytest.raises(DatabaseError):
            connection.execute(deed)


def test_accepted_it_is_an_order_on_the_book_and_never_twice(store: Store) -> None:
    kept(store)
    told = AcceptQuote("Q-7", 1, "o-1", UNTIL, (("L1", 20),))
    answer = accept_quote(store, told, by=PLANNER, at=AT)
    assert isinstance(answer, QuoteAccepted)
    assert (answer.lines, answer.pieces) == (1, 20)
    assert answer.value == quote().lines[0].breaks[1].total
    (order,) = store.orders()
    assert order.id == "o-1"
    assert order.lines[0] == replace(
        quote().lines[0].line, id="o-1/1", quantity=20, order="R-55", customer="Weir works", row=None
    )
    again = refusal(accept_quote(store, replace(told, order_id="o-2"), by=PLANNER, at=AT))
    assert again.code == "quote-accepted"
    assert "o-1" in again.remedy
    assert refusal(decline_quote(store, DeclineQuote("Q-7", 1), by=PLANNER, at=AT)).code == "quote-accepted"
    assert refusal(keep_quote(store, quote(), by=PLANNER, at=AT, renews="Q-7")).code == "accepted"
    assert len(store.orders()) == 1
    assert [entry.verb for entry in store.ledger()][-2:] == ["accept quote", "keep quote"]


def test_after_its_last_day_it_says_what_to_do_and_changes_nothing(store: Store) -> None:
    kept(store)
    told = AcceptQuote("Q-7", 1, "o-1", UNTIL + timedelta(days=1))
    answer = refusal(accept_quote(store, told, by=PLANNER, at=AT))
    assert answer.code == "quote-ended"
    assert "further revision" in answer.remedy
    assert store.orders() == ()
    later_quote = quote(day=UNTIL + timedelta(days=1), valid_until=UNTIL + timedelta(days=30))
    renewed = keep_quote(store, later_quote, by=PLANNER, at=AT, renews="Q-7")
    assert isinstance(renewed, QuoteKept)
    assert (renewed.number, renewed.revision) == ("Q-7", 2)
    assert refusal(accept_quote(store, told, by=PLANNER, at=AT)).code == "quote-replaced"
    second = accept_quote(store, replace(told, revision=2), by=PLANNER, at=AT)
    assert isinstance(second, QuoteAccepted)
    with store.look() as look:
        states = [one.state(UNTIL) for one in look.quotes.revisions("Q-7")]
    assert states == [QuoteState.REPLACED, QuoteState.ACCEPTED]


def test_a_quote_of_an_order_on_the_book_puts_nothing_there_twice(store: Store) -> None:
    take_order(store, Order("o-9", "Gates", (quote().lines[0].line,)), by=PLANNER, at=AT, source="x")
    keep_quote(store, quote(), by=PLANNER, at=AT, from_order="o-9")
    other = AcceptQuote("Q-7", 1, "o-1", DAY, (("L1", 20),))
    assert refusal(accept_quote(store, other, by=PLANNER, at=AT)).code == "order-on-book"
    answer = accept_quote(store, AcceptQuote("Q-7", 1, "o-1", DAY), by=PLANNER, at=AT)
    assert isinstance(answer, QuoteAccepted)
    assert (answer.order_id, answer.was_on_book) == ("o-9", True)
    assert [order.id for order in store.orders()] == ["o-9"]


def test_numbers_are_free_and_unlike(store: Store) -> None:
    numbers = [
        answer.number
        for _ in range(3)
        if isinstance(answer := keep_quote(store, quote(), by=PLANNER, at=AT, numbered=False), QuoteKept)
    ]
    assert numbers == ["Q-2026-0001", "Q-2026-0002", "Q-2026-0003"]
    assert refusal(keep_quote(store, quote(number=numbers[1]), by=PLANNER, at=AT)).code == "number-taken"


def test_rates_are_kept_with_what_is_the_shops_own(store: Store) -> None:
    with store.look() as look:
        assert look.prices.rates() == Rates()
    rates = Rates(currency="CHF").setting(
        people_hour=Decimal("51.20"),
        saw_hour={"north": Decimal("70.05")},
        metal_per_kg={"steel": Span(Decimal("1.1"), Decimal("1.3"), Decimal("1.9"))},
    )
    assert set_rates(store, rates, by=LEAD, at=AT) == rates
    with store.look() as look:
        assert look.prices.rates() == rates
        assert look.rules().currency == "CHF"


def test_another_currency_is_refused_while_the_rack_is_priced(store: Store) -> None:
    released(store)
    with store.look() as look:
        priced = any(bar.price is not None for bar in store.rack().bars)
        before = look.rules()
    answer = set_rates(store, Rates(currency="USD"), by=LEAD, at=AT)
    assert isinstance(answer, Refusal) == priced
    assert store.rules().currency == (before.currency if priced else "USD")


HOUSE_SAWS = (SAW, replace(SAW, id="yard", name="Yard saw"))


def standing(store: Store) -> dict[str, SawStanding]:
    with store.look() as look:
        return {one.sheet.id: one.standing for one in look.saw_sheets.saws() or ()}


def test_a_saw_added_takes_none_of_the_houses_away(store: Store) -> None:
    with store.look() as look:
        assert look.saw_sheets.saws() is None
    sheet = replace(SAW, id="new", name="New saw", shuttle_stroke_mm=612.5)
    answer = keep_saw(store, KeepSaw(sheet, is_new=True), HOUSE_SAWS, by=LEAD, at=AT)
    assert isinstance(answer, KeptSaw)
    assert list(standing(store)) == ["north", "yard", "new"]
    with store.look() as look:
        assert (look.saw_sheets.saws() or ())[2].sheet == sheet
    twice = keep_saw(store, KeepSaw(sheet, is_new=True), HOUSE_SAWS, by=LEAD, at=AT)
    assert refusal(twice).code == "saw-known"
    named = KeepSaw(replace(sheet, id="other", name="NORTH SAW"))
    assert refusal(keep_saw(store, named, HOUSE_SAWS, by=LEAD, at=AT)).code == "name-taken"
    retire_saw(store, "yard", HOUSE_SAWS, by=LEAD, at=AT)
    keep_saw(store, KeepSaw(sheet, SawStanding.CANDIDATE), HOUSE_SAWS, by=LEAD, at=AT)
    assert standing(store) == {
        "north": SawStanding.OWN,
        "yard": SawStanding.RETIRED,
        "new": SawStanding.CANDIDATE,
    }


def test_a_saw_with_an_open_run_stays(store: Store) -> None:
    released(store)
    assert refusal(retire_saw(store, "north", HOUSE_SAWS, by=LEAD, at=AT)).code == "runs-open"
    assert refusal(retire_saw(store, "none", HOUSE_SAWS, by=LEAD, at=AT)).code == "unknown-saw"


def test_a_shop_of_ones_own_begins_without_saws_unless_they_are_chosen(store: Store) -> None:
    open_demo(store, Order("demo", "Demo", ()), (), ShopRules(), by=LEAD, at=AT)
    keep_quote(store, quote(), by=PLANNER, at=AT)
    begin_own_shop(store, ShopRules(), by=LEAD, at=AT)
    assert standing(store) == {}
    with store.look() as look:
        assert look.saw_sheets.saws() == ()
        assert look.quotes.heads() == ()


def test_chosen_saws_stay_when_a_shop_of_ones_own_begins(store: Store) -> None:
    open_demo(store, Order("demo", "Demo", ()), (), ShopRules(), by=LEAD, at=AT)
    begin_own_shop(store, ShopRules(), by=LEAD, at=AT, saws=HOUSE_SAWS)
    assert standing(store) == {"north": SawStanding.OWN, "yard": SawStanding.OWN}


def test_a_comparison_comes_back_as_it_came_out(store: Store) -> None:
    lines = [steel("Arm", 80, 800_000, 40), steel("Drum", 320, 300_000, 4)]
    offers = (Offer("quick", Money(Decimal(20_000), "EUR")),)
    told = tell(compared(lines, SLOW, QUICK, offers=offers))
    keep_comparison(store, told, comparison_id="c1", customer="Weir works", by=PLANNER, at=AT)
    with store.look() as look:
        found = look.comparisons.comparison("c1")
        assert [one.id for one in look.comparisons.heads()] == ["c1"]
    assert found is not None
    assert found.told == told
    marked = [one.reason.marked for saw in found.told.saws for one in saw.refused]
    assert marked
    assert all("⟨" in one for one in marked)
    assert drop_comparison(store, "c1", by=PLANNER, at=AT) == "c1"
    assert refusal(drop_comparison(store, "c1", by=PLANNER, at=AT)).code == "unknown-comparison"


def test_what_was_cut_counts_good_pieces_of_its_days_alone(store: Store) -> None:
    released(store)
    load_bar(store, LoadBar("b1", "r1", "A-1"), by=LEAD, at=AT)
    line = LINES[0]
    log_cut(store, LogCut("c1", "b1", 1, EntryKind.FACING), by=LEAD, at=AT)
    for place in range(2, 6):
        log_cut(
            store,
            LogCut(f"c{place}", "b1", place, EntryKind.PIECE, line.id),
            by=LEAD,
            at=later(place),
        )
    undo_cut(store, UndoCut("u1", "b1", 6, "c5"), by=LEAD, at=later(7))
    reject_piece(store, RejectPiece("x1", "c4", ScrapReason.TOO_SHORT), by=LEAD, at=later(8))
    day = AT.date()
    with store.look() as look:
        (found,) = look.prices.cut_between(day, day)
        assert look.prices.cut_between(day - timedelta(days=9), day - timedelta(days=1)) == ()
        assert look.prices.cut_between(day + timedelta(days=1), date(2030, 1, 1)) == ()
    assert (found.mark, found.quantity, found.length_um) == (line.mark, 2, line.length_um)
    assert found.grade == line.grade

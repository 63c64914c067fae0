"""One list, one rack and one shop make one sum: on the page, by the API over its stage, by the command.

No outside figure is needed: two ways to the same sum are held against each other.
"""

import json
import time
from datetime import UTC, date, datetime
from decimal import Decimal
from itertools import count
from pathlib import Path

import pytest
from tests.cli.test_commands import call
from tests.plans_here import PlansHere

from kerfsmith.catalog.catalog import Catalog
from kerfsmith.cli.main import DONE
from kerfsmith.demo.files import ORDER_BOOK, RACK, demo_file
from kerfsmith.library.load import load_catalog
from kerfsmith.shop.order import Order
from kerfsmith.shop.person import HOUSE
from kerfsmith.shop.rules import ShopRules
from kerfsmith.web.quote_stage import QuoteSource, QuoteWish
from kerfsmith.wiring.quote_stage import ShopQuoteStage
from kerfsmith.wiring.reading import read_order_bytes, read_rack_bytes
from kerfsmith.wiring.records import open_store
from kerfsmith.wiring.shop_tables import ShopTables
from kerfsmith.wiring.workbench import Workbench
from kerfsmith.workflow.begin_shop import open_demo

GRADE = ",4140,"
"""The demo's grade whose bars take longest to choose."""
AT = datetime(2026, 12, 1, tzinfo=UTC)
RULES = ShopRules(name="Ours", currency="CHF", most_at_once=4)


def _only(name: str, folder: Path) -> Path:
    heading, *rows = demo_file(name).decode().splitlines()
    path = folder / name
    path.write_text("\n".join([heading, *(row for row in rows if GRADE in row)]))
    return path


def _on_the_page(records: str, folder: Path, catalog: Catalog) -> dict[str, Decimal]:
    """The total of each line as the page's stage keeps it, over records that it fills."""
    store, bench = open_store(records), Workbench()
    lines = read_order_bytes(ORDER_BOOK, _only(ORDER_BOOK, folder).read_bytes(), catalog).lines
    bars = read_rack_bytes(RACK, _only(RACK, folder).read_bytes(), catalog, currency="CHF").bars
    open_demo(store, Order(id="o1", name="Spindles", lines=lines), bars, RULES, by=HOUSE, at=AT)
    pool = PlansHere(catalog)
    stage = ShopQuoteStage(store, ShopTables(store, catalog), pool, bench, lambda _: None)  # type: ignore[arg-type]  # stand-in
    rates = stage.rates().setting(currency="CHF", margin=Decimal("0.31"))
    assert stage.set_rates(rates, by=HOUSE) == rates
    work_id = stage.begin(QuoteWish(QuoteSource(order_id="o1"), "Weir works", date(2099, 1, 1)), by=HOUSE)
    assert isinstance(work_id, str)
    while not bench.underway(work_id).state.is_over:  # type: ignore[union-attr]  # begun above
        time.sleep(0.05)
    assert not bench.underway(work_id).problem  # type: ignore[union-attr]  # begun above
    bench.close()
    (head,) = stage.quotes()
    kept = stage.quote(head.number)
    assert kept is not None
    return {one.line.mark: one.price.total.amount for one in kept.quote.lines}


def test_page_and_command_quote_one_sum_however_busy_the_machine_is(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """The clock on the wall runs away during the command: it may not end a search that the page ended."""
    records = str(tmp_path / "shop.sqlite")
    page = _on_the_page(records, tmp_path, load_catalog())
    hours = count(step=3600)
    with monkeypatch.context() as hurried:
        hurried.setattr(time, "monotonic", lambda: float(next(hours)))
        words = (
            "quote",
            str(tmp_path / ORDER_BOOK),
            "--rack",
            str(tmp_path / RACK),
            "--customer",
            "Weir works",
        )
        assert call(*words, "--shop", records, "--json") == DONE
    document = json.loads(capsys.readouterr().out)
    assert document["currency"] == "CHF"
    assert {line["mark"]: Decimal(line["total"]) for line in document["lines"]} == page
    assert len(page) == 5

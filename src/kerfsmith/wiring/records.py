"""Opening the shop's records, and the demo shop at the first start."""

from datetime import UTC, datetime
from pathlib import Path

from kerfsmith.catalog.catalog import Catalog
from kerfsmith.demo.files import ORDER_BOOK, RACK, demo_file
from kerfsmith.demo.history import monday_before
from kerfsmith.records.opening import open_engine
from kerfsmith.records.store import Store
from kerfsmith.shop.order import Order
from kerfsmith.shop.person import HOUSE
from kerfsmith.shop.rules import ShopRules
from kerfsmith.wiring.reading import read_order_bytes, read_rack_bytes
from kerfsmith.workflow.begin_shop import open_demo

DEMO_RULES = ShopRules(name="Demo saw room", currency="EUR", most_at_once=4)


def records_url(records: str) -> str:
    """URL of the records in a SQLite file, whose folder is made, or ``records`` itself when it is a URL."""
    if "://" in records:
        return records
    path = Path(records).expanduser()
    path.parent.mkdir(parents=True, exist_ok=True)
    return f"sqlite:///{path.resolve()}"


def open_store(records: str) -> Store:
    """The store in a SQLite file, or at a database URL when ``records`` is one."""
    return Store(open_engine(records_url(records)))


def open_demo_at_first_start(store: Store, catalog: Catalog) -> bool:
    """Fill records that have never been used with the demo shop; whether that was done."""
    if store.ledger(limit=1):
        return False
    order = read_order_bytes(ORDER_BOOK, demo_file(ORDER_BOOK), catalog)
    rack = read_rack_bytes(RACK, demo_file(RACK), catalog, currency=DEMO_RULES.currency)
    open_demo(
        store,
        Order(id="demo", name="Demo order book", lines=order.lines),
        rack.bars,
        DEMO_RULES,
        by=HOUSE,
        at=monday_before(datetime.now(UTC)),
    )
    return True

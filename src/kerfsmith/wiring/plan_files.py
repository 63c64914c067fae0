"""The main job in one call: a cut list and a rack list in, a plan out."""

import hashlib
import time
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from kerfsmith.catalog.catalog import Catalog
from kerfsmith.errors import Finding, Severity
from kerfsmith.exchange.cells import MOST_BYTES
from kerfsmith.exchange.order_file import OrderRead
from kerfsmith.exchange.rack_file import PricePer
from kerfsmith.library.load import load_catalog
from kerfsmith.planning.lay_group import Effort
from kerfsmith.planning.make_plan import in_turn, make_plan, tasks_of
from kerfsmith.planning.plan import Plan, PlanGroup
from kerfsmith.shop.order import OrderLine
from kerfsmith.shop.rack import Bar, BarKind, Rack
from kerfsmith.shop.rules import ShopRules
from kerfsmith.units.length import Unit
from kerfsmith.units.parse import DateOrder
from kerfsmith.units.told import sentence
from kerfsmith.wiring.reading import OwnNames, read_nc_files, read_order_bytes, read_rack_bytes


@dataclass(frozen=True, slots=True)
class FilePlan:
    """A plan made from files, with the catalog it rests on and the order as read."""

    plan: Plan
    order: OrderRead
    catalog: Catalog
    findings: tuple[Finding, ...]

    @property
    def input_at_fault(self) -> bool:
        """Whether any row had to be left out."""
        return any(finding.is_error for finding in self.findings)


def plan_files(
    orders: str | Path,
    rack: str | Path | None = None,
    *,
    data: bytes | None = None,
    bare: Unit | None = None,
    columns: Mapping[str, str | int | None] | None = None,
    decimal: str | None = None,
    date_order: DateOrder | None = None,
    price_per: PricePer | None = None,
    rules: ShopRules | None = None,
    seconds: float = 10.0,
    seed: int = 1,
    should_stop: Callable[[], bool] = lambda: False,
    on_group: Callable[[int, PlanGroup], None] | None = None,
    catalog: Catalog | None = None,
    own: OwnNames | None = None,
) -> FilePlan:
    """Plan the cut list in the file ``orders`` from the rack in the file ``rack``.

    ``orders`` may also be an NC file, a folder of NC files, or a ZIP archive of them. ``own`` are names of
    the sender's own for grades and sections.

    Without a rack every bar is to be bought, in the length of ``rules.stock_length_um``. ``data`` stands in
    for the content of ``orders``; ``bare`` is the unit of bare numbers; ``seconds`` is the longest search
    for one group. Rows that can't be used become findings, the rest is planned.

    Raises OSError for a file that can't be read.
    """
    tables = catalog or load_catalog()
    rules = rules or ShopRules()
    given = read_given(
        orders, tables, data=data, bare=bare, columns=columns, decimal=decimal, date_order=date_order, own=own
    )
    name, content, order = given.name, given.content, given.order
    findings = list(order.findings)
    if rack is None:
        stock = _bought(order.lines, rules)
        findings.append(_no_rack(name, rules))
    else:
        rack_read = read_rack_bytes(
            Path(rack).name,
            Path(rack).read_bytes(),
            tables,
            currency=rules.currency,
            bare=bare,
            decimal=decimal,
            price_per=price_per,
            own=own,
        )
        findings += rack_read.findings
        stock = Rack(rack_read.bars)
    effort = Effort(seconds=seconds, seed=seed, now=time.process_time, should_stop=should_stop)
    plan = make_plan(
        tasks_of(order.lines, stock),
        in_turn(tables, rules, effort),
        plan_id=_name_of(content, rack),
        name=Path(name).stem,
        seed=seed,
        on_group=on_group,
    )
    return FilePlan(plan, order, tables, tuple(findings))


@dataclass(frozen=True, slots=True)
class Given:
    """What was given to be cut: what to call it, its bytes, and the order read from them."""

    name: str
    content: bytes
    order: OrderRead


def read_given(
    orders: str | Path,
    tables: Catalog,
    *,
    data: bytes | None = None,
    bare: Unit | None = None,
    columns: Mapping[str, str | int | None] | None = None,
    decimal: str | None = None,
    date_order: DateOrder | None = None,
    own: OwnNames | None = None,
) -> Given:
    """A cut list, an NC file, a folder of NC files, or an archive of them. Arguments as in `plan_files`.

    Raises OSError for a file that can't be read.
    """
    path = Path(orders)
    if data is None and path.is_dir():
        folder = folder_files(path)
        content = b"".join(each for _, each in folder)
        return Given(path.resolve().name, content, read_nc_files(folder, tables, own=own))
    content = data if data is not None else path.read_bytes()
    order = read_order_bytes(
        path.name,
        content,
        tables,
        bare=bare,
        columns=columns,
        decimal=decimal,
        date_order=date_order,
        own=own,
    )
    return Given(path.name, content, order)


def folder_files(folder: Path) -> list[tuple[str, bytes]]:
    """Name and content of every file under a folder, by name; links are not followed.

    Raises OSError for one that can't be read.
    """
    found = []
    for path in sorted(folder.rglob("*")):
        inner = path.relative_to(folder)
        if path.is_file() and not path.is_symlink() and not any(part.startswith(".") for part in inner.parts):
            found.append((inner.as_posix(), _head(path)))
    return found


def _head(path: Path) -> bytes:
    """The content, of a file larger than any NC file or archive only its beginning."""
    with path.open("rb") as file:
        return file.read(MOST_BYTES + 1)


def _name_of(content: bytes, rack: str | Path | None) -> str:
    """A name from what the plan was made of, so that codes on labels of two jobs never coincide."""
    made_of = content + (Path(rack).read_bytes() if rack is not None else b"")
    return "F" + hashlib.sha256(made_of).hexdigest()[:8].upper()


def _bought(lines: Sequence[OrderLine], rules: ShopRules) -> Rack:
    kinds = {(line.grade, line.section.key): line for line in lines}
    return Rack(
        tuple(
            Bar(
                id=f"{line.grade} {line.section.name}",
                grade=line.grade,
                section=line.section,
                length_um=rules.stock_length_um,
                count=None,
                kind=BarKind.TO_BUY,
            )
            for line in kinds.values()
        )
    )


def _no_rack(file: str, rules: ShopRules) -> Finding:
    return Finding(
        "rack-missing",
        Severity.NOTE,
        file,
        None,
        None,
        "",
        sentence(
            "no rack was given: all bars are bought, {stock_length} m long",
            stock_length=f"{rules.stock_length_um / 1e6:g}",
        ),
        "Give the rack's file to plan from what is there",
    )

"""Tables that leave the shop: every file against its schema, read back by other programs, and harmless."""

import csv
import io
import json
import zipfile
from dataclasses import replace
from datetime import UTC, datetime, timedelta, timezone
from decimal import Decimal
from pathlib import Path
from typing import Any

import jsonschema_rs
import pytest
import python_calamine
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.learning.test_subgroups import measured

from kerfsmith.catalog.section import Section
from kerfsmith.costing.plan_cost import PlanCost, cost_plan
from kerfsmith.costing.rates import Rates
from kerfsmith.demo.files import ORDER_BOOK, RACK
from kerfsmith.errors import InvalidValue
from kerfsmith.exchange.export.charts import subgroups_table
from kerfsmith.exchange.export.costs import PARTS, costs_table
from kerfsmith.exchange.export.logs import cut_log_table
from kerfsmith.exchange.export.orders import cut_list_table
from kerfsmith.exchange.export.plans import plan_pieces_table, plan_table
from kerfsmith.exchange.export.racks import rack_table
from kerfsmith.exchange.export.reference import reference_files
from kerfsmith.exchange.export.schema import json_schema
from kerfsmith.exchange.export.sections import own_sections_table
from kerfsmith.exchange.export.table import Cell, CellKind, Column, Table
from kerfsmith.exchange.export.tables import TABLES
from kerfsmith.exchange.export.write import Form, as_csv, as_json, as_xlsx, written
from kerfsmith.geometry.shapes import Round, RoundTube
from kerfsmith.learning.log import Log
from kerfsmith.shop.cut_log import CutEntry, EntryKind, LoggedCut, Outcome, ScrapReason
from kerfsmith.shop.loaded_bar import Parts
from kerfsmith.shop.order import OrderLine
from kerfsmith.shop.own_words import OwnSection
from kerfsmith.shop.rack import Bar, BarKind
from kerfsmith.wiring.demo_files import write_demo
from kerfsmith.wiring.plan_files import FilePlan, plan_files
from kerfsmith.wiring.reading import read_order_bytes, read_rack_bytes

SECTION = Section("round 50 mm", Round(50.0))
TUBE = Section("Sleeve", RoundTube(60.0, 5.0))
AT = datetime(2026, 3, 2, 8, 30, tzinfo=timezone(timedelta(hours=2)))


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("demo")
    write_demo(folder)
    return folder


@pytest.fixture(scope="module")
def made(demo: Path) -> FilePlan:
    return plan_files(demo / ORDER_BOOK, demo / RACK, seconds=0.3)


@pytest.fixture(scope="module")
def bars(demo: Path, made: FilePlan) -> tuple[Bar, ...]:
    return read_rack_bytes(RACK, (demo / RACK).read_bytes(), made.catalog, currency="EUR").bars


@pytest.fixture(scope="module")
def cost(made: FilePlan, bars: tuple[Bar, ...]) -> PlanCost:
    return cost_plan(made.plan, made.order.lines, made.catalog, Rates(), rack=bars)


def log() -> tuple[LoggedCut, ...]:
    facing = CutEntry("c1", 1, "b1", "r1", EntryKind.FACING, Parts(10_000, 1_100), 20.5, "north", "Ann", AT)
    piece = replace(
        facing,
        id="c2",
        number=2,
        kind=EntryKind.PIECE,
        parts=Parts(0, 1_100, 0, 500_000),
        line_id="l1",
        mark="=P1",
        length_um=500_000,
        outcome=Outcome.SCRAPPED,
        reason=ScrapReason.ROUGH_FACE,
        began_at=AT,
        ended_at=AT + timedelta(seconds=42),
        motor_load_percent=63.0,
    )
    return tuple(LoggedCut(entry, "A-1", "4140", "round 4 in", "H1") for entry in (facing, piece))


@pytest.fixture(scope="module")
def tables(made: FilePlan, bars: tuple[Bar, ...], cost: PlanCost) -> dict[str, Table]:
    every = (
        plan_table(made.plan),
        plan_pieces_table(made.plan),
        cut_list_table(made.order.lines),
        rack_table(bars, "EUR"),
        cut_log_table(log()),
        costs_table(cost),
        subgroups_table(Log(tuple(measured(12, 4)))),
        own_sections_table(
            [OwnSection(SECTION, "round.dxf", AT, "Ann"), OwnSection(TUBE, "t.dxf", AT, "Ann")]
        ),
    )
    return {table.name: table for table in every}


def rows_of_csv(data: bytes) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(data.decode("utf-8-sig"), newline="")))


def test_every_table_that_is_offered_is_made(tables: dict[str, Table]) -> None:
    assert set(tables) == set(TABLES)
    for name, table in tables.items():
        assert table.columns == TABLES[name].columns
        assert table.rows


@pytest.mark.parametrize("name", list(TABLES))
def test_the_json_keeps_its_schema(tables: dict[str, Table], name: str) -> None:
    schema = json_schema(name)
    jsonschema_rs.meta.validate(schema)
    check = jsonschema_rs.validator_for(schema, validate_formats=True)
    document = json.loads(as_json(tables[name]))
    check.validate(document)
    spoilt = document | {"rows": [{**document["rows"][0], document["rows"][0].popitem()[0]: []}]}
    assert not check.is_valid(spoilt)


@pytest.mark.parametrize("name", list(reference_files()))
def test_the_reference_has_not_drifted(name: str) -> None:
    kept = Path(__file__).parents[2] / "docs" / "exports" / name
    assert kept.read_text(encoding="utf-8") == reference_files()[name], "run scripts/write_export_schemas.py"


@pytest.mark.parametrize("name", list(TABLES))
def test_the_three_forms_say_the_same(tables: dict[str, Table], name: str) -> None:
    """Source: the CSV by the standard library, the workbook by another program's reader."""
    table = tables[name]
    document = json.loads(as_json(table))["rows"]
    sheet = python_calamine.CalamineWorkbook.from_filelike(io.BytesIO(as_xlsx(table))).get_sheet_by_index(0)
    grid = sheet.to_python()
    assert grid[0] == [column.name for column in table.columns]
    assert len(grid) - 1 == len(document) == len(rows_of_csv(as_csv(table))) == len(table.rows)
    for told, texts, cells in zip(document, rows_of_csv(as_csv(table)), grid[1:], strict=True):
        for column, cell in zip(table.columns, cells, strict=True):
            same(column, told[column.name], texts[column.name], cell)


def same(column: Column, told: Any, text: str, cell: Any) -> None:
    if told is None:
        assert (text, cell) == ("", "")
    elif column.kind in (CellKind.WHOLE, CellKind.NUMBER, CellKind.MONEY):
        assert float(text) == told == pytest.approx(cell, rel=1e-12)
    elif column.kind is CellKind.FLAG:
        assert (text == "yes") is told is cell
    elif column.kind is CellKind.DAY:
        assert told == text == cell.isoformat()
    elif column.kind is CellKind.MOMENT:
        assert told == text
        assert datetime.fromisoformat(told) == cell.replace(tzinfo=UTC)
    else:
        assert text.removeprefix("'") == told.removeprefix("'") == cell.removeprefix("'")


def test_moments_and_lengths_as_they_are() -> None:
    row = json.loads(as_json(cut_log_table(log())))["rows"][1]
    assert (row["at"], row["cut_seconds"]) == ("2026-03-02T06:30:00+00:00", 42.0)
    assert (row["length_mm"], row["kerfs_mm"], row["scrap_mm"]) == (500.0, 1.1, 500.0)


def test_costs_add_up(cost: PlanCost) -> None:
    rows = json.loads(as_json(costs_table(cost)))["rows"]
    priced = [row for row in rows if not row["why_no_cost"]]
    assert priced
    for row in priced:
        assert sum(row[name] for name, _, _ in PARTS) == pytest.approx(row["cost"], abs=1e-4)
        assert row["cost_low"] <= row["cost"] <= row["cost_high"]
    assert sum(row["cost"] for row in priced) == pytest.approx(float(cost.total.amount), abs=1e-3)


@pytest.mark.parametrize("form", [Form.CSV, Form.XLSX])
def test_the_cut_list_is_read_back(made: FilePlan, form: Form) -> None:
    back = read_order_bytes(f"list.{form}", written(cut_list_table(made.order.lines), form), made.catalog)
    assert [str(finding) for finding in back.findings if finding.is_error] == []
    assert [told(line) for line in back.lines] == [told(line) for line in made.order.lines]


def test_a_mitred_line_keeps_its_lie(made: FilePlan) -> None:
    line = replace(made.order.lines[0], section=made.catalog.find_section("HEA 200"), angle_a_deg=30.0)
    line = replace(line, lie="web flat")
    back = read_order_bytes("list.csv", as_csv(cut_list_table([line])), made.catalog)
    assert [told(one) for one in back.lines] == [told(line)]
    wrong = as_csv(cut_list_table([line])).replace(b"web flat", b"upside down")
    assert "web upright or web flat" in read_order_bytes("list.csv", wrong, made.catalog).findings[-1].remedy


def told(line: OrderLine) -> tuple[object, ...]:
    tolerance = (line.plus_um, line.minus_um) if line.plus_um or line.minus_um else None
    angles = (line.angle_a_deg, line.angle_b_deg, line.lie)
    names = (line.mark, line.order, line.customer, line.grade, line.notes)
    return (*names, line.section.key, line.length_um, line.quantity, tolerance, line.due, angles)


@pytest.mark.parametrize("form", [Form.CSV, Form.XLSX])
def test_the_rack_is_read_back(bars: tuple[Bar, ...], made: FilePlan, form: Form) -> None:
    data = written(rack_table(bars, "EUR"), form)
    back = read_rack_bytes(f"rack.{form}", data, made.catalog, currency="EUR")
    assert [str(finding) for finding in back.findings if finding.is_error] == []
    assert [replace(bar, row=None) for bar in back.bars] == [replace(bar, row=None) for bar in bars]
    assert any(bar.price for bar in bars)


def test_prices_of_another_currency_are_not_taken(bars: tuple[Bar, ...], made: FilePlan) -> None:
    data = as_csv(rack_table(bars, "USD"))
    back = read_rack_bytes("rack.csv", data, made.catalog, currency="EUR")
    assert {finding.field for finding in back.findings if finding.is_error} == {"price"}


HARMFUL = ["=1+1", "+1", "-1", "@SUM(A1)", "\t=1", "\r=1", "  =1", "\n=1", "=cmd|' /C calc'!A0"]


@pytest.mark.parametrize("text", HARMFUL)
def test_no_text_becomes_a_formula(text: str) -> None:
    table = Table("rack", "Rack", (Column("label", CellKind.TEXT, "a text"),), ((text,),))
    cell = next(csv.reader(io.StringIO(as_csv(table).decode("utf-8-sig").split("\n", 1)[1], newline="")))[0]
    assert cell.startswith("'")
    book = io.BytesIO(as_xlsx(table))
    assert b"<f>" not in b"".join(parts_of(book))
    assert json.loads(as_json(table))["rows"] == [{"label": text}]


def parts_of(book: io.BytesIO) -> list[bytes]:
    with zipfile.ZipFile(book) as archive:
        return [archive.read(name) for name in archive.namelist()]


@pytest.mark.parametrize("mark", ["=P1", "-12", "+A", "@x", "'=P1"])
def test_a_shielded_mark_comes_back_as_it_was(made: FilePlan, mark: str) -> None:
    line = replace(made.order.lines[0], mark=mark)
    back = read_order_bytes("list.csv", as_csv(cut_list_table([line])), made.catalog)
    assert back.lines[0].mark == mark.removeprefix("'")


@pytest.mark.parametrize(
    ("kind", "cell"),
    [
        (CellKind.TEXT, None),
        (CellKind.TEXT, 1),
        (CellKind.WHOLE, 1.5),
        (CellKind.WHOLE, True),
        (CellKind.FLAG, 1),
        (CellKind.DAY, AT),
        (CellKind.MONEY, 1.5),
    ],
)
def test_a_cell_of_another_kind_is_refused(kind: CellKind, cell: Cell) -> None:
    with pytest.raises(InvalidValue):
        Table("t", "T", (Column("c", kind, "says"),), ((cell,),))


@settings(max_examples=60)
@given(st.text(max_size=60), st.integers(1, 10**9), st.decimals(0, 10**6, places=2))
def test_whatever_stands_on_a_bar(text: str, length_um: int, price: Decimal) -> None:
    bar = Bar("A", "4140", SECTION, length_um, 1, heat=text, place=text, price=price)
    table = rack_table([bar, replace(bar, count=None, kind=BarKind.TO_BUY, price=None)], "EUR")
    rows = json.loads(as_json(table))["rows"]
    assert round(rows[0]["length_mm"] * 1000) == length_um
    assert rows[0]["price_per_bar"] == float(price)
    assert len(rows_of_csv(as_csv(table))) == 2
    python_calamine.CalamineWorkbook.from_filelike(io.BytesIO(as_xlsx(table)))


def test_an_empty_shop_gives_headings() -> None:
    assert as_csv(cut_list_table([])).decode("utf-8-sig").startswith("mark,order,")
    assert json.loads(as_json(rack_table([], "EUR")))["rows"] == []

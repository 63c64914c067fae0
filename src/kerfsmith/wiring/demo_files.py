"""The demo's files written out, so that a newcomer can try the commands on them."""

import csv
import io
from datetime import date
from pathlib import Path

from kerfsmith.demo.files import FAULTY, ORDER_BOOK, PROBLEM, RACK, demo_file
from kerfsmith.exchange.workbook_out import Cell, workbook


def write_demo(folder: Path) -> tuple[Path, ...]:
    """Write order book (CSV and XLSX), rack, faulty list and a nesting problem to ``folder``; the paths."""
    folder.mkdir(parents=True, exist_ok=True)
    files = {name: demo_file(name) for name in (ORDER_BOOK, RACK, FAULTY, PROBLEM)}
    files[ORDER_BOOK.replace(".csv", ".xlsx")] = order_book_as_workbook()
    paths = []
    for name, data in files.items():
        path = folder / name
        path.write_bytes(data)
        paths.append(path)
    return tuple(paths)


def order_book_as_workbook() -> bytes:
    """The demo's order book as a workbook, counts as numbers and due dates as dates."""
    rows = list(csv.reader(io.StringIO(demo_file(ORDER_BOOK).decode("utf-8"))))
    typed: list[list[Cell]] = [list(rows[0])]
    quantity, due = rows[0].index("Qty"), rows[0].index("Due")
    for row in rows[1:]:
        cells: list[Cell] = list(row)
        cells[quantity] = int(row[quantity])
        cells[due] = date.fromisoformat(row[due])
        typed.append(cells)
    return workbook({"Order book": typed})

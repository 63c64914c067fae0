"""Mangled cut lists by the thousand through the real reader: no crash, no row lost, no half-read line.

    python -m benchmarks.exchange.mangled [--lists 100000] [--seed 1]

Each list is a short cut list or workbook with seeded damage: bytes changed, dropped, doubled and moved,
delimiters and encodings swapped, headings lost, files cut short. What must hold of each: the reader returns;
every row counts as good, bad, blank, total or heading; every good line is a whole, valid order line; every
bad row has a finding that names file, problem and remedy. Reading writes no record: keeping does.
"""

import argparse
import random
import time
from collections import Counter

from kerfsmith.demo.files import FAULTY, ORDER_BOOK, demo_file
from kerfsmith.library.load import load_catalog
from kerfsmith.shop.order import OrderLine
from kerfsmith.units.length import Unit
from kerfsmith.wiring.demo_files import order_book_as_workbook
from kerfsmith.wiring.reading import read_order_bytes

JUNK = (
    b"\x00",
    b'"',
    b";",
    b",",
    b"\t",
    b"\r",
    b"\n",
    b"\xff\xfe",
    b"\xef\xbb\xbf",
    b"\xc2\xa0",
    b"'",
    b"=1+1",
    b"9" * 400,
)
ENCODINGS = ("utf-8", "utf-16", "cp1252", "latin-1", "utf-8-sig")


def short_list(dice: random.Random, rows: list[str]) -> bytes:
    """A heading and a handful of rows of the demo's lists, written in some encoding with some delimiter."""
    chosen = [rows[0], *dice.sample(rows[1:], k=dice.randint(1, 7))]
    if dice.random() < 0.1:
        chosen = chosen[1:]
    text = "\r\n".join(chosen)
    if dice.random() < 0.3:
        text = text.replace(",", dice.choice(";\t|"))
    return text.encode(dice.choice(ENCODINGS), errors="replace")


def damage(dice: random.Random, data: bytes) -> bytes:
    """One to six seeded injuries."""
    for _ in range(dice.randint(1, 6)):
        at, to = sorted(dice.choices(range(len(data) + 1), k=2))
        match dice.randrange(6):
            case 0:
                data = data[:at] + data[to:]
            case 1:
                data = data[:at] + dice.choice(JUNK) * dice.randint(1, 3) + data[at:]
            case 2:
                data = data[:at] + bytes(dice.randrange(256) for _ in range(min(8, to - at))) + data[at + 8 :]
            case 3:
                data = data[:to] + data[at:to] + data[to:]
            case 4:
                data = data[at:to] + data[:at] + data[to:]
            case _:
                data = data[:to]
        data = data[:20_000]
    return data


def faults_of(name: str, data: bytes, bare: Unit | None, tally: Counter[str]) -> list[str]:
    """What is wrong with how ``data`` was read; the tally counts rows."""
    read = read_order_bytes(name, data, CATALOG, bare=bare)
    accounted = len(read.lines) + read.rows_bad + read.rows_blank + read.rows_total + read.rows_heading
    wrong = []
    if accounted != read.rows_read:
        wrong.append(f"{read.rows_read} rows read, {accounted} accounted for")
    if any(not isinstance(line, OrderLine) or not line.grade or not line.section.key for line in read.lines):
        wrong.append("a line that isn't whole")
    if len({line.id for line in read.lines}) != len(read.lines):
        wrong.append("two lines of one id")
    if read.rows_bad and not any(finding.is_error for finding in read.findings):
        wrong.append("a bad row without a finding")
    if any(finding.file != name or not finding.remedy or not finding.problem for finding in read.findings):
        wrong.append("a finding without file, problem or remedy")
    tally.update(good=len(read.lines), bad=read.rows_bad, rows=read.rows_read, findings=len(read.findings))
    return wrong


def main() -> None:
    """Run and print the tally; ends with 1 at the first fault."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--lists", type=int, default=100_000)
    parser.add_argument("--seed", type=int, default=1)
    told = parser.parse_args()
    dice = random.Random(told.seed)
    rows = demo_file(ORDER_BOOK).decode().splitlines() + demo_file(FAULTY).decode().splitlines()[3:]
    book = order_book_as_workbook()
    tally: Counter[str] = Counter()
    began = time.monotonic()
    for number in range(told.lists):
        is_book = number % 50 == 0
        data = damage(dice, book if is_book else short_list(dice, rows))
        name = "list.xlsx" if is_book else "list.csv"
        wrong = faults_of(name, data, dice.choice((None, Unit.MM, Unit.INCH)), tally)
        if wrong:
            print(f"list {number} of seed {told.seed}: {'; '.join(wrong)}\n{data!r}")
            raise SystemExit(1)
    spent = time.monotonic() - began
    print(f"{told.lists} lists, {dict(tally)}, {spent:.0f} s: no crash, every row accounted for")


CATALOG = load_catalog()

if __name__ == "__main__":
    main()

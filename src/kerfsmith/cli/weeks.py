"""`kerfsmith week`."""

import json as json_text
import sys
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Any

from rich.console import Console
from rich.table import Table

from kerfsmith.cli.main import CANNOT, DONE, INPUT_AT_FAULT
from kerfsmith.cli.stopping import or_stopped, unreadable, until_stopped
from kerfsmith.errors import InvalidValue
from kerfsmith.planning.document import finding_document
from kerfsmith.scheduling.document import week_document
from kerfsmith.units.length import Unit
from kerfsmith.wiring.shop_at_hand import shop_at_hand
from kerfsmith.wiring.week_files import FileWeek, week_of_files


@dataclass(frozen=True, slots=True)
class WeekWish:
    """What was asked for on the command line."""

    orders: str
    rack: Path | None
    start: str
    unit: str | None
    seconds: float
    seed: int
    json: bool
    shop: str = ""


def run_week(wish: WeekWish) -> int:
    """Plan a cut list, line it up, and print the week."""
    if wish.unit is not None and wish.unit not in list(Unit):
        raise InvalidValue("unit is mm, cm, m, in or ft")
    try:
        start = datetime.fromisoformat(wish.start).replace(tzinfo=None) if wish.start else None
    except ValueError as fault:
        raise InvalidValue("the start is a day and a time, as in 2026-12-01T06:00") from fault
    data = sys.stdin.buffer.read() if wish.orders == "-" else None
    shop = shop_at_hand(wish.shop)
    try:
        with until_stopped() as stop:
            made = week_of_files(
                "standard input.csv" if data is not None else wish.orders,
                wish.rack,
                data=data,
                bare=Unit(wish.unit) if wish.unit else None,
                start=start,
                seconds=wish.seconds,
                seed=wish.seed,
                wish_to_stop=stop,
                shop=shop,
            )
    except OSError as error:
        return unreadable(error)
    return or_stopped(_told(made, wish), stop)


def _told(made: FileWeek, wish: WeekWish) -> int:
    document: dict[str, Any] = week_document(made.week) if made.week is not None else {"runs": []}
    if made.refusal is not None:
        document["problem"] = str(made.refusal)
    document["findings"] = [finding_document(finding) for finding in made.findings]
    if wish.json:
        print(json_text.dumps(document, ensure_ascii=False))
    else:
        for finding in made.findings:
            print(f"{finding.severity}: {finding}", file=sys.stderr)
        if made.refusal is not None or document["runs"] or document.get("left_out"):
            _print(document)
    if made.input_at_fault or (made.week is not None and not made.week.week.placements):
        return INPUT_AT_FAULT
    return CANNOT if made.week is None or made.week.left_out else DONE


def _print(document: dict[str, Any]) -> None:
    console = Console(highlight=False)
    if "problem" in document:
        console.print(document["problem"])
        return
    console.print(document["headline"])
    for aim in document["aims"]:
        console.print(f"  {aim['words']}")
    table = Table("Saw", "Begins", "Ends", "Run", "Pieces", "Band", "State")
    for run in sorted(document["runs"], key=lambda one: (one["saw"], one["begins"])):
        changed = " (put on)" if run["band_change"] else ""
        begins, ends = (run[key].replace("T", " ")[:16] for key in ("begins", "ends"))
        state = "late" if run["late"] else "in time" if run["lines"] else "nobody waits"
        table.add_row(
            run["saw"], begins, ends, run["label"], str(run["pieces"]), run["band"] + changed, state
        )
    console.print(table)
    for late in document["late"]:
        console.print(f"late: {late['run']}: {late['cause']}")
    for left in document["left_out"]:
        console.print(f"not in the week: {left['group']}: {left['reason']}")

"""Findings as a table for a spreadsheet."""

import csv
import io

from kerfsmith.errors import Finding, Severity
from kerfsmith.exchange.findings_table import COLUMNS, findings_csv


def test_findings_come_back_from_csv_and_no_cell_is_a_formula() -> None:
    finding = Finding("code", Severity.ERROR, "list.csv", 7, "length", '=1+"2"', "is; bad,\nvery", "Mend it")
    whole_file = Finding(
        "file-empty", Severity.NOTE, "list.csv", None, None, "", "is empty", "Choose another"
    )
    rows = list(csv.reader(io.StringIO(findings_csv([finding, whole_file]).decode("utf-8-sig"), newline="")))
    assert tuple(rows[0]) == COLUMNS
    assert rows[1] == ["error", "code", "list.csv", "7", "length", '\'=1+"2"', "is; bad,\nvery", "Mend it"]
    assert rows[2] == ["note", "file-empty", "list.csv", "", "", "", "is empty", "Choose another"]

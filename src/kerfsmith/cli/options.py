"""Options that several commands have, each told once."""

from pathlib import Path
from typing import Annotated

from cyclopts import Parameter

LONGEST_S = 86_400
"""A search that lasts longer than a day was meant otherwise."""


def seconds_of_search(_: object, value: float) -> None:
    """Refuse, for the parser, what is no length of a search. Raises ValueError."""
    if not 0 < value <= LONGEST_S:
        raise ValueError(f"Must be above 0 and at most {LONGEST_S}.")


def port_number(_: object, value: int) -> None:
    """Refuse, for the parser, what is no port. Raises ValueError."""
    if not 0 <= value <= 65535:
        raise ValueError("Must be from 0 to 65535.")


Records = Annotated[str, Parameter(help="SQLite file, or the URL of a database.")]
Shop = Annotated[
    str,
    Parameter(help="Records of a shop whose saws, tables, sections, names, rules, rates and hours hold."),
]
Orders = Annotated[
    str,
    Parameter(
        help="Cut list (CSV, XLSX, ODS), or NC files: one, a folder, a ZIP; - reads standard input.",
        allow_leading_hyphen=True,
    ),
]
Rack = Annotated[Path | None, Parameter(help="Bars and remnants; without it, bars are bought.")]
Rates = Annotated[Path | None, Parameter(help="Rates (TOML), laid over the shop's or the house's.")]
BareUnit = Annotated[str | None, Parameter(help="Unit of bare numbers: mm, cm, m, in or ft.")]
Seconds = Annotated[
    float, Parameter(help="Most seconds for the bars of one group.", validator=seconds_of_search)
]
Seed = Annotated[int, Parameter(help="Same seed, same plan.")]
Paper = Annotated[str, Parameter(help="a4 or letter.")]
Shown = Annotated[str, Parameter(help="metric or inch.")]
Json = Annotated[bool, Parameter(help="Print JSON.", negative=())]

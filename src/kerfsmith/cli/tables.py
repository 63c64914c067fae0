"""`kerfsmith tables`: files of the shop's own tables kept in its records, listed, taken away."""

import sys
from pathlib import Path
from typing import Annotated

from cyclopts import App, Parameter

from kerfsmith.cli.options import Records

app = App(name="tables", help="The shop's own grades, bands and sections: files laid over the package's.")


@app.command
def example() -> int:
    """Print a file to begin from."""
    from kerfsmith.wiring.table_stage import example_tables

    print(example_tables(), end="")
    return 0


@app.command
def keep(
    file: Annotated[Path, Parameter(help="TOML file; one of the same name is replaced.")],
    *,
    records: Records = "var/shop.sqlite",
) -> int:
    """Lay a file of grades, bands, sections and sources over the tables of a shop."""
    from kerfsmith.cli.main import CANNOT, DONE, INPUT_AT_FAULT
    from kerfsmith.errors import Finding
    from kerfsmith.shop.person import HOUSE
    from kerfsmith.wiring.table_stage import tables_of
    from kerfsmith.workflow.refusal import Refusal

    answer = tables_of(records).keep(file.name, file.read_bytes(), by=HOUSE)
    if isinstance(answer, Finding):
        print(f"{answer.severity}: {answer}", file=sys.stderr)
        return INPUT_AT_FAULT
    if isinstance(answer, Refusal):
        print(answer, file=sys.stderr)
        return CANNOT
    for kind, names in answer.holds:
        print(f"{kind}: {', '.join(names)}")
    return DONE


@app.command(name="list")
def every(*, records: Records = "var/shop.sqlite") -> int:
    """Every file, in the order they are laid over one another."""
    from kerfsmith.wiring.table_stage import tables_of

    for file in tables_of(records).files():
        held = "; ".join(f"{kind}: {', '.join(names)}" for kind, names in file.holds)
        print(f"{file.name}: {file.fault or held}")
    return 0


@app.command
def drop(
    name: Annotated[str, Parameter(help="Name of the file.")], *, records: Records = "var/shop.sqlite"
) -> int:
    """Take a file away; refused while a grade or band that only it knows is in use."""
    from kerfsmith.cli.main import CANNOT, DONE
    from kerfsmith.shop.person import HOUSE
    from kerfsmith.wiring.table_stage import tables_of

    refusal = tables_of(records).drop(name, by=HOUSE)
    if refusal is not None:
        print(refusal, file=sys.stderr)
        return CANNOT
    return DONE

"""`kerfsmith records`: backup, restore, and the first people of a shop."""

import getpass
import sys
from datetime import UTC, datetime
from pathlib import Path
from typing import Annotated

from cyclopts import App, Parameter

from kerfsmith.cli.options import Records
from kerfsmith.shop.person import Role

app = App(name="records", help="Back up the shop's records, restore them, and let people in.")


@app.command
def backup(
    file: Annotated[Path, Parameter(help="Where to write it; .sqlite gives a copy of a SQLite file.")],
    *,
    records: Records = "var/shop.sqlite",
) -> int:
    """Write a backup while the shop works, and verify it by restoring it."""
    from kerfsmith.records.backup import back_up
    from kerfsmith.records.opening import open_engine
    from kerfsmith.wiring.records import records_url

    if "://" not in records and not Path(records).expanduser().is_file():
        print(f"kerfsmith: there are no records in {records}", file=sys.stderr)
        return 2
    done = back_up(open_engine(records_url(records)), file)
    print(f"{file}: {done.rows} rows, restored and found the same (SHA-256 {done.digest})")
    return 0


@app.command
def restore(
    file: Annotated[Path, Parameter(help="A backup.")],
    *,
    to: Annotated[str, Parameter(help="Where to: a new SQLite file, or the URL of an empty database.")],
) -> int:
    """Fill empty records from a backup; it may come from the other kind of database."""
    from kerfsmith.records.backup import restore as fill
    from kerfsmith.wiring.records import records_url

    if not file.is_file():
        print(f"kerfsmith: there is no backup {file}", file=sys.stderr)
        return 2
    done = fill(file, records_url(to))
    print(f"{to}: {done.rows} rows (SHA-256 {done.digest})")
    return 0


@app.command
def person(
    name: Annotated[str, Parameter(help="Name as the ledger will say it.")],
    *,
    role: Annotated[Role, Parameter(help="What the person is there for.")] = Role.LEAD,
    records: Records = "var/shop.sqlite",
) -> int:
    """Add a person, with a password from the terminal or from standard input.

    Whoever may run this on the machine of the records may add anybody; all others are added by a lead.
    """
    from kerfsmith.records.hashing import Argon2Hasher
    from kerfsmith.shop.person import HOUSE, Person
    from kerfsmith.wiring.records import open_store
    from kerfsmith.workflow.keep_people import NewSecrets, add_person
    from kerfsmith.workflow.refusal import Refusal

    password = getpass.getpass() if sys.stdin.isatty() else sys.stdin.readline().rstrip("\n")
    answer = add_person(
        open_store(records),
        Argon2Hasher(),
        Person(name, role),
        NewSecrets(password),
        by=HOUSE,
        at=datetime.now(UTC),
    )
    if isinstance(answer, Refusal):
        print(f"kerfsmith: {answer}", file=sys.stderr)
        return 2
    print(f"{name} may sign in as {role}")
    return 0


@app.command
def token(
    name: Annotated[str, Parameter(help="A person on record, as whom the program enters.")],
    *,
    label: Annotated[str, Parameter(help="What the program is, as the page People shows it.")],
    role: Annotated[Role, Parameter(help="The person's own role, or guest, which only reads.")] = Role.GUEST,
    days: Annotated[int, Parameter(help="How long it holds, 1 to 366.")] = 90,
    records: Records = "var/shop.sqlite",
) -> int:
    """Give a program entry over HTTP; the token is printed this once."""
    from kerfsmith.shop.person import HOUSE
    from kerfsmith.wiring.program_stage import ShopProgramStage
    from kerfsmith.wiring.records import open_store
    from kerfsmith.workflow.refusal import Refusal

    answer = ShopProgramStage(open_store(records)).issue_token(name, role, label, days, by=HOUSE)
    if isinstance(answer, Refusal):
        print(f"kerfsmith: {answer}", file=sys.stderr)
        return 2
    print(answer.token)
    return 0

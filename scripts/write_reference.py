"""Write the manual's reference pages from the program: commands, roles, columns of lists, HTTP, files out."""

import re
import tempfile
from collections.abc import Iterable, Iterator
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from kerfsmith.cli.main import app
from kerfsmith.exchange.export.reference import reference_files
from kerfsmith.exchange.heading_words import ORDER_FIELDS, RACK_FIELDS, FieldWords
from kerfsmith.shop.person import HOUSE, Role
from kerfsmith.shop.rules import ShopRules
from kerfsmith.wiring.application import build_application
from kerfsmith.wiring.records import open_store
from kerfsmith.workflow.begin_shop import begin_own_shop
from kerfsmith.workflow.permissions import MAY, Verb

PAGES = Path(__file__).parent.parent / "src" / "kerfsmith" / "manual" / "pages"
_MADE = "Made from the program by `scripts/write_reference.py`; a test holds it to the program."


def reference_pages(description: dict[str, Any]) -> dict[str, str]:
    """Every page by its file's name; ``description`` is the OpenAPI document of the application."""
    return {
        "commands.md": _page("Commands", _commands()),
        "roles.md": _page("Who may do what", _roles()),
        "list-columns.md": _page("Columns of a list", _columns()),
        "http.md": _page("HTTP", _paths(description)),
        "files-out.md": _files_out(),
    }


def _page(title: str, lines: Iterable[str]) -> str:
    return "\n".join([f"# {title}", "", _MADE, "", *lines]) + "\n"


def _commands() -> Iterator[str]:
    yield "Ends with 0: done; 1: the work can't be done, with the reason; 2: the input is at fault."
    for name, command in sorted(_every_command(app, "")):
        yield f"\n## kerfsmith {name}\n"
        yield f"{command.help.strip().splitlines()[0]}\n"
        yield "| option | what it is | by default |\n|---|---|---|"
        for option in command.assemble_argument_collection(parse_docstring=True):
            default = option.field_info.default
            shown = "needed" if option.required else "" if default in (None, "", False) else f"`{default}`"
            names = ", ".join(f"`{one}`" for one in option.names)
            yield f"| {names} | {_cell(option.parameter.help or '')} | {shown} |"


def _every_command(of: Any, before: str) -> Iterator[tuple[str, Any]]:
    for name in of:
        if name.startswith("-"):
            continue
        command, whole = of[name], f"{before}{name}"
        if command.default_command is not None:
            yield whole, command
        else:
            yield from _every_command(command, f"{whole} ")


def _roles() -> Iterator[str]:
    yield "What a role may not do is refused, and that it was tried stands in the ledger.\n"
    roles = list(Role)
    yield f"| to | {' | '.join(str(role) for role in roles)} |"
    yield f"|---|{'---|' * len(roles)}"
    for verb in sorted(Verb, key=str):
        marks = ("yes" if role in MAY[verb] else "" for role in roles)
        yield f"| {verb} | {' | '.join(marks)} |"


def _columns() -> Iterator[str]:
    yield "Capitals, accents and marks don't matter. Where a word could mean two columns, you are asked."
    for title, fields in (("Cut list", ORDER_FIELDS), ("Rack list", RACK_FIELDS)):
        yield f"\n## {title}\n"
        yield "| column | needed | known by | where nothing else claims it |\n|---|---|---|---|"
        for field in fields:
            yield _column(field)


def _column(field: FieldWords) -> str:
    sure, likely = (", ".join(sorted(words)) for words in (field.sure, field.likely))
    return f"| {field.field} | {'yes' if field.required else ''} | {_cell(sure)} | {_cell(likely)} |"


def _paths(description: dict[str, Any]) -> Iterator[str]:
    yield "The whole description, with every field, is at `/api/openapi.json` of the running application.\n"
    yield "| method | path | what it does |\n|---|---|---|"
    for path, ways in sorted(description["paths"].items()):
        for method, what in sorted(ways.items()):
            told = (what.get("description") or what.get("summary", "")).strip().split("\n\n")[0]
            yield f"| {method.upper()} | `{path}` | {_cell(told)} |"


def _files_out() -> str:
    text = reference_files()["README.md"]
    text = re.sub(r"Made from the program by .*?\.\n", f"{_MADE}\n", text, count=1, flags=re.DOTALL)
    return re.sub(r"\[([^\]]+\.json)\]\([^)]+\)", r"`\1`", text)


def _cell(text: str) -> str:
    return text.replace("|", "\\|").replace("\n", " ")


def application_description() -> dict[str, Any]:
    """The OpenAPI document of an application over records of its own."""
    with tempfile.TemporaryDirectory() as folder:
        records = f"{folder}/shop.sqlite"
        begin_own_shop(open_store(records), ShopRules(), by=HOUSE, at=datetime.now(UTC))
        return build_application(records).openapi()


def main() -> None:
    """Write every reference page afresh."""
    for name, text in reference_pages(application_description()).items():
        (PAGES / name).write_text(text, encoding="utf-8")


if __name__ == "__main__":
    main()

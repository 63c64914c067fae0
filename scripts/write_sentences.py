"""Gather every sentence of the pages into ``web/languages/pages.pot``, from which a new language begins.

A translator copies it to ``<code>.po`` (``de.po``), fills it in with any editor of PO files, and starts the
program again: pages then offer that language in their head.
"""

import ast
import io
from collections.abc import Iterator
from pathlib import Path

from babel.messages.catalog import Catalog
from babel.messages.extract import extract_from_dir
from babel.messages.pofile import write_po

from kerfsmith.faults.circumstances import Broke, Chips, Pieces, Skin
from kerfsmith.faults.table import Symptom
from kerfsmith.library.faults import load_faults
from kerfsmith.web.findings import KIND
from kerfsmith.web.head import HEAD
from kerfsmith.web.pages.at_saw.script_words import names as panel_names
from kerfsmith.web.pages.faults.questions import QUESTIONS
from kerfsmith.web.pages.rules.wording import AIM_WORDS, GROUPS, PLACES
from kerfsmith.web.reasons import CONFIDENCE, SHORT

COOLANT = {"flood", "mist", "dry"}
"""What a grade's table advises."""
PACKAGE = Path(__file__).parent.parent / "src" / "kerfsmith"
WEB = PACKAGE / "web"
TEMPLATE = WEB / "languages" / "pages.pot"
_CHANGING = ('"POT-', '"PO-', '"Generated-By', '"Report-', '"Last-', '"Language-Team', '"Project-Id')
_METHODS = [("**.html", "jinja2.ext:babel_extract")]
_OPTIONS = {"**.html": {"trimmed": "true", "silent": "false"}}
_KEYWORDS = {"_": None, "gettext": None, "ngettext": (1, 2)}
_SAYS = {"say": 1, "to_say": 1, "say_many": 2, "forms": 2}
"""What code tells sentences through, and how many of its first arguments are sentences."""


def gathered() -> Catalog:
    """All sentences, by where they stand."""
    catalog = Catalog(project="Kerfsmith", charset="utf-8", fuzzy=False)
    catalog.header_comment = "# Sentences of the pages; made by scripts/write_sentences.py."
    catalog.creation_date = catalog.revision_date = None  # type: ignore[assignment]  # the same file each time
    found = extract_from_dir(WEB, _METHODS, _OPTIONS, _KEYWORDS)
    for python in sorted(WEB.rglob("*.py")):
        for sentences in told_in_code(python.read_text(encoding="utf-8")):
            catalog.add(sentences, None, [(python.relative_to(WEB).as_posix(), None)])  # type: ignore[list-item]
    for named in sorted(named_elsewhere()):
        catalog.add(named)
    for file, _line, message, _comments, context in sorted(found, key=lambda one: (one[0], one[1])):
        catalog.add(message, None, [(file, None)], context=context)  # type: ignore[list-item]  # no line: less churn
    return catalog


def told_in_code(source: str) -> Iterator[str | tuple[str, ...]]:
    """The sentences a module says, in their order; those said by a name are gathered where the name stands.

    Read from the syntax tree, since one sentence often stands inside another's fields.
    """
    calls = [node for node in ast.walk(ast.parse(source)) if isinstance(node, ast.Call)]
    for call in sorted(calls, key=lambda one: (one.lineno, one.col_offset)):
        name = call.func.id if isinstance(call.func, ast.Name) else ""
        told = call.args[: _SAYS.get(name, 0)]
        keys = [one.value for one in told if isinstance(one, ast.Constant) and isinstance(one.value, str)]
        if keys and len(keys) == len(told):
            yield keys[0] if len(keys) == 1 else tuple(keys)


def named_elsewhere() -> set[str]:
    """What pages say by a name that stands elsewhere: entries of the head, symptoms, causes, answers."""
    heads = {group for group, _ in HEAD if group} | {entry.name for _, entries in HEAD for entry in entries}
    answers = {str(one) for of in (Symptom, Chips, Skin, Broke, Pieces) for one in of}
    causes = load_faults().causes.values()
    told = {text for cause in causes for text in (cause.name, cause.check, cause.cure)}
    asked = {question.words for question in QUESTIONS}
    standing = {*CONFIDENCE.values(), *SHORT.values(), *KIND.values()}
    worded = (one for _, rows in GROUPS for one in rows)
    rules = {text for one in worded for text in (one.name, one.meaning, one.why, one.unit)}
    ruled = {group for group, _ in GROUPS} | rules | set(AIM_WORDS.values()) | set(PLACES)
    return ruled - {""} | set(panel_names()) | COOLANT | heads | answers | told | asked | standing


def template_text() -> str:
    """The file as it should stand."""
    out = io.BytesIO()
    write_po(out, gathered(), width=0, sort_by_file=False, include_lineno=False, omit_header=False)
    lines = out.getvalue().decode().splitlines()
    return "\n".join(line for line in lines if not line.startswith(_CHANGING)) + "\n"


def main() -> None:
    """Write it afresh."""
    TEMPLATE.write_text(template_text(), encoding="utf-8")


if __name__ == "__main__":
    main()

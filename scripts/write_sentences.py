"""Gather every sentence that pages tell into ``web/languages/pages.pot``, from which a new language begins.

Those of templates and page code are said where they stand; those of the working floors carry their wording
to the page (`kerfsmith.units.told`). Both are literals, read from the syntax tree.

A translator copies it to ``<code>.po`` (``de.po``), fills it in with any editor of PO files, and starts the
program again: pages then offer that language in their head.
"""

import ast
import io
from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import fields, is_dataclass
from functools import cache
from pathlib import Path
from typing import get_args

from babel.messages.catalog import Catalog
from babel.messages.extract import extract_from_dir
from babel.messages.pofile import write_po

from kerfsmith.catalog.band import Edge
from kerfsmith.catalog.catalog import OWN_NAME
from kerfsmith.catalog.figure import Confidence, Figure
from kerfsmith.catalog.material import Hazard
from kerfsmith.catalog.saw import FeedControl
from kerfsmith.catalog.saw_fields import CAPACITIES, FIELDS, UNITS
from kerfsmith.costing.kept_quote import QuoteState
from kerfsmith.costing.reckoning import Cause, Driver, Kind
from kerfsmith.cutting.condition import BandState
from kerfsmith.cutting.setting import Limit
from kerfsmith.exchange.export.tables import TABLES
from kerfsmith.exchange.heading_words import ORDER_FIELDS, RACK_FIELDS
from kerfsmith.exchange.nc.ends import Plane
from kerfsmith.exchange.nc.order import WORK
from kerfsmith.faults.circumstances import Broke, Chips, Pieces, Skin
from kerfsmith.faults.table import Symptom
from kerfsmith.geometry.profile import Profile
from kerfsmith.geometry.shapes import Shape
from kerfsmith.learning.charts.run_rules import Rule as RunRule
from kerfsmith.learning.observe import LeftOut
from kerfsmith.library.faults import load_faults
from kerfsmith.library.load import load_catalog
from kerfsmith.nesting.ends import Turn
from kerfsmith.nesting.rules import Rule
from kerfsmith.planning.lengths import Promise
from kerfsmith.planning.plan import PlanStatus
from kerfsmith.scheduling.problem import Aim
from kerfsmith.scheduling.result import Status
from kerfsmith.shop.band_in_use import RemovalReason
from kerfsmith.shop.cut_log import EntryKind, Outcome
from kerfsmith.shop.factors import Measure
from kerfsmith.shop.loaded_bar import BarState
from kerfsmith.shop.person import Role
from kerfsmith.shop.rack import BarKind
from kerfsmith.shop.saw_stop import StopReason
from kerfsmith.web.backstage import JobState
from kerfsmith.web.findings import KIND
from kerfsmith.web.head import HEAD
from kerfsmith.web.pages.at_saw.script_words import names as panel_names
from kerfsmith.web.pages.faults.questions import QUESTIONS
from kerfsmith.web.pages.rules.wording import AIM_WORDS, GROUPS, PLACES
from kerfsmith.web.pages.safety.routes import hazard_name, hazard_words
from kerfsmith.web.reasons import CONFIDENCE, SHORT
from kerfsmith.workflow.permissions import Verb

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

APART = ("web", "cli", "paper", "manual", "demo", "library", "records", "nesting/contract")
"""Parts that tell sentences in their own way, or to programs alone."""
KINDS = (
    *(
        Limit,
        FeedControl,
        BandState,
        Role,
        Verb,
        EntryKind,
        BarState,
        RemovalReason,
        StopReason,
        Rule,
        Status,
    ),
    *(LeftOut, RunRule, PlanStatus, Confidence, Measure, QuoteState, Kind, Driver, Cause, Promise, Edge),
    *(BarKind, Outcome, Turn, JobState, Aim, Plane),
)
"""Kinds of things that sentences of the core name."""
ABOUTS = frozenset(
    {"band speed", "pitch", "teeth in the cut", "feed", "chip", "cutting rate", "gullet", "power"}
    | {"band force", "straightness", "feed force", "cut time", "feed control", "band life", "kerf"}
    | {"bending", "tension", "twist", "bends", "fatigue", "wheels", "stiffness", "break-in", "saw sheet"}
)
"""What reasons speak of, and the place of those that stand on a saw's own sheet."""
SENTENCES = frozenset({"problem", "remedy", "reason", "note"})
"""An argument of such a name is a sentence, in whatever call."""
_TOLD_BY = {"sentence": {0}, "how_many": {0, 1}, "Told": {0}, "PackageError": {0}, "Reason": {4}}

Sentence = str | tuple[str, ...]
Places = Mapping[str, set[int]]


def gathered() -> Catalog:
    """All sentences, by where they stand."""
    catalog = Catalog(project="Kerfsmith", charset="utf-8", fuzzy=False)
    catalog.header_comment = "# Sentences of the pages; made by scripts/write_sentences.py."
    catalog.creation_date = catalog.revision_date = None  # type: ignore[assignment]  # the same file each time
    found = extract_from_dir(WEB, _METHODS, _OPTIONS, _KEYWORDS)
    for python in sorted(WEB.rglob("*.py")):
        for sentences in told_in_code(python.read_text(encoding="utf-8")):
            catalog.add(sentences, None, [(python.relative_to(WEB).as_posix(), None)])  # type: ignore[list-item]
    for core, name in core_sentences():
        catalog.add(core, None, [(f"kerfsmith/{name}", None)])  # type: ignore[list-item]
    for named in sorted(named_elsewhere() | core_data()):
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
    sheets = {field.label for field in (*FIELDS, *CAPACITIES)}
    tables = {text for table in TABLES.values() for text in (table.title, table.says)}
    read = {one.field.replace("_", " ") for one in (*ORDER_FIELDS, *RACK_FIELDS)}
    columns = read | {column.says for table in TABLES.values() for column in table.columns}
    hazards = {told(hazard) for hazard in Hazard for told in (hazard_name, hazard_words)}
    ruled |= sheets | tables | columns | hazards
    return ruled - {""} | set(panel_names()) | COOLANT | heads | answers | told | asked | standing


def core_sentences() -> Iterator[tuple[Sentence, str]]:
    """Every sentence written out in the working floors, with the file it stands in."""
    trees = core_trees()
    places = places_of_sentences(trees.values())
    for file, tree in trees.items():
        for found in told_by_core(tree, places):
            yield found, file


@cache
def core_trees() -> dict[str, ast.Module]:
    """Each module of the working floors by its file."""
    files = (file.relative_to(PACKAGE) for file in sorted(PACKAGE.rglob("*.py")))
    return {
        file.as_posix(): ast.parse((PACKAGE / file).read_text(encoding="utf-8"))
        for file in files
        if not file.as_posix().startswith(tuple(f"{one}/" for one in APART))
    }


def places_of_sentences(trees: Iterable[ast.Module]) -> Places:
    """By the name of a function or class, which of its arguments are sentences."""
    found: dict[str, set[int]] = defaultdict(set, {name: set(at) for name, at in _TOLD_BY.items()})
    for tree in trees:
        for node in ast.walk(tree):
            match node:
                case ast.FunctionDef(name=name):
                    found[name] |= _among(_parameters(node))
                case ast.ClassDef(name=name, bases=[*_, ast.Name(id=base)]) if not _made_from(node):
                    found[name] |= found.get(base, set())
                case ast.ClassDef(name=name):
                    found[name] |= _among(_made_from(node))
                case _:
                    pass
    return {name: places for name, places in found.items() if places}


def told_by_core(tree: ast.Module, places: Places) -> Iterator[Sentence]:
    """The sentences that a module of the core tells, in their order."""
    calls = [node for node in ast.walk(tree) if isinstance(node, ast.Call)]
    named = _named(tree)
    for call in sorted(calls, key=lambda one: (one.lineno, one.col_offset)):
        name = getattr(call.func, "id", getattr(call.func, "attr", ""))
        told = [call.args[place] for place in sorted(places.get(name, ())) if place < len(call.args)]
        told += [one.value for one in call.keywords if one.arg in SENTENCES]
        texts = [text for one in told for text in _written(one, named) if name in _TOLD_BY or " " in text]
        if name == "how_many" and len(texts) == 2:
            yield tuple(texts)
        else:
            yield from texts


def core_data() -> set[str]:
    """What sentences of the core name or say from tables: kinds of things, cautions, notes of figures."""
    catalog = load_catalog()
    cautions = {caution.text for texts in catalog.hazard_texts.values() for caution in texts}
    places = {caution.where for texts in catalog.hazard_texts.values() for caution in texts}
    grades = {name for one in catalog.grades for name in (one.group, one.family, one.condition, one.note)}
    bands = {name for band in catalog.bands for name in (band.tooth_form, band.tooth_set)}
    sources = {text for source in catalog.sources for text in (source.kind, source.note)}
    shapes = {word for shape in get_args(Shape) for word in _of_shape(shape)}
    units = {one.shown for ones in UNITS.values() for one in ones if " " in one.shown}
    work = {name for _, name in WORK}
    named = units | work | places | grades | bands | sources | shapes | set(_lies()) | ABOUTS
    return (
        {OWN_NAME} | cautions | named | set(_notes(catalog)) | {one.value for kind in KINDS for one in kind}
    ) - {""}


def _of_shape(shape: type[Profile]) -> Iterator[str]:
    """Its kind, alone and with its article, and its dimensions, alone and begun with a capital."""
    kind = str(shape.kind)
    yield from (kind, f"an {kind}" if kind[0] in "aeiou" else f"a {kind}")
    for field in fields(shape):  # type: ignore[arg-type]  # each is a dataclass
        if field.name.endswith("_mm"):
            plain = field.name.removesuffix("_mm").replace("_", " ")
            yield from (plain, plain.capitalize())


def _lies() -> Iterator[str]:
    """Names of the ways in which sections lie in the vise."""
    for call in ast.walk(core_trees()["geometry/lay.py"]):
        if isinstance(call, ast.Call) and getattr(call.func, "id", "") == "_turned":
            ways = (one.elts[0] for one in call.args if isinstance(one, ast.Tuple))
            yield from (
                one.value for one in ways if isinstance(one, ast.Constant) and isinstance(one.value, str)
            )


def _notes(part: object) -> Iterator[str]:
    """What the figures within a part of the catalog have to say, and their places in their sources."""
    if isinstance(part, Figure):
        yield from (text for text in (part.note, part.where) if text)
    if is_dataclass(part):
        yield from (note for field in fields(part) for note in _notes(getattr(part, field.name)))
    elif isinstance(part, tuple | list):
        yield from (note for one in part for note in _notes(one))
    elif isinstance(part, Mapping):
        yield from _notes(tuple(part.values()))


Named = list[tuple[str, ast.expr | None]]
"""Names of arguments or fields with their types."""


def _parameters(function: ast.FunctionDef) -> Named:
    named = [(one.arg, one.annotation) for one in (*function.args.posonlyargs, *function.args.args)]
    return named[1:] if named and named[0][0] == "self" else named


def _made_from(made: ast.ClassDef) -> Named:
    """What a class is made from: the parameters of its ``__init__``, or the fields of a dataclass."""
    for one in made.body:
        if isinstance(one, ast.FunctionDef) and one.name == "__init__":
            return _parameters(one)
    return [
        (one.target.id, one.annotation)
        for one in made.body
        if isinstance(one, ast.AnnAssign) and isinstance(one.target, ast.Name)
    ]


def _among(named: Named) -> set[int]:
    """The places of sentences: a problem of nesting is none."""
    return {
        place
        for place, (name, of) in enumerate(named)
        if name in SENTENCES and isinstance(of, ast.Name) and of.id in ("str", "Told")
    }


def _named(tree: ast.Module) -> dict[str, list[ast.expr]]:
    """What a module's names are given, wherever they are."""
    found: dict[str, list[ast.expr]] = defaultdict(list)
    for node in ast.walk(tree):
        if isinstance(node, ast.Assign) and isinstance(node.targets[0], ast.Name):
            found[node.targets[0].id].append(node.value)
    return found


def _written(node: ast.expr, named: Mapping[str, list[ast.expr]]) -> Iterator[str]:
    """The text of a literal that has words in it: as it stands, by its name, or chosen by a condition."""
    match node:
        case ast.Constant(value=str(text)) if any(character.isalpha() for character in text):
            yield text
        case ast.Name(id=name):
            yield from (text for one in named.get(name, ()) for text in _written(one, {}))
        case ast.IfExp(body=body, orelse=other):
            yield from (*_written(body, named), *_written(other, named))
        case ast.BoolOp(values=values):
            yield from (text for one in values for text in _written(one, named))
        case _:
            pass


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

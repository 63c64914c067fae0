"""Faults as pages show them."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from markupsafe import Markup

from kerfsmith.catalog.figure import Confidence
from kerfsmith.faults.circumstances import Seen
from kerfsmith.faults.kept import FaultOnRecord, NamedCause
from kerfsmith.faults.table import FaultTable, Symptom, Usual
from kerfsmith.web.days import date_and_time, day_and_time
from kerfsmith.web.drawing.symptom import symptom_sketch
from kerfsmith.web.fault_stage import SawAtWork
from kerfsmith.web.findings import FindingRow
from kerfsmith.web.pages.faults.questions import QUESTIONS, Kind, Question, questions_for
from kerfsmith.web.reading import Reading
from kerfsmith.web.reasons import confidence_words, source_href
from kerfsmith.web.sheet import link
from kerfsmith.web.words import say

FIRST_NAMED = 3
"""Causes that stand open; the others unfold."""


@dataclass(frozen=True, slots=True)
class Tile:
    """A symptom to choose, with its sketch."""

    name: str
    href: str
    sketch: Markup


@dataclass(frozen=True, slots=True)
class Row:
    """A fault in the list."""

    href: str
    symptom: str
    saw: str
    work: str
    first: str
    found: str
    is_open: bool
    told: str


@dataclass(frozen=True, slots=True)
class FaultsPage:
    """The symptoms, and what was wrong before."""

    tiles: tuple[Tile, ...]
    rows: tuple[Row, ...]


@dataclass(frozen=True, slots=True)
class Field:
    """One question as a form's field, filled in as it was."""

    name: str
    words: str
    choices: tuple[tuple[str, str], ...]
    unit: str
    value: str


@dataclass(frozen=True, slots=True)
class SawChoice:
    """A saw with what is on it."""

    value: str
    words: str
    chosen: bool


@dataclass(frozen=True, slots=True)
class AskPage:
    """What is asked about one symptom."""

    symptom: str
    sketch: Markup
    saws: tuple[SawChoice, ...]
    fields: tuple[Field, ...]
    texts: Mapping[str, str]
    findings: tuple[FindingRow, ...]


@dataclass(frozen=True, slots=True)
class CauseView:
    """A cause with its share, what speaks for and against it, its check and its cure."""

    place: int
    name: str
    share: str
    width: str
    speaks_for: tuple[str, ...]
    speaks_against: tuple[str, ...]
    check: str
    cure: str
    isolate: bool
    rests_on: str
    source: str
    source_href: str


@dataclass(frozen=True, slots=True)
class FaultPage:
    """A fault with its causes, likeliest first, and what it turned out to be."""

    words: str
    sketch: Markup
    first: tuple[CauseView, ...]
    others: tuple[CauseView, ...]
    seen: tuple[tuple[str, str], ...]
    found: tuple[str, ...]
    may_settle: bool
    settle_to: str
    causes: tuple[str, ...]
    note: str


def faults_page(faults: Sequence[FaultOnRecord], saws: Sequence[SawAtWork], at_saw: str = "") -> FaultsPage:
    """Symptoms to choose from and the faults on record; ``at_saw`` is the saw that is asked about."""
    names = _names(saws)
    kept = f"&saw={link(at_saw)[1:]}" if at_saw in names else ""
    tiles = tuple(
        Tile(say(symptom.value), f"/faults/ask?symptom={link(symptom)[1:]}{kept}", symptom_sketch(symptom))
        for symptom in Symptom
    )
    return FaultsPage(tiles, tuple(_row(one, names) for one in faults))


def _names(saws: Sequence[SawAtWork]) -> Mapping[str, str]:
    return {saw.saw: saw.saw_name for saw in saws}


def _row(one: FaultOnRecord, names: Mapping[str, str]) -> Row:
    fault, settled = one.fault, one.settled
    return Row(
        href=link("faults", fault.id),
        symptom=say(fault.symptom.value),
        saw=names.get(fault.saw, fault.saw),
        work=f"{fault.grade}, {fault.section}",
        first=say(fault.named[0].cause),
        found=say(settled.cause) if settled else say("not yet known"),
        is_open=settled is None,
        told=f"{fault.by}, {day_and_time(fault.at)}",
    )


def ask_page(
    symptom: Symptom,
    table: FaultTable,
    saws: Sequence[SawAtWork],
    texts: Mapping[str, str],
    reading: Reading,
    findings: Sequence[FindingRow] = (),
) -> AskPage:
    """The questions of one symptom, filled in as they were."""
    chosen = texts.get("saw", "")
    return AskPage(
        symptom=symptom.value,
        sketch=symptom_sketch(symptom),
        saws=tuple(SawChoice(saw.saw, _saw_words(saw), saw.saw == chosen) for saw in saws),
        fields=tuple(_field(one, texts, reading) for one in questions_for(symptom, table)),
        texts=texts,
        findings=tuple(findings),
    )


def _saw_words(saw: SawAtWork) -> str:
    if saw.run_id is None:
        return say("{saw}: no run on it", saw=saw.saw_name)
    return say("{saw}: {grade}, {section}", saw=saw.saw_name, grade=saw.grade, section=saw.section)


def _field(question: Question, texts: Mapping[str, str], reading: Reading) -> Field:
    choices: tuple[tuple[str, str], ...] = ()
    if question.kind is Kind.YES_NO:
        choices = (("yes", say("yes")), ("no", say("no")))
    elif question.kind is Kind.CHOICE:
        choices = tuple((str(one), say(str(one))) for one in question.choices)
    scale = question.scale
    unit = "" if scale is None else scale.metric_unit if reading.is_metric else scale.inch_unit
    return Field(question.field, say(question.words), choices, unit, texts.get(question.field, ""))


def fault_page(
    one: FaultOnRecord,
    table: FaultTable,
    saws: Sequence[SawAtWork],
    reading: Reading,
    *,
    may_settle: bool,
) -> FaultPage:
    """A fault with its causes."""
    fault = one.fault
    usual = {row.cause: row for row in table.usual[fault.symptom]}
    causes = [
        _cause(place, named, table, usual.get(named.cause), reading)
        for place, named in enumerate(fault.named, start=1)
    ]
    return FaultPage(
        words=say(
            "{saw}, {grade}, {section}; told by {by} on {at}",
            saw=_names(saws).get(fault.saw, fault.saw),
            grade=fault.grade,
            section=fault.section,
            by=fault.by,
            at=date_and_time(fault.at),
        ),
        sketch=symptom_sketch(fault.symptom),
        first=tuple(causes[:FIRST_NAMED]),
        others=tuple(causes[FIRST_NAMED:]),
        seen=_seen(fault.seen, reading),
        found=tuple(
            say("{cause}; {by}, {at}", cause=say(found.cause), by=found.by, at=day_and_time(found.at))
            + (f": {found.note}" if found.note else "")
            for found in reversed(one.found)
        ),
        may_settle=may_settle,
        settle_to=link("faults", fault.id, "found"),
        causes=(*(named.cause for named in fault.named), *_further(fault.named, table)),
        note=fault.note,
    )


def _further(named: Sequence[NamedCause], table: FaultTable) -> tuple[str, ...]:
    known = {one.cause for one in named}
    return tuple(sorted(cause for cause in table.causes if cause not in known))


def _cause(
    place: int, named: NamedCause, table: FaultTable, usual: Usual | None, reading: Reading
) -> CauseView:
    cause = table.cause(named.cause)
    source, where = (usual.source, usual.where) if usual else ("", "")
    confidence = usual.confidence if usual else Confidence.SHOP
    return CauseView(
        place=place,
        name=say(cause.name),
        share=_percent(named.share),
        width=f"{100 * named.share:.1f}",
        speaks_for=tuple(reading.told(text) for text in named.speaks_for),
        speaks_against=tuple(reading.told(text) for text in named.speaks_against),
        check=say(cause.check),
        cure=say(cause.cure),
        isolate=cause.isolate,
        rests_on=", ".join(part for part in (say(where), say(confidence_words(confidence))) if part),
        source=source,
        source_href=source_href(source),
    )


def _percent(share: float) -> str:
    return say("under 1 in 100") if share < 0.01 else say("about {share} in 100", share=round(100 * share))


def _seen(seen: Seen, reading: Reading) -> tuple[tuple[str, str], ...]:
    told: list[tuple[str, str]] = []
    for question in QUESTIONS:
        answer = getattr(seen, question.field)
        if answer is None:
            continue
        told.append((say(question.words), _answer(question, answer, reading)))
    return tuple(told)


def _answer(question: Question, answer: object, reading: Reading) -> str:
    if isinstance(answer, bool):
        return say("yes") if answer else say("no")
    if isinstance(answer, float) and question.scale is not None:
        scale = question.scale
        factor, unit = (
            (scale.metric, scale.metric_unit) if reading.is_metric else (scale.inch, scale.inch_unit)
        )
        return f"{answer * factor:.4g} {unit}"
    return say(str(answer))

"""What is asked of a person at the saw: only what tells the causes of his symptom apart."""

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum

from kerfsmith.errors import Finding, Severity, UnreadableText
from kerfsmith.faults.circumstances import Broke, Chips, Pieces, Seen, Skin
from kerfsmith.faults.table import FaultTable, Symptom
from kerfsmith.units.number_text import parse_number
from kerfsmith.web.reading import Reading
from kerfsmith.web.words import say


class Kind(StrEnum):
    """How a question is answered."""

    YES_NO = "yes or no"
    CHOICE = "choice"
    FIGURE = "figure"


@dataclass(frozen=True, slots=True)
class Scale:
    """The unit of a figure in each measure; a figure of the reader's is divided by ``inch`` or ``metric``."""

    metric_unit: str
    inch_unit: str
    metric: float = 1.0
    inch: float = 1.0


_SPEED = Scale("m/min", "ft/min", inch=1 / 0.3048)
_FEED = Scale("mm/min", "in/min", inch=1 / 25.4)
_SIZE = Scale("mm", "in", inch=1 / 25.4)
_STRESS = Scale("MPa", "psi", inch=1 / 0.006894757293168362)
_PERCENT = Scale("%", "%", metric=100.0, inch=100.0)
_CONCENTRATION = Scale("%", "%")
_BRINELL = Scale("HB", "HB")


@dataclass(frozen=True, slots=True)
class Question:
    """``field`` of `Seen` that the answer fills, and the causes that it bears on."""

    field: str
    words: str
    kind: Kind
    bears_on: frozenset[str]
    choices: tuple[str, ...] = ()
    scale: Scale | None = None


def _asked(field: str, words: str, *causes: str) -> Question:
    return Question(field, words, Kind.YES_NO, frozenset(causes))


def _one_of(field: str, words: str, of: type[StrEnum], *causes: str) -> Question:
    return Question(field, words, Kind.CHOICE, frozenset(causes), tuple(of))


def _figure(field: str, words: str, scale: Scale, *causes: str) -> Question:
    return Question(field, words, Kind.FIGURE, frozenset(causes), scale=scale)


QUESTIONS = (
    _one_of("chips", "What do the chips look like?", Chips, "feed too light", "feed too heavy", "worn band"),
    _figure(
        "feed_mm_per_min", "Feed dialled in", _FEED, "feed too heavy", "feed too light", "band not broken in"
    ),
    _figure("speed_m_per_min", "Band speed", _SPEED, "band speed too high", "band speed too low"),
    _figure("tension_mpa", "Band tension", _STRESS, "band too loose", "tension too high"),
    _figure("guide_span_mm", "Distance between the guides", _SIZE, "guides too far apart"),
    _figure(
        "motor_load",
        "Load meter in the widest part",
        _PERCENT,
        "more power asked than the motor has",
        "slipping drive",
        "worn drive wheel",
    ),
    _asked(
        "drive_slips", "Does the band slow while the motor does not?", "slipping drive", "worn drive wheel"
    ),
    _asked("work_firm", "Is the work firm in the vise?", "work loose"),
    _asked("square_in_vise", "Does the work lie square in the vise?", "work not square in the vise"),
    _asked("coolant_runs", "Did coolant reach the teeth?", "coolant weak or absent"),
    _figure("coolant_percent", "Coolant by refractometer", _CONCENTRATION, "coolant weak or absent"),
    _asked("brush_turns", "Does the chip brush turn?", "chip brush failed", "gullets full"),
    _asked("face_glazed", "Is the face glazed?", "work hardening", "hard spot"),
    _one_of("skin", "What is the bar's skin like?", Skin, "scale or hard skin"),
    _figure("hardness_hb", "Hardness of this bar", _BRINELL, "bar harder than it should be"),
    _asked("teeth_missing", "Are teeth chipped or missing?", "teeth damaged"),
    _asked("band_runs_right_way", "Do the teeth point with the band's run?", "band fitted backwards"),
    _asked("started_in_old_kerf", "Was the band put into a kerf already begun?", "started in an old kerf"),
    _asked("came_down_hard", "Did the head come down on the work?", "band dropped on the work"),
    _one_of(
        "broke",
        "Where did the band break?",
        Broke,
        "poor weld",
        "band at the end of its fatigue life",
        "tension too high",
    ),
    _asked("speed_changes_noise", "Does the noise change with the band speed?", "resonance"),
    _one_of("pieces", "Which pieces are out of length?", Pieces, "length measure off", "strokes add up"),
    _figure("kerf_mm", "Kerf, measured", _SIZE, "kerf not as reckoned"),
    _asked("hot_piece", "Was the piece measured warm?", "measured warm"),
)


def questions_for(symptom: Symptom, table: FaultTable) -> tuple[Question, ...]:
    """The questions that tell the usual causes of a symptom apart, those of the likeliest causes first."""
    rank = {usual.cause: usual.rank for usual in table.usual[symptom]}
    bearing = [one for one in QUESTIONS if one.bears_on & rank.keys()]
    return tuple(sorted(bearing, key=lambda one: min(rank[cause] for cause in one.bears_on & rank.keys())))


def read_seen(form: Mapping[str, str], reading: Reading) -> tuple[Seen, tuple[Finding, ...]]:
    """What was seen, from a form's fields; a figure that can't be read is told and left out."""
    told: dict[str, object] = {}
    findings: list[Finding] = []
    for question in QUESTIONS:
        text = form.get(question.field, "").strip()
        if not text:
            continue
        try:
            told[question.field] = _answer(question, text, reading)
        except UnreadableText as fault:
            findings.append(
                Finding(
                    "form",
                    Severity.ERROR,
                    "the form",
                    None,
                    say(question.words),
                    text,
                    fault.problem,
                    fault.remedy,
                )
            )
    return Seen(**told), tuple(findings)  # type: ignore[arg-type]  # fields of many types, each read as its own


def _answer(question: Question, text: str, reading: Reading) -> object:
    if question.kind is Kind.YES_NO:
        if text not in ("yes", "no"):
            raise UnreadableText(text, say("is neither yes nor no"), say("Choose one of the two."))
        return text == "yes"
    if question.kind is Kind.CHOICE:
        chosen = next((one for one in question.choices if one == text), None)
        if chosen is None:
            raise UnreadableText(text, say("is none of the answers"), say("Choose one from the list."))
        return chosen
    assert question.scale is not None, "a figure has a scale"
    figure = float(parse_number(text, decimal=None))
    if not 0 <= figure < 1e7:
        raise UnreadableText(text, say("is no such figure"), say("Write what the gauge reads."))
    return figure / (question.scale.metric if reading.is_metric else question.scale.inch)

"""What the plan's pages show, as values."""

from dataclasses import dataclass

from markupsafe import Markup

from kerfsmith.web.pages.plan.rules import RulesView
from kerfsmith.web.pages.plan.words import Due, State
from kerfsmith.web.settings import AnglePicture, Dial, SettingView


@dataclass(frozen=True, slots=True)
class Strip:
    """One pattern of bars: how many, which, and its picture; ``at_once`` is empty where each is cut alone."""

    times: str
    bar: str
    place: str
    picture: Markup
    at_once: str = ""


@dataclass(frozen=True, slots=True)
class TriedSaw:
    """A saw that was weighed: the verdict in words, and remedies where it doesn't fit."""

    name: str
    chosen: bool
    verdict: str
    reasons: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class GroupCard:
    """One group on the plan's page."""

    anchor: str
    href: str
    ticket_href: str
    labels_href: str
    grade: str
    section: str
    saw_name: str
    state: State
    due: Due
    pieces: str
    drawing: Markup
    setting: SettingView | None
    more_angles: tuple[str, ...]
    dials: tuple[Dial, ...]
    hours: str
    hours_span: str
    strips: tuple[Strip, ...]
    more_strips: str
    yield_words: str
    gap_words: str
    tried: tuple[TriedSaw, ...]
    cautions: tuple[str, ...]
    unplanned: tuple[str, ...]
    notes: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class IndexEntry:
    """A group in the index by saw."""

    anchor: str
    grade: str
    section: str
    state: State
    due: Due


@dataclass(frozen=True, slots=True)
class SawIndex:
    """A saw with its groups and hours."""

    name: str
    hours: str
    entries: tuple[IndexEntry, ...]


@dataclass(frozen=True, slots=True)
class Attention:
    """Something that needs a person: a late, short or impossible group, or what was found in the order."""

    kind: str
    word: str
    text: str
    href: str


@dataclass(frozen=True, slots=True)
class PlanPage:
    """The whole shop's plan; ``cautions`` hold for every group and stand on the page once."""

    cautions: tuple[str, ...]
    lead: tuple[str, ...]
    figures: tuple[Dial, ...]
    attention: tuple[Attention, ...]
    has_late: bool
    index: tuple[SawIndex, ...]
    groups: tuple[GroupCard, ...]
    legend: Markup


@dataclass(frozen=True, slots=True)
class BarRow:
    """One cut of one pattern, for the list on a group's own page."""

    mark: str
    count: int
    length: str
    ends: str
    advance: str
    strokes: str
    line: str


@dataclass(frozen=True, slots=True)
class BarSheet:
    """One pattern with its picture and the list of its cuts."""

    heading: str
    source: str
    picture: Markup
    rows: tuple[BarRow, ...]
    facing: str
    rest: str


@dataclass(frozen=True, slots=True)
class GroupPage:
    """One group in full; ``cautions`` are all of its own, ``rules`` None where no bar is laid."""

    cautions: tuple[str, ...]
    card: GroupCard
    cuts: tuple[AnglePicture, ...]
    bars: tuple[BarSheet, ...]
    times: tuple[Dial, ...]
    mass: str
    rules: RulesView | None

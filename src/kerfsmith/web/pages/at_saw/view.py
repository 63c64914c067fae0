"""What the panel of a run shows, and what its script must know to go on without a network."""

from dataclasses import dataclass

from markupsafe import Markup

from kerfsmith.shop.inspection import InspectionKind
from kerfsmith.web.pages.at_saw.steps import Step
from kerfsmith.web.settings import Dial

BAND, HELD = "band", "held"
"""Scenes: no band is on record; a piece measured wrong and is to be decided on."""
LOAD, CUT, OUT, REST, SHORT, DONE, OVER = "load", "cut", "out", "rest", "short", "done", "over"
"""Scenes: a bar is to be loaded; cut; cut out; its rest in hand; bars are missing; all cut; run finished."""


@dataclass(frozen=True, slots=True)
class LogItem:
    """A cut that stands, newest last. ``step`` is what an undo puts back, None for what isn't planned."""

    id: str
    kind: str
    line_id: str
    words: str
    outcome: str
    taken_um: int
    step: Step | None


@dataclass(frozen=True, slots=True)
class BarView:
    """A bar in the saw. ``number`` is that of its next log entry."""

    id: str
    label: str
    heading: str
    state: str
    number: int
    left_um: int
    left: str
    strip: Markup
    log: tuple[LogItem, ...]
    todo: tuple[Step, ...]


@dataclass(frozen=True, slots=True)
class WaitingBar:
    """A planned bar that is still to be loaded, ``count`` times."""

    label: str
    words: str
    count: int
    length_um: int
    heat: str
    to_buy: bool
    heading: str
    pieces: str
    strip: Markup
    todo: tuple[Step, ...]


@dataclass(frozen=True, slots=True)
class LineView:
    """A line of the run with its counts."""

    line_id: str
    mark: str
    length: str
    length_um: int
    wanted: int
    good: int
    surplus: int
    scrapped: int
    plus_um: int | None
    minus_um: int | None
    allowed: str
    order: str


@dataclass(frozen=True, slots=True)
class StopView:
    """A stop that lasts."""

    reason: str
    since: str
    by: str


@dataclass(frozen=True, slots=True)
class Measured:
    """A piece measured: what, how long, and how that is."""

    words: str
    verdict: str
    is_out: bool


@dataclass(frozen=True, slots=True)
class PieceToDecide:
    """A piece that is held or doubtful: what it is, and how it measured."""

    id: str
    line_id: str
    length_um: int
    words: str
    measured: str
    is_short: bool


@dataclass(frozen=True, slots=True)
class AngleDials:
    """What is dialled in for cuts at one head angle; ``key`` is that angle, ``name`` in words."""

    key: str
    name: str
    dials: tuple[Dial, ...]
    shown: bool


@dataclass(frozen=True, slots=True)
class Notice:
    """What was just done, or why not: ``kind`` is done, refused or changed; ``lines`` are whole phrases."""

    kind: str
    title: str
    lines: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class PanelPage:
    """The panel. ``data`` is the same for its script, as JSON; ``new_ids`` are for its plain forms."""

    run_id: str
    saw: str
    saw_name: str
    title: str
    scene: str
    question: str
    revision: int
    unit: str
    bar: BarView | None
    next: Step | None
    next_count: str
    waiting: tuple[WaitingBar, ...]
    more_waiting: str
    lines: tuple[LineView, ...]
    settings: tuple[AngleDials, ...]
    planned_band: str
    held: tuple[PieceToDecide, ...]
    doubtful: tuple[PieceToDecide, ...]
    may_accept: bool
    cautions: tuple[str, ...]
    due: InspectionKind | None
    last_piece: str
    last_piece_id: str
    last_piece_allowed: str
    measured: Measured | None
    stop: StopView | None
    band: str
    band_words: str
    crib: tuple[str, ...]
    free_label: str
    worth_keeping: bool
    places: tuple[str, ...]
    notes: tuple[str, ...]
    notices: tuple[Notice, ...]
    new_ids: tuple[str, ...]
    scrap_reasons: tuple[str, ...]
    stop_reasons: tuple[str, ...]
    removal_reasons: tuple[str, ...]
    pieces_left: int
    finished: str
    data: str

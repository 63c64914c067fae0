"""What the panel of a run shows, and what its script must know to go on without a network."""

from dataclasses import asdict, dataclass
from typing import Any

from markupsafe import Markup

from kerfsmith.planning.plan import ForLine
from kerfsmith.shop.inspection import InspectionKind
from kerfsmith.web.pages.at_saw.steps import Step
from kerfsmith.web.settings import Dial

BAND, HELD = "band", "held"
"""Scenes: no band is on record; a piece measured wrong and is to be decided on."""
LOAD, CUT, OUT, REST, SHORT, DONE, OVER = "load", "cut", "out", "rest", "short", "done", "over"
"""Scenes: a bar is to be loaded; cut; cut out; its rest in hand; bars are missing; all cut; run finished."""
LAY, PASS, CLEAR = "lay", "pass", "clear"
"""Scenes of a load: more bars are to be laid into it; it is cut through; its bars are cut out."""


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
class PieceOfPass:
    """What one bar gives in a pass, and the entry of its log that tells so ("" while it is to come)."""

    bar_id: str
    line_id: str
    mark: str
    cut_id: str = ""
    outcome: str = ""
    taken_um: int = 0


@dataclass(frozen=True, slots=True)
class PassStep:
    """A pass still to be made: what is dialled in, and which line each bar's piece serves.

    ``words`` say so: ``3 pieces: 2 × P2, 1 × P3``.
    """

    step: Step
    pieces: tuple[PieceOfPass, ...]
    words: str


@dataclass(frozen=True, slots=True)
class PassItem:
    """A pass that stands, newest last; ``step`` is what an undo puts back, None for what isn't planned."""

    id: str
    kind: str
    words: str
    pieces: tuple[PieceOfPass, ...]
    step: PassStep | None


@dataclass(frozen=True, slots=True)
class PieceAlone:
    """A piece that one bar of a load still needs and no pass gives: one was scrapped.

    ``place`` is its bar's, ``fits`` whether what that has left beyond the passes suffices for it.
    """

    bar_id: str
    place: int
    words: str
    step: Step
    fits: bool


@dataclass(frozen=True, slots=True)
class PieceToMeasure:
    """The newest piece of a bar of a load."""

    cut_id: str
    bar_id: str
    place: int
    mark: str
    words: str
    allowed: str


@dataclass(frozen=True, slots=True)
class Rejected:
    """The piece ``cut_id`` of a bar, rejected by that bar's newest entry; an undo takes this back first."""

    bar_id: str
    reject_id: str
    cut_id: str
    number: int
    words: str


@dataclass(frozen=True, slots=True)
class LoadForms:
    """What plain forms tell of every bar, as JSON: the next pass ``pass_id``, a trim, the last undone."""

    pass_id: str
    cuts: str
    trims: str
    undos: str


@dataclass(frozen=True, slots=True)
class LoadView:
    """A load in the saw; equal bars share a label, so each is named by its place in it, counted from 1.

    ``waiting`` is how many bars more it may take, ``is_open`` whether it still takes any. ``last`` is the
    pass that an undo takes back, "" for none, after those ``rejected``, newest last. ``alone`` is what single
    bars need beyond the passes. ``newest`` are the pieces that may be measured, ``to_measure`` those of them
    that are due.
    ``dials`` are the setting for so many bars; ``dials_note`` says where there is none for just so many.
    ``vise`` shows the bars as they lie, each with the mark of the piece that it gives next.
    """

    id: str
    heading: str
    at_once: int
    waiting: int
    is_open: bool
    fewer_why: str
    bars: tuple[BarView, ...]
    todo: tuple[PassStep, ...]
    log: tuple[PassItem, ...]
    last: str
    rejected: tuple[Rejected, ...]
    alone: tuple[PieceAlone, ...]
    newest: tuple[PieceToMeasure, ...]
    to_measure: tuple[PieceToMeasure, ...]
    dials: tuple[Dial, ...]
    dials_note: str
    vise: Markup
    least_left: str
    forms: LoadForms

    @property
    def alone_next(self) -> PieceAlone | None:
        """The piece to be cut from one bar when all passes are made."""
        return next((one for one in self.alone if one.fits), None)

    @property
    def last_words(self) -> str:
        """What was told last: a piece rejected, or the pass before that."""
        if self.rejected:
            return self.rejected[-1].words
        return self.log[-1].words if self.log else ""

    @property
    def data(self) -> dict[str, Any]:
        """The same for the script, without pictures of bars and what plain forms need."""
        told = asdict(self)
        del told["forms"], told["newest"]
        return {**told, "bars": [{**bar, "strip": ""} for bar in told["bars"]]}


@dataclass(frozen=True, slots=True)
class WaitingBar:
    """A planned bar that is still to be loaded, ``count`` times, ``at_once`` of them as one load.

    ``free_copy`` counts the equal bars from 1 and names the next; ``serves`` are the lines that each bar of a
    load serves with its pieces, in the order of ``todo`` without the facing: bar ``free_copy`` serves those
    at ``(free_copy - 1) % at_once``. ``vise`` and ``dials`` are those of a load of it, nothing laid in yet.
    """

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
    at_once: int = 1
    free_copy: int = 1
    serves: tuple[tuple[ForLine, ...], ...] = ()
    vise: str = ""
    dials: tuple[Dial, ...] = ()


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
    load: LoadView | None
    beside: tuple[BarView, ...]
    next: Step | None
    next_count: str
    left_dial: str
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
    count_note: str
    waits_for_loads: bool
    load_reasons: tuple[tuple[str, ...], tuple[str, ...]]
    measure_id: str
    measure_words: str
    measure_name: str
    doubtful_name: str
    last_piece: str
    last_piece_id: str
    last_piece_allowed: str
    measured: Measured | None
    stop: StopView | None
    band: str
    band_words: str
    band_name: str
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

"""What stands on a saw ticket, as text and shares of a drawing: nothing is left for a template to work
out."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Load:
    """One entry of the rack to bring to the saw: ``numbers`` are the bars of this run it becomes ("1–3")."""

    numbers: str
    count: str
    bar_id: str
    kind: str
    length: str
    heat: str
    place: str
    mass: str
    caution: str


@dataclass(frozen=True, slots=True)
class Dial:
    """One figure to set at the saw: what it is, the figure large, its unit, and a word on it."""

    name: str
    figure: str
    unit: str
    note: str


@dataclass(frozen=True, slots=True)
class SettingCard:
    """The setting for one head angle. ``title`` says which cut, ``lie`` how the work lies, ``dials`` what to
    set."""

    title: str
    band: str
    lie: str
    dials: tuple[Dial, ...]
    note: str


@dataclass(frozen=True, slots=True)
class Lettering:
    """Text centred on a place of a drawing, mm of paper from its top left; ``turned`` reads from the
    right."""

    x_mm: float
    y_mm: float
    text: str
    turned: bool


@dataclass(frozen=True, slots=True)
class Sketch:
    """The section in the vise, drawn to ``scale``: an SVG of ``width_mm`` by ``height_mm`` on paper, and its
    figures."""

    svg: str
    width_mm: float
    height_mm: float
    lettering: tuple[Lettering, ...]
    scale: str


@dataclass(frozen=True, slots=True)
class Segment:
    """One part of a bar's strip: ``start`` and ``width`` in shares of the strip scale, the ends' slants in
    degrees.

    ``kind`` is facing, piece, remnant, scrap or grip; a remnant's segment ends where the grip begins.
    ``text`` stands over ``under``; ``short`` is the figure alone, for a narrow part.
    """

    kind: str
    start: float
    width: float
    text: str
    under: str
    short: str
    slant_a_deg: float = 0.0
    slant_b_deg: float = 0.0


@dataclass(frozen=True, slots=True)
class Ticks:
    """Boxes to tick for one bar or the bars of one load: ``bar`` is its number in the run, or theirs."""

    bar: str
    count: int


@dataclass(frozen=True, slots=True)
class CutRow:
    """A row of equal cuts: ``cuts`` "3–9", the piece, and what the shuttle does for each of them."""

    cuts: str
    mark: str
    order: str
    length: str
    allowed: str
    ends: str
    advance: str
    strokes: str
    ticks: tuple[Ticks, ...]


@dataclass(frozen=True, slots=True)
class Remnant:
    """What is left of one bar: its length, whether it goes back, where to, and its label's code."""

    bar: str
    length: str
    keep: bool
    place: str
    heat: str
    code: str


@dataclass(frozen=True, slots=True)
class BarCard:
    """One pattern: the bars cut so, the strip, the rows of cuts and what is left."""

    title: str
    source: str
    facing: str
    strip_share: float
    segments: tuple[Segment, ...]
    rows: tuple[CutRow, ...]
    remnants: tuple[Remnant, ...]


@dataclass(frozen=True, slots=True)
class FirstPiece:
    """The check of the first piece: what to measure and how far it may be off."""

    mark: str
    length: str
    allowed: str
    squareness: str
    note: str


@dataclass(frozen=True, slots=True)
class TicketPage:
    """One run's ticket: as many sheets as it takes."""

    code: str
    run: str
    plan: str
    saw: str
    grade: str
    condition: str
    section: str
    due: str
    pieces: str
    hours: str
    loads: tuple[Load, ...]
    load_note: str
    settings: tuple[SettingCard, ...]
    sketch: Sketch
    lying: str
    first_piece: FirstPiece | None
    facing: str
    hazards: str
    cautions: tuple[str, ...]
    bars: tuple[BarCard, ...]
    strip_scale: str
    best_possible: str
    not_planned: tuple[str, ...]
    notes: tuple[str, ...]
    safety: str

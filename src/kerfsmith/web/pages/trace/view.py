"""What the pages of a trace show."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime

from kerfsmith.shop.cut_log import Outcome
from kerfsmith.shop.heat import Certificate
from kerfsmith.shop.trace import HeatTrace, PieceTrace, TracedPiece
from kerfsmith.web.reading import Reading
from kerfsmith.web.sheet import link
from kerfsmith.web.words import say, say_many


@dataclass(frozen=True, slots=True)
class Link:
    """One link of the chain: what it is, its name, particulars, where more of it stands ("" for nowhere)."""

    what: str
    name: str
    lines: tuple[str, ...]
    href: str = ""


@dataclass(frozen=True, slots=True)
class FileRow:
    """A certificate on file."""

    name: str
    href: str
    words: str


@dataclass(frozen=True, slots=True)
class ChainPage:
    """One piece with its whole chain."""

    title: str
    is_good: bool
    verdict: str
    chain: tuple[Link, ...]
    files: tuple[FileRow, ...]
    heat: str
    waits: str = ""


@dataclass(frozen=True, slots=True)
class PieceRow:
    """One piece in a list."""

    href: str
    mark: str
    length: str
    outcome: str
    is_good: bool
    measured: str
    order: str
    customer: str
    bar: str
    bar_href: str
    heat: str
    heat_href: str
    saw: str
    band: str
    by: str
    at: str
    square: str
    waits: str
    decided: str
    cut_time: str
    load: str
    ordered: str


@dataclass(frozen=True, slots=True)
class CustomerRow:
    """What one customer got of a heat."""

    name: str
    pieces: int
    marks: str


@dataclass(frozen=True, slots=True)
class ListPage:
    """Pieces of a heat, of a bar or of a mark."""

    kind: str
    name: str
    words: str
    customers: tuple[CustomerRow, ...]
    rows: tuple[PieceRow, ...]
    files: tuple[FileRow, ...]
    attach_to: str
    problem: str = ""

    @property
    def noted(self) -> tuple[str, ...]:
        """Names of the columns that any row has something in, of those that are seldom noted."""
        names = ("square", "decided", "cut_time", "load", "ordered")
        return tuple(name for name in names if any(getattr(row, name) for row in self.rows))


@dataclass(frozen=True, slots=True)
class AskPage:
    """The question, with what was asked and not found."""

    wanted: str
    not_found: bool


def chain_page(trace: PieceTrace, reading: Reading) -> ChainPage:
    """The chain of one piece."""
    piece = trace.piece
    return ChainPage(
        title=f"{piece.mark}, {reading.length(piece.length_um)}",
        is_good=piece.outcome is not Outcome.SCRAPPED,
        verdict=_outcome(piece),
        chain=tuple(_chain(piece, trace.certificates, reading)),
        files=tuple(map(file_row, trace.certificates)),
        heat=piece.heat,
        waits=_waits(piece),
    )


def _waits(piece: TracedPiece) -> str:
    if piece.is_held:
        return say("It is held until somebody decides.")
    return say("It is doubtful until it is measured or accepted.") if piece.is_doubtful else ""


def _chain(piece: TracedPiece, certificates: Sequence[Certificate], reading: Reading) -> Iterable[Link]:
    known = piece.measured_um is not None
    measured = (
        say("measured {text}", text=reading.length(piece.measured_um or 0)) if known else say("not measured")
    )
    lines = (reading.length(piece.length_um), measured, *_square(piece, reading), _outcome(piece))
    yield Link(say("Piece"), piece.mark, lines)
    yield from _decided(piece)
    for_whom = ", ".join(part for part in (piece.order, piece.customer) if part) or say("no order named")
    yield Link(say("For"), piece.customer or piece.order or "stock", (for_whom, *_ordered(piece)))
    bar_lines = (
        f"{piece.grade}, {piece.section_name}",
        say("entry {number} of its cut log", number=piece.number),
    )
    yield Link(say("Bar"), piece.label, bar_lines, link("trace", "bar", piece.label))
    if piece.parent_label:
        parent = (say("the bar above is a remnant of it"),)
        yield Link(say("Left from"), piece.parent_label, parent, link("trace", "bar", piece.parent_label))
    heat_href = link("trace", "heat", piece.heat) if piece.heat else ""
    yield Link(say("Heat"), piece.heat or say("not stated"), (), heat_href)
    names = tuple(certificate.name for certificate in certificates)
    file_href = link("certificates", certificates[0].id) if certificates else ""
    yield Link(say("Certificate"), names[0] if names else say("none on file"), names[1:], file_href)
    cut_lines = (*_pass(piece), *_times(piece), *_load(piece), say("run {run_id}", run_id=piece.run_id))
    yield Link(say("Cut"), f"{piece.at.astimezone():%Y-%m-%d %H:%M}", cut_lines)
    yield Link(
        say("Band"), piece.band_id or say("none on record"), (piece.band_kind,) if piece.band_kind else ()
    )
    yield Link(say("Saw"), piece.saw, ())
    yield Link("By", piece.by, ())


def _ordered(piece: TracedPiece) -> tuple[str, ...]:
    """What was ordered, where the piece was cut from a substitute."""
    if not piece.ordered:
        return ()
    cut = f"{piece.grade} {piece.section_name}"
    return (say("ordered {ordered}, cut from {cut} as the order allows", ordered=piece.ordered, cut=cut),)


def _pass(piece: TracedPiece) -> tuple[str, ...]:
    """That other bars were cut with this one, in the time and with the motor load told."""
    return (say("in one pass through {count} bars", count=piece.bars),) if piece.bars > 1 else ()


def _square(piece: TracedPiece, reading: Reading) -> tuple[str, ...]:
    if piece.out_of_square_um is None:
        return ()
    return (say("out of square by {length}", length=reading.length(piece.out_of_square_um)),)


def _decided(piece: TracedPiece) -> Iterable[Link]:
    """What is still to be decided of a piece that measured wrong, or who decided what, and why."""
    if piece.is_held:
        yield Link(say("Held"), say("it measured wrong, and nobody has decided yet"), ())
    elif piece.is_doubtful:
        yield Link(say("Doubtful"), say("a piece cut after it with the same band measured wrong"), ())
    one = piece.decision
    if one is not None:
        who = say("{by}, {at}", by=one.by, at=f"{one.at.astimezone():%Y-%m-%d %H:%M}")
        yield Link(say("Decided"), say(one.kind.value), (who, *((one.reason,) if one.reason else ())))


def _times(piece: TracedPiece) -> tuple[str, ...]:
    """When the band went in and came out, and how long that took."""
    began, ended = piece.began_at, piece.ended_at
    if began is not None and ended is not None:
        told = {"began": _clock(began), "ended": _clock(ended), "span": _span(piece)}
        return (say("began {began}, ended {ended}: {span}", **told),)
    if began is not None:
        return (say("began {began}", began=_clock(began)),)
    return (say("ended {ended}", ended=_clock(ended)),) if ended is not None else ()


def _span(piece: TracedPiece) -> str:
    if piece.began_at is None or piece.ended_at is None:
        return ""
    minutes, seconds = divmod(round((piece.ended_at - piece.began_at).total_seconds()), 60)
    return say("{minutes} min {seconds} s", minutes=minutes, seconds=seconds)


def _clock(at: datetime) -> str:
    return f"{at.astimezone():%H:%M:%S}"


def _load(piece: TracedPiece) -> tuple[str, ...]:
    """The saw's load meter at its highest in the cut."""
    told = _load_figures(piece)
    return (say("motor at most at {load}", load=", ".join(told)),) if told else ()


def _load_figures(piece: TracedPiece) -> tuple[str, ...]:
    percent, power = piece.motor_load_percent, piece.motor_power_kw
    told = [say("{percent} % of the rated load", percent=f"{percent:.4g}")] if percent is not None else []
    return (*told, *((say("{power} kW", power=f"{power:.4g}"),) if power is not None else ()))


def file_row(certificate: Certificate) -> FileRow:
    """A certificate to be fetched."""
    words = say(
        "{kind}, {size} kB, added by {person} {day}",
        kind=certificate.kind.name,
        size=max(1, round(certificate.size / 1000)),
        person=certificate.added_by,
        day=f"{certificate.added_at.astimezone():%Y-%m-%d}",
    )
    return FileRow(certificate.name, link("certificates", certificate.id), words)


def heat_page(trace: HeatTrace, reading: Reading, problem: str = "") -> ListPage:
    """Every piece and customer of a heat."""
    files = tuple(map(file_row, trace.certificates))
    customers = _customers(trace.pieces)
    words = say(
        "{pieces}, to {customers}; {certificates} on file.",
        pieces=_count(trace.pieces),
        customers=say_many("1 customer", "{count} customers", len(customers)),
        certificates=say_many("1 certificate", "{count} certificates", len(files))
        if files
        else say("no certificate"),
    )
    return ListPage(
        kind="heat",
        name=trace.heat,
        words=words,
        customers=customers,
        rows=tuple(_row(piece, reading) for piece in trace.pieces),
        files=files,
        attach_to=trace.heat,
        problem=problem,
    )


def pieces_page(kind: str, name: str, pieces: Sequence[TracedPiece], reading: Reading) -> ListPage:
    """Pieces of a bar or of a mark."""
    return ListPage(
        kind=kind,
        name=name,
        words=f"{_count(pieces)}.",
        customers=_customers(pieces),
        rows=tuple(_row(piece, reading) for piece in pieces),
        files=(),
        attach_to="",
    )


def _count(pieces: Sequence[TracedPiece]) -> str:
    bad = sum(piece.outcome is Outcome.SCRAPPED for piece in pieces)
    good = say_many("1 good piece", "{count} good pieces", len(pieces) - bad)
    return say("{good} ({bad} more scrapped)", good=good, bad=bad) if bad else good


def _customers(pieces: Sequence[TracedPiece]) -> tuple[CustomerRow, ...]:
    """What each customer got; scrap went to nobody."""
    got: dict[str, list[str]] = {}
    for piece in pieces:
        if piece.outcome is not Outcome.SCRAPPED:
            got.setdefault(piece.customer or say("no customer named"), []).append(piece.mark)
    return tuple(
        CustomerRow(
            name, len(marks), ", ".join(f"{marks.count(mark)} × {mark}" for mark in dict.fromkeys(marks))
        )
        for name, marks in sorted(got.items())
    )


def _row(piece: TracedPiece, reading: Reading) -> PieceRow:
    return PieceRow(
        href=link("trace", "piece", piece.cut_id),
        mark=piece.mark,
        length=reading.length(piece.length_um),
        outcome=_outcome(piece),
        is_good=piece.outcome is not Outcome.SCRAPPED,
        measured=reading.length(piece.measured_um) if piece.measured_um is not None else "",
        order=piece.order,
        customer=piece.customer,
        bar=piece.label,
        bar_href=link("trace", "bar", piece.label),
        heat=piece.heat or say("not stated"),
        heat_href=link("trace", "heat", piece.heat) if piece.heat else "",
        saw=piece.saw,
        band=piece.band_id,
        by=piece.by,
        at=f"{piece.at.astimezone():%Y-%m-%d %H:%M}",
        square=reading.length(piece.out_of_square_um) if piece.out_of_square_um is not None else "",
        waits=say("held") if piece.is_held else say("doubtful") if piece.is_doubtful else "",
        decided=_decision(piece),
        cut_time=_span(piece),
        load=", ".join(_load_figures(piece)),
        ordered=piece.ordered,
    )


def _decision(piece: TracedPiece) -> str:
    one = piece.decision
    if one is None:
        return ""
    told = say("{what} by {by}", what=say(one.kind.value), by=one.by)
    return f"{told}: {one.reason}" if one.reason else told


def _outcome(piece: TracedPiece) -> str:
    outcome = say(str(piece.outcome))
    return f"{outcome}: {piece.reason}" if piece.reason else outcome

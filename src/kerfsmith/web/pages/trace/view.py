"""What the pages of a trace show."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from kerfsmith.shop.cut_log import Outcome
from kerfsmith.shop.heat import Certificate
from kerfsmith.shop.trace import HeatTrace, PieceTrace, TracedPiece
from kerfsmith.web.reading import Reading, plural
from kerfsmith.web.sheet import link


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
    )


def _chain(piece: TracedPiece, certificates: Sequence[Certificate], reading: Reading) -> Iterable[Link]:
    known = piece.measured_um is not None
    measured = f"measured {reading.length(piece.measured_um or 0)}" if known else "not measured"
    yield Link("Piece", piece.mark, (reading.length(piece.length_um), measured, _outcome(piece)))
    for_whom = ", ".join(part for part in (piece.order, piece.customer) if part) or "no order named"
    yield Link("For", piece.customer or piece.order or "stock", (for_whom,))
    bar_lines = (f"{piece.grade}, {piece.section_name}", f"entry {piece.number} of its cut log")
    yield Link("Bar", piece.label, bar_lines, link("trace", "bar", piece.label))
    if piece.parent_label:
        parent = ("the bar above is a remnant of it",)
        yield Link("Left from", piece.parent_label, parent, link("trace", "bar", piece.parent_label))
    heat_href = link("trace", "heat", piece.heat) if piece.heat else ""
    yield Link("Heat", piece.heat or "not stated", (), heat_href)
    names = tuple(certificate.name for certificate in certificates)
    file_href = link("certificates", certificates[0].id) if certificates else ""
    yield Link("Certificate", names[0] if names else "none on file", names[1:], file_href)
    yield Link("Cut", f"{piece.at.astimezone():%Y-%m-%d %H:%M}", (f"run {piece.run_id}",))
    yield Link("Band", piece.band_id or "none on record", (piece.band_kind,) if piece.band_kind else ())
    yield Link("Saw", piece.saw, ())
    yield Link("By", piece.by, ())


def file_row(certificate: Certificate) -> FileRow:
    """A certificate to be fetched."""
    words = (
        f"{certificate.kind.name}, {max(1, round(certificate.size / 1000))} kB,"
        f" added by {certificate.added_by} {certificate.added_at.astimezone():%Y-%m-%d}"
    )
    return FileRow(certificate.name, link("certificates", certificate.id), words)


def heat_page(trace: HeatTrace, reading: Reading, problem: str = "") -> ListPage:
    """Every piece and customer of a heat."""
    files = tuple(map(file_row, trace.certificates))
    customers = _customers(trace.pieces)
    words = (
        f"{_count(trace.pieces)}, to {plural(len(customers), 'customer')};"
        f" {plural(len(files), 'certificate') if files else 'no certificate'} on file."
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
    good = plural(len(pieces) - bad, "good piece")
    return f"{good} ({bad} more scrapped)" if bad else good


def _customers(pieces: Sequence[TracedPiece]) -> tuple[CustomerRow, ...]:
    """What each customer got; scrap went to nobody."""
    got: dict[str, list[str]] = {}
    for piece in pieces:
        if piece.outcome is not Outcome.SCRAPPED:
            got.setdefault(piece.customer or "no customer named", []).append(piece.mark)
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
        heat=piece.heat or "not stated",
        heat_href=link("trace", "heat", piece.heat) if piece.heat else "",
        saw=piece.saw,
        band=piece.band_id,
        by=piece.by,
        at=f"{piece.at.astimezone():%Y-%m-%d %H:%M}",
    )


def _outcome(piece: TracedPiece) -> str:
    return f"{piece.outcome}: {piece.reason}" if piece.reason else piece.outcome.value

"""Traces: one query from a piece back to its heat, band and person; one from a heat to all its pieces."""

from typing import Any

from sqlalchemy import Connection, Select, and_, func, select

from kerfsmith.records import floor_tables as t
from kerfsmith.records.heats import certificate_rows, read_certificate
from kerfsmith.records.hold_tables import decisions
from kerfsmith.records.holds import HoldRead, is_no_undo
from kerfsmith.records.tables import certificates
from kerfsmith.shop.cut_log import Outcome, ScrapReason
from kerfsmith.shop.heat import Certificate
from kerfsmith.shop.hold import Decision, DecisionKind
from kerfsmith.shop.trace import HeatTrace, PieceTrace, TracedPiece


class Traces:
    """`workflow.floor_ports.Tracing` over one connection."""

    def __init__(self, run: Connection) -> None:
        self._run = run

    def piece(self, cut_id: str) -> PieceTrace | None:
        """All that led to one piece."""
        found = self._read(piece_rows().where(t.cuts.c.id == cut_id))
        if not found:
            return None
        piece = found[0]
        return PieceTrace(piece, self.certificates(piece.heat))

    def heat(self, number: str) -> HeatTrace | None:
        """Every piece that a heat became, and for whom."""
        pieces = self._read(piece_rows().where(t.loaded_bars.c.heat == number))
        spoken_for = self.certificates(number)
        return HeatTrace(number, pieces, spoken_for) if pieces or spoken_for else None

    def pieces(
        self, *, line_id: str | None = None, label: str | None = None, mark: str | None = None
    ) -> tuple[TracedPiece, ...]:
        """Pieces of an order line, of a bar by its label, or of all lines with a mark, capitals apart."""
        wanted = piece_rows()
        if line_id is not None:
            wanted = wanted.where(t.run_lines.c.line_id == line_id)
        if label is not None:
            wanted = wanted.where(t.loaded_bars.c.label == label)
        if mark is not None:
            wanted = wanted.where(func.lower(t.run_lines.c.mark).in_(_spellings(mark)))
        return self._read(wanted)

    def _read(self, wanted: Select[Any]) -> tuple[TracedPiece, ...]:
        """The pieces, with one query more for those that are held, and one for each that casts doubt."""
        rows = self._run.execute(wanted).all()
        holds = HoldRead(self._run)
        runs = tuple(dict.fromkeys(row.run_id for row in rows))
        held = {one.piece.id for one in holds.failed(runs) if one.is_held}
        doubtful = {one.id for one in holds.doubtful(runs)}
        return tuple(_read(row, row.id in held, row.id in doubtful) for row in rows)

    def certificates(self, heat: str) -> tuple[Certificate, ...]:
        """Certificates of a heat, oldest first."""
        rows = self._run.execute(certificate_rows().where(certificates.c.heat == heat))
        return tuple(read_certificate(row) for row in rows)

    def certificate(self, certificate_id: str) -> Certificate | None:
        """One certificate."""
        row = self._run.execute(certificate_rows().where(certificates.c.id == certificate_id)).first()
        return read_certificate(row) if row is not None else None


def piece_rows() -> Select[Any]:
    """Pieces that stand, each with its bar, line, run, band, parent bar and newest measure.

    A piece that was undone is left out; a rejected one is there with its reason.
    """
    cut, bar, line, run, mounting, band = (
        t.cuts,
        t.loaded_bars,
        t.run_lines,
        t.runs,
        t.mountings,
        t.bands,
    )
    parent = t.loaded_bars.alias("parent")
    undo = t.cuts.alias("undo")
    reject = t.cuts.alias("reject")
    undo_of_reject = t.cuts.alias("undo_of_reject")
    measure = t.inspections.alias("measure")
    rejected = (
        select(func.max(reject.c.reason))
        .where(reject.c.corrects == cut.c.id, reject.c.kind == "reject")
        .where(
            ~select(undo_of_reject.c.id)
            .where(undo_of_reject.c.corrects == reject.c.id, undo_of_reject.c.kind == "undo")
            .exists()
        )
        .scalar_subquery()
    )
    newest = select(func.max(measure.c.number)).where(measure.c.cut_id == cut.c.id).scalar_subquery()
    measured = t.inspections.alias("measured")
    decided = decisions.alias("decided")
    last_decision = select(func.max(decided.c.number)).where(decided.c.cut_id == cut.c.id).scalar_subquery()
    settled = decisions.alias("settled")
    beside = t.cuts.alias("beside")
    bars = (
        select(func.count())
        .select_from(beside)
        .where(beside.c.pass_id == cut.c.pass_id, is_no_undo(beside))
        .correlate(cut)
        .scalar_subquery()
    )
    joined = (
        cut.join(bar, bar.c.id == cut.c.bar_id)
        .join(run, run.c.id == cut.c.run_id)
        .join(line, and_(line.c.run_id == cut.c.run_id, line.c.line_id == cut.c.line_id))
        .outerjoin(mounting, mounting.c.id == cut.c.mounting_id)
        .outerjoin(band, band.c.id == mounting.c.band_id)
        .outerjoin(t.remnants, t.remnants.c.label == bar.c.label)
        .outerjoin(parent, parent.c.id == t.remnants.c.bar_id)
        .outerjoin(undo, and_(undo.c.corrects == cut.c.id, undo.c.kind == "undo"))
        .outerjoin(measured, measured.c.number == newest)
        .outerjoin(settled, settled.c.number == last_decision)
    )
    return (
        select(
            cut.c.id,
            cut.c.mark,
            cut.c.length_um,
            cut.c.outcome,
            cut.c.reason,
            cut.c.at,
            cut.c.by,
            cut.c.entry,
            cut.c.bar_id,
            bar.c.label,
            parent.c.label.label("parent_label"),
            bar.c.grade,
            run.c.section,
            bar.c.heat,
            run.c.saw_name,
            band.c.id.label("band_id"),
            band.c.kind.label("band_kind"),
            cut.c.run_id,
            line.c.line_id,
            line.c.order_id,
            line.c.order_name,
            line.c.customer,
            line.c.ordered,
            rejected.label("rejected"),
            bars.label("bars"),
            measured.c.measured_um,
            measured.c.out_of_square_um,
            cut.c.began_at,
            cut.c.ended_at,
            cut.c.motor_load_percent,
            cut.c.motor_power_kw,
            settled.c.id.label("decision_id"),
            settled.c.kind.label("decision_kind"),
            settled.c.reason.label("decision_reason"),
            settled.c.by.label("decision_by"),
            settled.c.at.label("decision_at"),
            settled.c.inspection_id.label("decision_measure"),
        )
        .select_from(joined)
        .where(cut.c.kind == "piece", undo.c.id.is_(None))
        .order_by(cut.c.number)
    )


def _spellings(mark: str) -> tuple[str, ...]:
    """A mark in small letters; as keyed too, for a database that knows no small letters beyond ASCII."""
    keyed = mark.strip()
    ascii_only = "".join(one.lower() if one.isascii() else one for one in keyed)
    return tuple(dict.fromkeys((keyed.lower(), ascii_only)))


def _read(row: Any, is_held: bool, is_doubtful: bool) -> TracedPiece:
    reason = row.rejected or row.reason
    return TracedPiece(
        cut_id=row.id,
        mark=row.mark,
        length_um=row.length_um,
        outcome=Outcome.SCRAPPED if row.rejected else Outcome(row.outcome),
        reason=ScrapReason(reason) if reason else None,
        at=row.at,
        by=row.by,
        number=row.entry,
        bar_id=row.bar_id,
        label=row.label,
        parent_label=row.parent_label or "",
        grade=row.grade,
        section_name=row.section["name"],
        heat=row.heat or "",
        saw=row.saw_name,
        band_id=row.band_id or "",
        band_kind=row.band_kind or "",
        run_id=row.run_id,
        line_id=row.line_id,
        order_id=row.order_id,
        order=row.order_name,
        customer=row.customer,
        measured_um=row.measured_um,
        out_of_square_um=row.out_of_square_um,
        began_at=row.began_at,
        ended_at=row.ended_at,
        motor_load_percent=row.motor_load_percent,
        motor_power_kw=row.motor_power_kw,
        is_held=is_held,
        is_doubtful=is_doubtful,
        decision=_decision(row),
        bars=row.bars or 1,
        ordered=row.ordered or "",
    )


def _decision(row: Any) -> Decision | None:
    if row.decision_id is None:
        return None
    return Decision(
        row.decision_id,
        row.id,
        DecisionKind(row.decision_kind),
        row.decision_reason,
        row.decision_by,
        row.decision_at,
        row.decision_measure,
    )

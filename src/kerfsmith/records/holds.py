"""Held and doubtful pieces, read from the tables: those out of tolerance, and those they cast doubt on."""

from collections.abc import Sequence
from typing import Any

from sqlalchemy import (
    ColumnElement,
    Connection,
    FromClause,
    Select,
    exists,
    func,
    literal_column,
    or_,
    select,
)

from kerfsmith.records import floor_tables as t
from kerfsmith.records.floor_rows import read_cut, read_inspection
from kerfsmith.records.hold_tables import decisions
from kerfsmith.shop.cut_log import CutEntry
from kerfsmith.shop.hold import Decision, DecisionKind, FailedPiece


class HoldRead:
    """The part of `workflow.floor_ports.FloorReading` that tells of held and doubtful pieces."""

    def __init__(self, run: Connection) -> None:
        self._run = run

    def failed(self, run_ids: Sequence[str]) -> tuple[FailedPiece, ...]:
        """Pieces of these runs whose newest measure that settles nothing is out, oldest first."""
        return tuple(one for one, _, _ in self._failed(run_ids))

    def doubtful(self, run_ids: Sequence[str]) -> tuple[CutEntry, ...]:
        """Pieces cut with the same band since the last good measure before one that was out.

        Not those that are scrapped, accepted, or measured themselves. Where bars were cut together, a good
        measure speaks for its own bar alone, and one that was out casts doubt on the whole pass.
        """
        found: dict[str, CutEntry] = {}
        for one, place, good_place in self._failed(run_ids):
            if one.casts_doubt:
                rows = self._run.execute(_between(one.piece, good_place, place))
                found |= {row.id: read_cut(row) for row in rows}
        return tuple(found.values())

    def _failed(self, run_ids: Sequence[str]) -> list[tuple[FailedPiece, int, int]]:
        """Each with the place among all cuts of the last piece cut together with it, its own where it
        was cut alone, and the place of the last piece before it that was good.
        """
        if not run_ids:
            return []
        measured = self._run.execute(_newest_out().where(t.cuts.c.run_id.in_(run_ids))).all()
        found = []
        for row in measured:
            piece = read_cut(self._run.execute(select(t.cuts).where(t.cuts.c.id == row.cut_id)).one())
            settled = (
                Decision(
                    row.decision_id,
                    row.cut_id,
                    DecisionKind(row.decision_kind),
                    row.decision_reason,
                    row.decision_by,
                    row.decision_at,
                    row.id,
                )
                if row.decision_id
                else None
            )
            failed = FailedPiece(piece, read_inspection(row), bool(row.rejected), settled)
            found.append((failed, row.last_place, row.good_place or 0))
        return found


def is_out(measure: FromClause) -> ColumnElement[bool]:
    """Whether a row of inspections is out of what its line allows."""
    over = measure.c.measured_um - measure.c.nominal_um
    return or_(over > measure.c.plus_um, -over > measure.c.minus_um)


def is_no_undo(cut: FromClause) -> ColumnElement[bool]:
    """Whether an entry is no undo, in the words of the index of passes: SQLite uses it for no others."""
    return cut.c.kind != literal_column("'undo'")


def is_undone(cut: FromClause) -> ColumnElement[bool]:
    """Whether a cut was taken back."""
    undo = t.cuts.alias()
    return exists().where(undo.c.corrects == cut.c.id, undo.c.kind == "undo")


def is_rejected(cut: FromClause) -> ColumnElement[bool]:
    """Whether a piece was rejected, and that not taken back."""
    reject = t.cuts.alias()
    return exists().where(reject.c.corrects == cut.c.id, reject.c.kind == "reject", ~is_undone(reject))


def _newest(cut_id: ColumnElement[str], *, out: bool) -> Any:
    """Number of the newest measure of a piece, of those that are out where asked."""
    measure = t.inspections.alias()
    newest = select(func.max(measure.c.number)).where(measure.c.cut_id == cut_id)
    return (newest.where(is_out(measure)) if out else newest).scalar_subquery()


def _last_of_pass(cut: FromClause) -> Any:
    """Place of the last piece that was cut together with this one: its own where it was cut alone."""
    of_pass = t.cuts.alias()
    last = select(func.max(of_pass.c.number)).where(of_pass.c.pass_id == cut.c.pass_id, is_no_undo(of_pass))
    return func.coalesce(last.correlate(cut).scalar_subquery(), cut.c.number)


def _newest_out() -> Select[Any]:
    """The newest measure out of tolerance of each piece that has one, with what was decided on it."""
    cut, measure = t.cuts, t.inspections
    good_cut, good = t.cuts.alias("good_cut"), t.inspections.alias("good")
    good_place = (
        select(func.max(good_cut.c.number))
        .join(good, good.c.cut_id == good_cut.c.id)
        .where(
            good_cut.c.run_id == cut.c.run_id,
            good_cut.c.number < cut.c.number,
            good.c.number == _newest(good_cut.c.id, out=False),
            or_(~is_out(good), is_out(good).is_(None)),
            ~is_undone(good_cut),
            or_(
                cut.c.load_id.is_(None),
                good_cut.c.load_id.is_distinct_from(cut.c.load_id),
                good_cut.c.bar_id == cut.c.bar_id,
            ),
        )
        .correlate(cut)
        .scalar_subquery()
    )
    joined = measure.join(cut, cut.c.id == measure.c.cut_id).outerjoin(
        decisions, decisions.c.inspection_id == measure.c.id
    )
    return (
        select(
            measure,
            good_place.label("good_place"),
            _last_of_pass(cut).label("last_place"),
            is_rejected(cut).label("rejected"),
            decisions.c.id.label("decision_id"),
            decisions.c.kind.label("decision_kind"),
            decisions.c.reason.label("decision_reason"),
            decisions.c.by.label("decision_by"),
            decisions.c.at.label("decision_at"),
        )
        .select_from(joined)
        .where(is_out(measure), measure.c.number == _newest(cut.c.id, out=True), ~is_undone(cut))
        .order_by(cut.c.number)
    )


def _between(piece: CutEntry, after: int, last: int) -> Select[Any]:
    """Good pieces of the run beside ``piece``, cut with the same band, after one place up to another.

    Left out are those that were measured, and those of a load before one of their own bar that was good.
    """
    cut, later, good = t.cuts, t.cuts.alias("later"), t.inspections.alias("later_good")
    cleared = exists().where(
        later.c.load_id == cut.c.load_id,
        later.c.bar_id == cut.c.bar_id,
        later.c.number > cut.c.number,
        later.c.number <= last,
        good.c.cut_id == later.c.id,
        good.c.number == _newest(later.c.id, out=False),
        or_(~is_out(good), is_out(good).is_(None)),
        ~is_undone(later),
    )
    return (
        select(cut)
        .where(
            cut.c.run_id == piece.run_id,
            cut.c.kind == "piece",
            cut.c.outcome != "scrapped",
            cut.c.number > after,
            cut.c.number <= last,
            cut.c.id != piece.id,
            cut.c.mounting_id.is_not_distinct_from(piece.mounting),
            ~is_undone(cut),
            ~is_rejected(cut),
            ~exists().where(decisions.c.cut_id == cut.c.id, decisions.c.kind == DecisionKind.ACCEPTED.value),
            ~exists().where(t.inspections.c.cut_id == cut.c.id),
            ~cleared,
        )
        .order_by(cut.c.number)
    )


def failed_place(run: ColumnElement[str]) -> Any:
    """Place of the newest piece of a run that was really out, or of the last cut with it in one pass: from
    there on the set-up is a new one.
    """
    cut, measure = t.cuts.alias(), t.inspections.alias()
    misread = exists().where(
        decisions.c.inspection_id == measure.c.id, decisions.c.kind == DecisionKind.MEASURED_AGAIN.value
    )
    return (
        select(func.max(_last_of_pass(cut)))
        .join(measure, measure.c.cut_id == cut.c.id)
        .where(cut.c.run_id == run, is_out(measure), ~misread)
        .scalar_subquery()
    )

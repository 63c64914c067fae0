"""Pieces that somebody must decide on, as the panel names them."""

from kerfsmith.shop.cut_log import CutEntry
from kerfsmith.shop.hold import FailedPiece
from kerfsmith.shop.inspection import Verdict
from kerfsmith.web.pages.at_saw.steps import Bench, clock, unit_of
from kerfsmith.web.pages.at_saw.view import PieceToDecide
from kerfsmith.web.words import say
from kerfsmith.workflow.run_sheet import RunSheet


class ToDecide:
    """Names the held and doubtful pieces of one run for one reader."""

    def __init__(self, bench: Bench, sheet: RunSheet) -> None:
        self.bench, self.unit = bench, unit_of(bench.reading.measure)
        at_saw = (*(one.at_saw for one in sheet.bars), *sheet.closed)
        self.labels = {one.bar.id: one.bar.label for one in at_saw}

    def held(self, failed: FailedPiece) -> PieceToDecide:
        """A piece that measured wrong."""
        one = failed.inspection
        by = f"{self.bench.dial(abs(one.measured_um - one.nominal_um))} {self.unit}"
        measured = say(
            "measured {measured} {unit}, {verdict} by {by}",
            measured=self.bench.dial(one.measured_um),
            unit=self.unit,
            verdict=say(one.verdict),
            by=by,
        )
        return self._named(failed.piece, measured, one.verdict is Verdict.SHORT)

    def doubtful(self, piece: CutEntry) -> PieceToDecide:
        """A piece cut before one that measured wrong."""
        return self._named(piece, say("not measured"), False)

    def _named(self, piece: CutEntry, measured: str, is_short: bool) -> PieceToDecide:
        label = self.labels.get(piece.bar_id, "")
        named = {
            "mark": piece.mark,
            "length": f"{self.bench.dial(piece.length_um)} {self.unit}",
            "time": clock(piece.at),
        }
        words = (
            say(
                "{mark}, {length}, bar {label}, entry {number}, {time}",
                label=label,
                number=piece.number,
                **named,
            )
            if label
            else say("{mark}, {length}, {time}", **named)
        )
        return PieceToDecide(piece.id, piece.line_id or "", piece.length_um, words, measured, is_short)

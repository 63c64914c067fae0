"""Finishing a run: its bars are closed, and what wasn't loaded is free for others."""

from dataclasses import dataclass
from datetime import datetime

from kerfsmith.shop.person import Person
from kerfsmith.shop.run import Run, RunLine
from kerfsmith.units.told import joined, sentence
from kerfsmith.workflow.acting import act
from kerfsmith.workflow.at_work import run_at_work
from kerfsmith.workflow.event import EventMark
from kerfsmith.workflow.floor_ports import Floor
from kerfsmith.workflow.permissions import Verb
from kerfsmith.workflow.ports import Change, Records
from kerfsmith.workflow.refusal import Refusal, Refused


@dataclass(frozen=True, slots=True)
class FinishRun:
    """The run is over; with ``short_why`` even though pieces are missing."""

    run_id: str
    short_why: str = ""


@dataclass(frozen=True, slots=True)
class RunFinished:
    """The run with its lines as they ended."""

    run: Run
    lines: tuple[RunLine, ...]


def finish_run(
    records: Records, told: FinishRun, *, by: Person, at: datetime, event: EventMark | None = None
) -> RunFinished | Refusal:
    """End a run. Refused: a bar of it isn't closed, a piece is held or doubtful, or pieces are missing and no
    reason is given.
    """

    def body(change: Change) -> RunFinished:
        floor = change.floor
        run = run_at_work(floor, told.run_id)
        open_bars = [one.bar.label for one in floor.bars(run.id) if not one.bar.state.is_closed]
        if open_bars:
            raise Refused(
                "bars-open",
                sentence("not closed: {open_bars}", open_bars=", ".join(open_bars)),
                "Put away or scrap what is left of them",
            )
        _refuse_undecided(floor, run)
        lines = floor.lines(run.id)
        missing = [
            sentence("{missing} of {mark}", missing=line.missing, mark=line.mark)
            for line in lines
            if line.missing > 0
        ]
        if missing and not told.short_why.strip():
            raise Refused(
                "pieces-missing",
                sentence("still missing: {missing}", missing=joined(", ", missing)),
                "Cut them, or say why not",
            )
        floor.finish_run(run.id, by=by.name, at=at)
        finished = floor.run(run.id)
        assert finished is not None, "finished just now"
        return RunFinished(finished, lines)

    return act(
        records,
        Verb.FINISH_RUN,
        body,
        answer_as=RunFinished,
        told=told,
        subject=told.run_id,
        by=by,
        at=at,
        event=event,
    )


def _refuse_undecided(floor: Floor, run: Run) -> None:
    """Refuse to leave pieces behind of which nobody knows whether they are good."""
    failed = floor.failed((run.id,))
    held = [one.piece.mark for one in failed if one.is_held]
    if held:
        raise Refused(
            "pieces-held",
            sentence("measured wrong and held: {held}", held=", ".join(held)),
            "Scrap them, cut or measure them again, or let a lead accept them",
        )
    doubtful = floor.doubtful((run.id,)) if failed else ()
    if doubtful:
        raise Refused(
            "pieces-doubtful",
            sentence("{count} pieces cut before one that measured wrong are doubtful", count=len(doubtful)),
            "Measure them from the last backwards, scrap them, or let a lead accept them",
        )

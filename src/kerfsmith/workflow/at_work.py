"""What a verb at the saw speaks of: run and bar at work, or the refusal because there is no such thing."""

from datetime import datetime

from kerfsmith.shop.cut_log import CutEntry
from kerfsmith.shop.load import Load
from kerfsmith.shop.loaded_bar import BarState
from kerfsmith.shop.person import Person
from kerfsmith.shop.run import Run, RunState
from kerfsmith.units.told import sentence
from kerfsmith.workflow.floor_ports import BarAtSaw, Floor
from kerfsmith.workflow.refusal import Refused


def run_at_work(floor: Floor, run_id: str) -> Run:
    """The run, not finished, with its saw held for this change."""
    floor.hold_saw_of_run(run_id)
    run = floor.run(run_id)
    if run is None:
        raise Refused(
            "unknown-run",
            sentence("there is no run {run_id}", run_id=run_id),
            "Choose a run that is released",
        )
    if run.state is RunState.FINISHED:
        raise Refused(
            "run-finished",
            sentence("run {run_id} is finished", run_id=run_id),
            "Release the rest as a new run",
        )
    return run


def bar_at_work(floor: Floor, bar_id: str) -> tuple[Run, BarAtSaw]:
    """The loaded bar, not closed, with its run; its saw is held for this change."""
    floor.hold_saw_of_bar(bar_id)
    at_saw = floor.bar(bar_id)
    run = floor.run(at_saw.bar.run_id) if at_saw is not None else None
    if at_saw is None or run is None:
        raise Refused(
            "unknown-bar", sentence("no bar was loaded as {bar_id}", bar_id=bar_id), "Load the bar first"
        )
    if at_saw.bar.state.is_closed:
        raise Refused(
            "bar-closed",
            sentence("bar {label} is {state}", label=at_saw.bar.label, state=at_saw.bar.state),
            "Look at its cut log before going on",
        )
    return run, at_saw


def bar_in_saw(floor: Floor, bar_id: str) -> tuple[Run, BarAtSaw]:
    """The bar that is being cut, with its run."""
    run, at_saw = bar_at_work(floor, bar_id)
    if at_saw.bar.state is not BarState.LOADED:
        raise Refused(
            "bar-finished",
            sentence("bar {label} is cut out, its remnant still in hand", label=at_saw.bar.label),
            "Put the remnant away, then load the next bar",
        )
    return run, at_saw


def bar_in_hand(floor: Floor, bar_id: str) -> tuple[Run, BarAtSaw]:
    """The bar that is cut out and whose remnant is still in hand, with its run."""
    run, at_saw = bar_at_work(floor, bar_id)
    if at_saw.bar.state is not BarState.FINISHED:
        raise Refused(
            "bar-not-finished",
            sentence("bar {label} is still being cut", label=at_saw.bar.label),
            "Finish it first",
        )
    return run, at_saw


def keep_bar(
    floor: Floor, at_saw: BarAtSaw, state: BarState, left_um: int | None = None, *, by: Person, at: datetime
) -> BarAtSaw:
    """Keep a bar's state, and with ``left_um`` the length it has by what is cut from it and what is left."""
    bar = at_saw.bar
    floor.set_bar(
        bar.id,
        state=state,
        length_um=bar.length_um if left_um is None else bar.parts.total_um + left_um,
        left_um=bar.left_um if left_um is None else left_um,
        by=by.name,
        at=at,
    )
    kept = floor.bar(bar.id)
    assert kept is not None, "kept just now"
    return kept


def load_in_saw(floor: Floor, load_id: str) -> tuple[Run, Load, tuple[BarAtSaw, ...]]:
    """The load whose bars are being cut, with its run and those bars; its saw is held for this change."""
    floor.hold_saw_of_load(load_id)
    load = floor.load_named(load_id)
    run = floor.run(load.run_id) if load is not None else None
    bars = tuple(one for one in floor.bars_of_load(load_id) if one.bar.state is BarState.LOADED)
    if load is None or run is None:
        raise Refused(
            "unknown-load", sentence("there is no load {load}", load=load_id), "Load its bars first"
        )
    if not bars:
        raise Refused("load-done", "no bar of this load is in the saw any more", "Load the next bars")
    return run, load, bars


def refuse_in_load(at_saw: BarAtSaw) -> None:
    """Refuse to do with one bar of a load what is done with all of it."""
    if at_saw.bar.load_id:
        raise Refused(
            "in-load",
            sentence("bar {label} lies in a load with others", label=at_saw.bar.label),
            "Tell it of the whole load, or take this bar out first",
        )


def refuse_odd_squareness(out_of_square_um: int | None) -> None:
    """Refuse a lean that no face can have: below zero, or of a metre and more."""
    if out_of_square_um is not None and not 0 <= out_of_square_um < 1_000_000:
        raise Refused("no-squareness", "a face leans by nothing or more", "Key how far it leans, or nothing")


def refuse_if_out_of_step(at_saw: BarAtSaw, number: int, entries: tuple[CutEntry, ...]) -> None:
    """Refuse an entry that isn't the next of its bar's log: someone else wrote there in the meantime."""
    due = at_saw.bar.entries + 1
    if number < due:
        there = next(entry for entry in entries if entry.number == number)
        raise Refused(
            "entry-taken",
            sentence(
                "entry {number} of bar {label} was already recorded by {by} ({what})",
                number=number,
                label=at_saw.bar.label,
                by=there.by,
                what=sentence("{kind} {mark}", kind=there.kind, mark=there.mark)
                if there.mark
                else there.kind,
            ),
            "Not counted again; if another cut was made, record it after looking at the bar",
        )
    if number > due:
        raise Refused(
            "entries-missing",
            sentence(
                "bar {label} has {due} entries, entry {number} can't be next",
                label=at_saw.bar.label,
                due=due - 1,
                number=number,
            ),
            "Look at the bar's log and record what is missing first",
        )

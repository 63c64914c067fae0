"""Loading a bar, alone or into a load: confirmed by the label that stands on it, or refused with why."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from kerfsmith.planning.plan import PlannedBar
from kerfsmith.shop.load import Load
from kerfsmith.shop.loaded_bar import BarState, LoadedBar, Parts
from kerfsmith.shop.person import Person
from kerfsmith.shop.rack import Bar, BarKind
from kerfsmith.shop.run import Run
from kerfsmith.units.length import um_to_mm
from kerfsmith.units.told import Told, either, quantity, sentence
from kerfsmith.workflow.acting import act
from kerfsmith.workflow.at_work import run_at_work
from kerfsmith.workflow.event import EventMark
from kerfsmith.workflow.floor_ports import BarAtSaw, Floor, PlannedAt, RackEntry
from kerfsmith.workflow.permissions import Verb
from kerfsmith.workflow.ports import Change, Records
from kerfsmith.workflow.refusal import Refusal, Refused


@dataclass(frozen=True, slots=True)
class LoadBar:
    """The bar labelled ``label`` goes into the saw and is known as ``bar_id`` from now on.

    ``measured_um`` is its length where somebody measured it, else the label's length holds. ``load_id`` is
    the load that it is laid into, to be cut with others; the first bar laid into it begins it. "": it is cut
    alone.
    """

    bar_id: str
    run_id: str
    label: str
    measured_um: int | None = None
    load_id: str = ""


def load_bar(
    records: Records, told: LoadBar, *, by: Person, at: datetime, event: EventMark | None = None
) -> BarAtSaw | Refusal:
    """Take a bar from the rack for a run.

    Refused: an unknown or used label; another grade, section, heat or length than any bar of the run that is
    still to be loaded, or than the load it is laid into; a bar that is promised to another run; a load that
    is full, was cut already, or whose run was planned anew since.
    """

    def body(change: Change) -> BarAtSaw:
        floor = change.floor
        run = run_at_work(floor, told.run_id)
        if floor.bar(told.bar_id) is not None:
            raise Refused("id-taken", sentence("a bar was already loaded as {bar_id}", bar_id=told.bar_id))
        floor.hold_rack(run.grade, run.section.key)
        entry = _entry(floor, told.label.strip())
        _refuse_wrong_kind(entry.bar, run)
        planned = floor.planned(run.id)
        if told.load_id:
            at_plan = _of_load(floor, told, run, entry, planned, by=by, at=at)
        else:
            at_plan = _planned_for(entry, sorted(planned, key=lambda one: one.planned.at_once > 1))
        at_saw = _at_saw(told, run, entry.bar, at_plan, by=by, at=at)
        floor.take_from_rack(entry.bar.id)
        floor.load(at_saw)
        return at_saw

    return act(
        records,
        Verb.LOAD_BAR,
        body,
        answer_as=BarAtSaw,
        told=told,
        subject=told.run_id,
        by=by,
        at=at,
        event=event,
    )


def _entry(floor: Floor, label: str) -> RackEntry:
    entry = floor.rack_entry(label)
    if entry is None or entry.bar.kind is BarKind.TO_BUY:
        raise Refused(
            "unknown-label",
            sentence("no bar on the rack is labelled {label}", label=f"{label!r}"),
            "Key the label again, or stock the bar",
        )
    if entry.count == 0:
        raise Refused(
            "used-label",
            sentence("all bars labelled {label} have been used", label=label),
            "Look which bar this is",
        )
    return entry


def _refuse_wrong_kind(bar: Bar, run: Run) -> None:
    if bar.grade != run.grade:
        raise Refused(
            "wrong-grade",
            sentence(
                "bar {bar} is {grade}, the run needs {wanted}",
                bar=bar.id,
                grade=bar.grade,
                wanted=run.grade,
            ),
            "Put it back on the rack",
        )
    if bar.section.key != run.section.key:
        raise Refused(
            "wrong-section",
            sentence(
                "bar {bar} is {section}, the run needs {wanted}",
                bar=bar.id,
                section=bar.section.name,
                wanted=run.section.name,
            ),
            "Put it back on the rack",
        )


def _of_load(
    floor: Floor,
    told: LoadBar,
    run: Run,
    entry: RackEntry,
    planned: Sequence[PlannedAt],
    *,
    by: Person,
    at: datetime,
) -> PlannedAt:
    """The planned bar whose load this one is laid into; the load is begun with its first bar."""
    load = floor.load_named(told.load_id)
    if load is None:
        at_once = [one for one in planned if one.planned.at_once > 1 and one.waiting > 0]
        if not at_once:
            raise Refused("cut-alone", "no bars that this run waits for are cut at once", "Load it alone")
        at_plan = _planned_for(entry, at_once)
        begun = Load(
            told.load_id, run.id, run.revision, at_plan.position, at_plan.planned.at_once, at, by.name
        )
        floor.begin_load(begun)
        return at_plan
    _refuse_odd_load(load, run, floor.bars_of_load(load.id), entry.bar)
    return _planned_for(entry, [one for one in planned if one.position == load.position])


def _refuse_odd_load(load: Load, run: Run, bars: Sequence[BarAtSaw], bar: Bar) -> None:
    if load.run_id != run.id:
        raise Refused("other-run", "this load is of another run", "Lay the bar into a load of this run")
    if load.revision != run.revision:
        raise Refused(
            "load-pattern",
            "the run was planned anew since this load was begun: bars that wait are cut otherwise",
            "Cut the load with the bars it has",
        )
    if any(one.bar.state is not BarState.LOADED or one.bar.parts != Parts() for one in bars):
        raise Refused("load-cut", "this load has cuts already", "Lay the bar into the next load")
    if len(bars) >= load.at_once:
        raise Refused(
            "load-full",
            sentence("all {count} bars of this load are there", count=load.at_once),
            "Lay the bar into the next load",
        )
    other = next((one.bar for one in bars), None)
    if other is not None and other.labelled_um != bar.length_um:
        raise Refused(
            "load-length",
            sentence(
                "bar {label} is {length} long, those of the load are {others}",
                label=bar.id,
                length=quantity(um_to_mm(bar.length_um), "mm"),
                others=quantity(um_to_mm(other.labelled_um), "mm"),
            ),
            "Only bars of one length are cut at once",
        )
    if other is not None and other.heat != bar.heat:
        raise Refused(
            "load-heat",
            sentence(
                "bar {label} is of heat {heat}, those of the load of heat {others}",
                label=bar.id,
                heat=bar.heat or "unknown",
                others=other.heat or "unknown",
            ),
            "Only bars of one heat are cut at once, so that no piece's heat is in doubt",
        )


def _planned_for(entry: RackEntry, planned: Sequence[PlannedAt]) -> PlannedAt:
    """The planned bar that this one is loaded for: its own, an equal one, or one still to be bought."""
    bar = entry.bar
    waiting = [one for one in planned if one.waiting > 0]
    if not waiting:
        raise Refused(
            "all-loaded", "all bars of this run have been loaded", "Replan the run if pieces are missing"
        )
    own = [one for one in waiting if one.planned.bar_id == bar.id]
    if own:
        return own[0]
    as_long = [one for one in waiting if one.planned.length_um == bar.length_um]
    if not as_long:
        lengths = sorted({um_to_mm(one.planned.length_um) for one in waiting})
        raise Refused(
            "wrong-length",
            sentence(
                "bar {bar} is {length} long, waited for is {lengths}",
                bar=bar.id,
                length=quantity(um_to_mm(bar.length_um), "mm"),
                lengths=either(quantity(length, "mm") for length in lengths),
            ),
            sentence("Load {bars}, or replan the run", bars=_names(waiting)),
        )
    equal = [one for one in as_long if one.planned.kind is BarKind.TO_BUY or one.planned.heat == bar.heat]
    if not equal:
        raise Refused(
            "wrong-heat",
            sentence(
                "bar {bar} is of heat {heat}, waited for is heat {heats}",
                bar=bar.id,
                heat=bar.heat or Told("unknown"),
                heats=either(sorted({one.planned.heat or Told("unknown") for one in as_long})),
            ),
            sentence("Load {bars}, or replan the run", bars=_names(as_long)),
        )
    if entry.count - entry.promised < 1:
        raise Refused(
            "promised",
            sentence("bar {bar} is promised to another run", bar=bar.id),
            sentence("Load {bars}", bars=_names(waiting)),
        )
    return equal[0]


def _names(waiting: Sequence[PlannedAt]) -> Told:
    return either(dict.fromkeys(one.planned.bar_id for one in waiting))


def _at_saw(told: LoadBar, run: Run, bar: Bar, at_plan: PlannedAt, *, by: Person, at: datetime) -> BarAtSaw:
    planned = at_plan.planned
    length_um = bar.length_um if told.measured_um is None else told.measured_um
    _refuse_too_short(bar, planned, length_um)
    loaded = LoadedBar(
        id=told.bar_id,
        run_id=run.id,
        saw=run.saw,
        revision=run.revision,
        position=at_plan.position,
        label=bar.id,
        heat=bar.heat,
        labelled_um=bar.length_um,
        length_um=length_um,
        parts=Parts(),
        left_um=length_um,
        state=BarState.LOADED,
        entries=0,
        loaded_at=at,
        loaded_by=by.name,
        copy=at_plan.free_copy,
        load_id=told.load_id,
    )
    pattern = planned.laid((at_plan.free_copy - 1) % planned.at_once)
    return BarAtSaw(loaded, planned.facing_um, planned.facing_kerf_um, pattern)


def _refuse_too_short(bar: Bar, planned: PlannedBar, length_um: int) -> None:
    needed_um = planned.length_um - planned.remnant_um
    if length_um < needed_um:
        raise Refused(
            "bar-too-short",
            sentence(
                "bar {bar} measures {length}, its pieces need {needed}",
                bar=bar.id,
                length=quantity(um_to_mm(length_um), "mm"),
                needed=quantity(um_to_mm(needed_um), "mm"),
            ),
            "Load another, and correct this one's length on the rack",
        )

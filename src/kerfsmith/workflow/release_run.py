"""Releasing a run: one group of a plan goes to its saw."""

from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime

from kerfsmith.catalog.saw import SawSheet
from kerfsmith.planning.plan import PlanGroup, PlannedBar
from kerfsmith.shop.order import Material, OrderLine
from kerfsmith.shop.person import Person
from kerfsmith.shop.rack import BarKind
from kerfsmith.shop.run import Run, RunLine, RunState
from kerfsmith.units.length import mm_to_um
from kerfsmith.units.told import joined, sentence
from kerfsmith.workflow.acting import act
from kerfsmith.workflow.bar_progress import kerf_alone_um
from kerfsmith.workflow.event import EventMark
from kerfsmith.workflow.floor_ports import Floor
from kerfsmith.workflow.permissions import Verb
from kerfsmith.workflow.ports import Change, Records
from kerfsmith.workflow.refusal import Refusal, Refused


@dataclass(frozen=True, slots=True)
class ReleaseRun:
    """Which group of which plan becomes the run ``run_id``."""

    run_id: str
    plan_id: str
    group_id: str


def release_run(
    records: Records,
    told: ReleaseRun,
    *,
    saw: SawSheet,
    by: Person,
    at: datetime,
    event: EventMark | None = None,
) -> Run | Refusal:
    """Release a plan's group to its saw (sheet ``saw``); from now on its bars are promised to the run.

    Refused: a group that can't be cut, is released already, whose bars have left the rack since, or for
    pieces that may no longer be cut from it or that other runs have.
    """

    def body(change: Change) -> Run:
        floor = change.floor
        group = floor.plan_group(told.plan_id, told.group_id)
        if group is None:
            raise Refused(
                "unknown-group",
                sentence(
                    "plan {plan_id} has no group {group_id}", plan_id=told.plan_id, group_id=told.group_id
                ),
            )
        if not group.bars or group.saw != saw.id:
            raise Refused(
                "not-cuttable",
                sentence(
                    "{grade} {section} has no bars on saw {saw}",
                    grade=group.grade,
                    section=group.section.name,
                    saw=saw.name,
                ),
            )
        floor.hold_saw(saw.id)
        floor.enter_saw(saw.id, saw.name)
        former = floor.run_of_group(told.plan_id, told.group_id)
        if former is not None:
            raise Refused(
                "released", sentence("this group is already released as run {former}", former=former.id)
            )
        floor.hold_rack(group.grade, group.section.key)
        _refuse_short_rack(floor, group.bars)
        run = _run(told, group, saw, by=by, at=at)
        floor.add_run(run, _lines(floor, run, group), group.bars)
        return run

    return act(
        records,
        Verb.RELEASE_RUN,
        body,
        answer_as=Run,
        told=told,
        subject=told.run_id,
        by=by,
        at=at,
        event=event,
    )


def _refuse_short_rack(floor: Floor, bars: tuple[PlannedBar, ...]) -> None:
    wanted = Counter[str]()
    for bar in bars:
        if bar.kind is not BarKind.TO_BUY:
            wanted[bar.bar_id] += bar.times
    short = []
    for label, times in wanted.items():
        entry = floor.rack_entry(label)
        free = entry.count - entry.promised if entry is not None else 0
        if free < times:
            short.append(
                sentence("{label}: {times} wanted, {free} free", label=label, times=times, free=max(0, free))
            )
    if short:
        raise Refused(
            "rack-short", sentence("the rack has changed: {short}", short=joined("; ", short)), "Plan again"
        )


def _run(told: ReleaseRun, group: PlanGroup, saw: SawSheet, *, by: Person, at: datetime) -> Run:
    return Run(
        id=told.run_id,
        plan_id=told.plan_id,
        group_id=told.group_id,
        saw=saw.id,
        saw_name=saw.name,
        grade=group.grade,
        section=group.section,
        area_cm2=group.section.shape.outline().area_mm2 / 100.0,
        kerf_um=group.settings[0].kerf_um if group.settings else group.bars[0].facing_kerf_um,
        grip_um=mm_to_um(saw.least_grip_mm),
        state=RunState.RELEASED,
        revision=0,
        released_at=at,
        released_by=by.name,
    )


def _lines(floor: Floor, run: Run, group: PlanGroup) -> tuple[RunLine, ...]:
    wanted = Counter[str]()
    for bar in group.bars:
        for piece, count in bar.each_piece():
            wanted[piece.line_id] += count
    for missing in group.unplanned:
        wanted[missing.line_id] += missing.count
    known = floor.order_lines(tuple(wanted))
    gone = [line_id for line_id in wanted if line_id not in known]
    if gone:
        raise Refused(
            "order-gone", sentence("no longer on the book: {gone}", gone=", ".join(gone)), "Plan again"
        )
    material = Material(run.grade, run.section)
    barred = [line.mark for _, line in known.values() if material not in line.materials]
    if barred:
        why = sentence(
            "the order doesn't allow {material} for {barred}",
            material=material.name,
            barred=", ".join(barred),
        )
        raise Refused("not-allowed", why, "Plan again")
    _refuse_cut_twice(floor.pieces_in_runs(), [line for _, line in known.values()], wanted)
    return tuple(_line(run, material, *known[line_id], count) for line_id, count in wanted.items())


def _refuse_cut_twice(
    taken: Mapping[str, int], lines: Iterable[OrderLine], wanted: Mapping[str, int]
) -> None:
    """A plan made before another was released may want what that one's runs have."""
    twice = [
        sentence(
            "{mark}: {wanted} in this group, {left} of {ordered} still to be given out",
            mark=line.mark,
            wanted=wanted[line.id],
            left=max(0, line.quantity - taken.get(line.id, 0)),
            ordered=line.quantity,
        )
        for line in lines
        if wanted[line.id] > line.quantity - taken.get(line.id, 0)
    ]
    if twice:
        raise Refused(
            "in-runs",
            sentence("pieces are in other runs already: {twice}", twice=joined("; ", twice)),
            "Plan again",
        )


def _line(run: Run, material: Material, order_id: str, line: OrderLine, wanted: int) -> RunLine:
    return RunLine(
        run_id=run.id,
        line_id=line.id,
        mark=line.mark,
        length_um=line.length_um,
        kerf_um=kerf_alone_um(run.kerf_um, line.angle_a_deg, line.angle_b_deg),
        wanted=wanted,
        angle_a_deg=line.angle_a_deg,
        angle_b_deg=line.angle_b_deg,
        plus_um=line.plus_um,
        minus_um=line.minus_um,
        due=line.due,
        order_id=order_id,
        order=line.order,
        customer=line.customer,
        notes=line.notes,
        lie=line.lie,
        ordered=line.material.name if line.material != material else "",
    )

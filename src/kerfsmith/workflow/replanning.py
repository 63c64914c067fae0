"""What is left of a run to be planned: its lines as changed, less what is cut or lies on bars in the saw."""

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from kerfsmith.planning.make_plan import GroupTask
from kerfsmith.planning.plan import PlannedPiece
from kerfsmith.planning.work import Work
from kerfsmith.shop.cut_log import CutEntry
from kerfsmith.shop.order import OrderLine
from kerfsmith.shop.rack import Bar
from kerfsmith.shop.run import Run, RunLine
from kerfsmith.units.told import sentence
from kerfsmith.workflow.bar_progress import alone, done_of_pattern, room_um, still_to_cut, that_fit
from kerfsmith.workflow.floor_ports import BarAtSaw, FloorReading
from kerfsmith.workflow.load_progress import LogOfBar, cut_together, load_to_cut
from kerfsmith.workflow.refusal import Refused


@dataclass(frozen=True, slots=True)
class LineChange:
    """A line's new quantity or length, None where it stays. The length holds for pieces not cut yet."""

    line_id: str
    quantity: int | None = None
    length_um: int | None = None


@dataclass(frozen=True, slots=True)
class Rest:
    """The lines as changed, new patterns of bars in the saw, and what is to be planned (None: nothing)."""

    lines: tuple[RunLine, ...]
    patterns: tuple[tuple[str, tuple[PlannedPiece, ...]], ...]
    changed_labels: tuple[str, ...]
    task: GroupTask | None


def rest_of_run(floor: FloorReading, run: Run, changes: Sequence[LineChange]) -> Rest:
    """Work out the rest of ``run``. Raises Refused for a change that can't be made."""
    lines = _changed(floor.lines(run.id), changes)
    by_id = {line.line_id: line for line in lines}
    needed = Counter({line.line_id: line.missing for line in lines})
    patterns, labels = [], []
    for bars in cut_together(floor.bars(run.id)):
        logs = [(one, floor.entries(one.bar.id)) for one in bars]
        for at_saw, pattern in zip(bars, _patterns(run, logs, by_id, needed), strict=True):
            if pattern != at_saw.pattern:
                patterns.append((at_saw.bar.id, pattern))
                labels.append(at_saw.bar.label)
    return Rest(lines, tuple(patterns), tuple(labels), _task(floor, run, lines, needed))


def _changed(lines: Sequence[RunLine], changes: Sequence[LineChange]) -> tuple[RunLine, ...]:
    by_id = {line.line_id: line for line in lines}
    for change in changes:
        line = by_id.get(change.line_id)
        if line is None:
            raise Refused("unknown-line", sentence("the run has no line {line_id}", line_id=change.line_id))
        quantity = line.wanted if change.quantity is None else change.quantity
        length_um = line.length_um if change.length_um is None else change.length_um
        if quantity < line.good:
            raise Refused(
                "already-cut",
                sentence(
                    "{good} of {mark} are cut already, {quantity} would be wanted",
                    good=line.good,
                    mark=line.mark,
                    quantity=quantity,
                ),
                "Reject pieces that are no good, or want at least so many",
            )
        if length_um <= 0:
            raise Refused("no-length", sentence("{mark} must be longer than nothing", mark=line.mark))
        by_id[line.line_id] = replace(line, wanted=quantity, length_um=length_um)
    return tuple(by_id[line.line_id] for line in lines)


def _patterns(
    run: Run, logs: Sequence[LogOfBar], by_id: dict[str, RunLine], needed: Counter[str]
) -> Iterable[tuple[PlannedPiece, ...]]:
    """What is to be cut from bars that are cut together; takes it out of ``needed``."""
    if logs[0][0].bar.load_id:
        return _patterns_of_load(run, logs, by_id, needed)
    return (_pattern(run, *logs[0], by_id, needed),)


def _pattern(
    run: Run,
    at_saw: BarAtSaw,
    entries: Sequence[CutEntry],
    by_id: dict[str, RunLine],
    needed: Counter[str],
) -> tuple[PlannedPiece, ...]:
    """What is to be cut from a bar in the saw now; takes it out of ``needed``."""
    remaining = still_to_cut(at_saw, entries)
    wanted: list[PlannedPiece] = []
    for piece in remaining:
        line = by_id[piece.line_id]
        if needed[piece.line_id] - sum(one.line_id == piece.line_id for one in wanted) > 0:
            wanted.append(piece if piece.length_um == line.length_um else alone(line))
    if tuple(wanted) != remaining:
        # With other neighbours mitred pieces share no cut for certain.
        wanted = [alone(by_id[piece.line_id]) if piece.is_mitred else piece for piece in wanted]
    fitting = that_fit(wanted, room_um(at_saw, entries, run.grip_um))
    needed.subtract(piece.line_id for piece in fitting)
    return (*done_of_pattern(at_saw, entries), *fitting)


def _patterns_of_load(
    run: Run, logs: Sequence[LogOfBar], by_id: dict[str, RunLine], needed: Counter[str]
) -> Iterable[tuple[PlannedPiece, ...]]:
    """The same for each bar of a load, so that all of them still give one length at every place.

    A place that fewer than half of the bars are needed for is left out, and so are pieces that one bar alone
    would give: they are planned anew. What a pass gives beyond what is needed is surplus.
    """
    kept: dict[str, list[PlannedPiece]] = {at_saw.bar.id: [] for at_saw, _ in logs}
    rooms = {at_saw.bar.id: room_um(at_saw, entries, run.grip_um) for at_saw, entries in logs}
    for one in load_to_cut(logs).passes:
        pieces = {
            of.bar_id: of.piece
            if of.piece.length_um == (line := by_id[of.piece.line_id]).length_um
            else alone(line)
            for of in one.pieces
        }
        wanted = Counter(piece.line_id for piece in pieces.values())
        served = sum(min(count, max(0, needed[line_id])) for line_id, count in wanted.items())
        fits = all(that_fit([piece], rooms[bar_id]) for bar_id, piece in pieces.items())
        if 2 * served < len(pieces) or not fits or len({piece.dial_um for piece in pieces.values()}) > 1:
            continue
        needed.subtract(wanted)
        for bar_id, piece in pieces.items():
            kept[bar_id].append(piece)
            rooms[bar_id] = max(0, rooms[bar_id] - piece.taken_um)
    return [(*done_of_pattern(at_saw, entries), *kept[at_saw.bar.id]) for at_saw, entries in logs]


def _task(floor: FloorReading, run: Run, lines: Sequence[RunLine], needed: Counter[str]) -> GroupTask | None:
    wanted = tuple(
        OrderLine(
            id=line.line_id,
            mark=line.mark,
            grade=run.grade,
            section=run.section,
            length_um=line.length_um,
            quantity=needed[line.line_id],
            plus_um=line.plus_um,
            minus_um=line.minus_um,
            due=line.due,
            angle_a_deg=line.angle_a_deg,
            angle_b_deg=line.angle_b_deg,
            notes=line.notes,
            order=line.order,
            customer=line.customer,
            lie=line.lie,
        )
        for line in lines
        if needed[line.line_id] > 0
    )
    if not wanted:
        return None
    return GroupTask(Work(run.grade, run.section, wanted), _free_bars(floor, run))


def _free_bars(floor: FloorReading, run: Run) -> tuple[Bar, ...]:
    """Bars of the run's kind that no other run is promised."""
    own = Counter[str]()
    for one in floor.planned(run.id):
        own[one.planned.bar_id] += one.waiting
    free = []
    for entry in floor.rack_entries(run.grade, run.section.key):
        count = entry.count - entry.promised + own[entry.bar.id]
        if count > 0:
            free.append(replace(entry.bar, count=count, row=None))
    return tuple(free)

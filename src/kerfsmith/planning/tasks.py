"""What there is to plan: groups of work with the bars for each, and groups joined by substitutes."""

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from kerfsmith.errors import InvalidValue
from kerfsmith.planning.plan import PlanGroup
from kerfsmith.planning.work import Work, group_work
from kerfsmith.shop.order import Material, OrderLine
from kerfsmith.shop.rack import Bar, Rack


@dataclass(frozen=True, slots=True)
class GroupTask:
    """One group to be planned, with the bars on the rack that are of its grade and section."""

    work: Work
    bars: tuple[Bar, ...]

    @property
    def works(self) -> tuple[Work, ...]:
        """The work of it."""
        return (self.work,)


@dataclass(frozen=True, slots=True)
class Source:
    """A grade and section that pieces may be cut from, with the bars of it on the rack."""

    material: Material
    bars: tuple[Bar, ...]


@dataclass(frozen=True, slots=True)
class JoinedTask:
    """Groups between which pieces may move because lines may be cut from either.

    ``sources`` are all grades and sections that any of their lines may be cut from. Raises InvalidValue for
    no group at all.
    """

    tasks: tuple[GroupTask, ...]
    sources: tuple[Source, ...]

    def __post_init__(self) -> None:
        if not self.tasks:
            raise InvalidValue("joined groups are at least one")

    @property
    def works(self) -> tuple[Work, ...]:
        """The work of each group as it is ordered."""
        return tuple(task.work for task in self.tasks)


Task = GroupTask | JoinedTask


def tasks_of(lines: Iterable[OrderLine], rack: Rack) -> tuple[Task, ...]:
    """The groups to be planned, in the order in which each is first wanted; those joined by a substitute as
    one task."""
    works = group_work(lines)
    tasks: list[Task] = []
    for joined in _joined(works):
        group_tasks = tuple(
            GroupTask(work, rack.holding(work.grade, work.section)) for work in works if work.id in joined
        )
        materials = {one.key: one for task in group_tasks for one in may_come_from(task.work)}
        if len(materials) == 1:
            tasks += group_tasks
            continue
        sources = tuple(Source(one, rack.holding(one.grade, one.section)) for one in materials.values())
        tasks.append(JoinedTask(group_tasks, sources))
    return tuple(tasks)


def task_of(group: PlanGroup, lines: Iterable[OrderLine], rack: Rack) -> GroupTask | None:
    """A planned group as it would be planned again: each line with the pieces that the group has of it.

    ``lines`` are those on the book now; None where none of the group's is among them.
    """
    counts = Counter[str]()
    for bar in group.bars:
        for piece, count in bar.each_piece():
            counts[piece.line_id] += count
    for missing in group.unplanned:
        counts[missing.line_id] += missing.count
    found = tuple(line.cut_from(group.material, counts[line.id]) for line in lines if counts[line.id])
    if not found:
        return None
    return GroupTask(Work(group.grade, group.section, found), rack.holding(group.grade, group.section))


def may_come_from(work: Work) -> tuple[Material, ...]:
    """All that any line of a group may be cut from, its own grade and section first."""
    found = {one.key: one for line in work.lines for one in line.materials}
    return tuple(found.values())


def joined_lines(lines: Sequence[OrderLine], line: OrderLine) -> list[OrderLine]:
    """The lines that are planned together with ``line``, itself among them."""
    joined = next(ids for ids in _joined(group_work(lines)) if line.material.key in ids)
    return [one for one in lines if one.material.key in joined]


def _joined(works: Sequence[Work]) -> list[frozenset[str]]:
    """Everything that groups may be cut from, put together where they share any of it; first wanted first."""
    found: list[frozenset[str]] = []
    for work in works:
        mine = frozenset(one.key for one in may_come_from(work))
        shared = [other for other in found if other & mine]
        if shared:
            place = found.index(shared[0])
            found = [other for other in found if other not in shared]
            found.insert(place, mine.union(*shared))
        else:
            found.append(mine)
    return found

"""A group that no one saw takes whole: the lines that one saw can take, and what keeps the others from it."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from kerfsmith.catalog.catalog import Catalog
from kerfsmith.catalog.material import Grade
from kerfsmith.planning.pick_saw import Trial, try_saws
from kerfsmith.planning.plan import Unplanned
from kerfsmith.planning.work import Work
from kerfsmith.shop.order import OrderLine
from kerfsmith.shop.rack import Bar
from kerfsmith.shop.rules import ShopRules
from kerfsmith.units.told import Told, joined, sentence


@dataclass(frozen=True, slots=True)
class Parted:
    """The part of a group that one saw takes, None where no line can be cut; why the others are left out."""

    part: Work | None
    left_out: tuple[Unplanned, ...]


def part_by_saw(work: Work, grade: Grade, catalog: Catalog, bars: Sequence[Bar], rules: ShopRules) -> Parted:
    """Lines are taken in, those with the same ends and lie together and most pieces first, as long as one saw
    takes all that are in.

    Each line left out tells why: what no saw can do for it, or which saw takes it apart from the others.
    """

    alone = replace(rules, most_at_once=1)

    def tried(lines: Sequence[OrderLine]) -> tuple[Trial, ...]:
        return try_saws(replace(work, lines=tuple(lines)), grade, catalog, bars, alone)

    taken: list[OrderLine] = []
    left_out: list[Unplanned] = []
    for lines in _alike(work.lines):
        if any(trial.fits for trial in tried([*taken, *lines])):
            taken += lines
        else:
            why = _why(tried(lines))
            left_out += [Unplanned(line.id, line.mark, line.quantity, why) for line in lines]
    kept = tuple(line for line in work.lines if line in taken)
    return Parted(replace(work, lines=kept) if kept else None, tuple(left_out))


def _alike(lines: Sequence[OrderLine]) -> list[list[OrderLine]]:
    """Lines with the same ends and lie, which a saw takes or refuses together; most pieces first."""
    kinds: dict[tuple[float, float, str], list[OrderLine]] = {}
    for line in lines:
        ends = sorted((abs(line.angle_a_deg), abs(line.angle_b_deg)))
        kinds.setdefault((ends[0], ends[1], line.lie if line.is_mitred else ""), []).append(line)
    return sorted(kinds.values(), key=lambda alike: -sum(line.quantity for line in alike))


def _why(trials: Sequence[Trial]) -> Told:
    if not trials:
        return Told("the shop has no saw")
    if trials[0].fits:
        saw = trials[0].saw.name
        return sentence(
            "no saw takes all lines of this group; {saw} takes this one: plan it on its own", saw=saw
        )
    nearest = min(trials, key=lambda trial: len(trial.misfits))
    return joined("; ", (misfit.text for misfit in nearest.misfits))

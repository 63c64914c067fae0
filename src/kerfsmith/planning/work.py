"""Work: the order lines of one grade and section, which one run at one saw can take together."""

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from kerfsmith.catalog.section import Section
from kerfsmith.errors import InvalidValue
from kerfsmith.shop.order import OrderLine


@dataclass(frozen=True, slots=True)
class Work:
    """Lines of one grade and one section. Raises InvalidValue when they aren't."""

    grade: str
    section: Section
    lines: tuple[OrderLine, ...]

    def __post_init__(self) -> None:
        if not self.lines:
            raise InvalidValue("work has at least one line")
        if any(line.grade != self.grade or line.section != self.section for line in self.lines):
            raise InvalidValue("the lines of one group share grade and section")

    @property
    def id(self) -> str:
        """Key of the group: grade and section."""
        return f"{self.grade}|{self.section.key}"

    @property
    def pieces(self) -> int:
        """Pieces wanted."""
        return sum(line.quantity for line in self.lines)

    @property
    def angles_deg(self) -> tuple[float, ...]:
        """Head angles wanted, the square cut first (the facing cut is square)."""
        wanted = {abs(angle) for line in self.lines for angle in (line.angle_a_deg, line.angle_b_deg)}
        return tuple(sorted(wanted | {0.0}))

    @property
    def lie(self) -> str:
        """How the section must lie for its mitred ends; "" where any way will do.

        Where lines ask for different ways, the one that most pieces ask for: one run has one.
        """
        asked = Counter[str]()
        for line in self.lines:
            if line.is_mitred and line.lie:
                asked[line.lie] += line.quantity
        return min(asked, key=lambda lie: (-asked[lie], lie), default="")

    @property
    def first_due(self) -> date | None:
        """The earliest due date, None where no line has one."""
        return min((line.due for line in self.lines if line.due is not None), default=None)


def group_work(lines: Iterable[OrderLine]) -> tuple[Work, ...]:
    """Put lines in groups of one grade and section, in the order in which each group is first wanted."""
    groups: dict[tuple[str, str], list[OrderLine]] = {}
    for line in lines:
        groups.setdefault((line.grade, line.section.key), []).append(line)
    works = [Work(found[0].grade, found[0].section, tuple(found)) for found in groups.values()]
    return tuple(sorted(works, key=lambda work: wanted_first(work.first_due, work.id)))


def wanted_first(first_due: date | None, group_id: str) -> tuple[date, str]:
    """By what groups stand in a plan: when each is first wanted, then by name."""
    return first_due or date.max, group_id

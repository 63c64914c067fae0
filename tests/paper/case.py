"""What a ticket or a label is made of."""

from dataclasses import dataclass

from kerfsmith.catalog.material import Grade
from kerfsmith.catalog.saw import SawSheet
from kerfsmith.catalog.section import Section
from kerfsmith.geometry.shapes import Round
from kerfsmith.planning.plan import Plan, PlanGroup
from kerfsmith.shop.order import OrderLine


@dataclass(frozen=True)
class Case:
    """A plan with one group and all that its ticket asks for."""

    plan: Plan
    group: PlanGroup
    saw: SawSheet
    grade: Grade
    lines: tuple[OrderLine, ...]


ROUND = Section("round 4 in", Round(101.6))

"""How far a group's plan may be from the best possible, in words."""

from kerfsmith.planning.plan import PlanGroup, PlanStatus


def best_possible(group: PlanGroup) -> str:
    """One or two sentences: what no plan can beat, and what this one takes."""
    taken, bound = _amount(group.cost, group.cost_unit), _amount(group.lower_bound, group.cost_unit)
    if group.status is PlanStatus.CANNOT:
        return "This group can't be cut here."
    if group.status is PlanStatus.OPEN:
        return "The search was stopped before this group had a plan."
    if group.bars_to_buy and "bought bars" in group.cost_unit:
        return (
            f"{group.bars_to_buy} of its bars are still to be bought. In choosing bars a bought one weighed "
            "ten times one from the rack, so the rack is used up first."
        )
    short = " Some pieces have no bar." if group.status is PlanStatus.SHORT else ""
    if group.status is PlanStatus.BEST or group.gap <= 0:
        return f"Proven best: no plan can do with less than {taken}, and this one takes {taken}.{short}"
    return (
        f"No plan can do with less than {bound}; this one takes {taken}, "
        f"at most {100 * group.gap:.1f} % from the best possible.{short}"
    )


def _amount(cost: float, unit: str) -> str:
    whole = f"{cost:.0f}" if unit.startswith("bar") else f"{cost:.2f}"
    return f"{whole} {unit}"

"""What a shop does before its first plan."""

from dataclasses import dataclass

from kerfsmith.web.backstage import Backstage
from kerfsmith.web.words import say


@dataclass(frozen=True, slots=True)
class FirstStep:
    """One step; ``is_next`` is the first that is not done."""

    words: str
    href: str
    label: str
    is_done: bool
    is_next: bool


def first_steps(backstage: Backstage) -> tuple[FirstStep, ...]:
    """Saws, rack and orders, in the order in which a plan needs them."""
    steps = (
        (say("Give each saw its sheet"), "/saws", say("To the saws"), bool(backstage.catalog().saws)),
        (say("Take in what lies on the rack"), "/rack", say("To the rack"), bool(backstage.rack().bars)),
        (say("Take in a cut list, and plan it"), "/orders", say("To the orders"), bool(backstage.orders())),
    )
    left = [href for _, href, _, is_done in steps if not is_done] or [steps[-1][1]]
    return tuple(FirstStep(*step, is_next=step[1] == left[0]) for step in steps)

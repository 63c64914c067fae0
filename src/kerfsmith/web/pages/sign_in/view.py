"""What the sign-in page shows."""

from collections.abc import Sequence
from dataclasses import dataclass

from kerfsmith.workflow.refusal import Refusal


@dataclass(frozen=True, slots=True)
class SignInPage:
    """Two ways in, the likelier first; ``problem`` says why the last try failed and what to do.

    ``first_lead`` is the name of the shop's first lead where he was put on record just before.
    """

    back: str
    at_panel: bool
    names: tuple[str, ...]
    problem: str
    remedy: str
    must_wait: bool
    is_demo: bool
    first_lead: str = ""


def sign_in_page(
    *,
    back: str,
    at_panel: bool,
    names: Sequence[str],
    refusal: Refusal | None,
    is_demo: bool,
    first_lead: str = "",
) -> SignInPage:
    """The page, with what went wrong if anything did."""
    problem = f"{refusal.reason[:1].upper()}{refusal.reason[1:]}." if refusal else ""
    remedy = f"{refusal.remedy}." if refusal and refusal.remedy else ""
    return SignInPage(
        back,
        at_panel,
        tuple(names),
        problem,
        remedy,
        refusal is not None and refusal.code == "wait",
        is_demo,
        first_lead,
    )

"""Faults of access on a page: contrast, names, roles, order, by the rules of WCAG 2.2 AA and best practice.

The rules are axe-core's, each told with its criterion in its documentation.
"""

from typing import Any

from axe_playwright_python.base import AXE_SCRIPT  # type: ignore[import-untyped]  # ships no types
from playwright.sync_api import Page

EVERY = {"runOnly": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]}
OF_COLOURS = {"runOnly": {"type": "rule", "values": ["color-contrast", "link-in-text-block"]}}
"""What can differ between the lights: a page is the same in both but for the colours of its style sheet."""
RUN = """async ([light, options]) => {
  document.documentElement.dataset.light = light;
  return (await axe.run(document, options)).violations;
}"""


def faults_of_access(page: Page) -> list[tuple[str, str, str, int]]:
    """Light, rule, first place and number of places of each fault by day and, of its colours, by night.

    The page is left in the light of day.
    """
    # Colours that fade from one light to the other would be judged half-way.
    page.emulate_media(reduced_motion="reduce")
    page.evaluate(AXE_SCRIPT)
    found: list[tuple[str, dict[str, Any]]] = []
    for light, options in (("night", OF_COLOURS), ("day", EVERY)):
        told = page.evaluate(RUN, [light, options | {"resultTypes": ["violations"]}])
        found += [(light, one) for one in told]
    return [(light, one["id"], one["nodes"][0]["html"][:200], len(one["nodes"])) for light, one in found]

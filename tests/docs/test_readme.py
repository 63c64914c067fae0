"""The README says what is so: its example runs and prints what it shows, its links and commands are there."""

import re
from pathlib import Path

import pytest

from kerfsmith.cli.main import app

ROOT = Path(__file__).parents[2]
README = (ROOT / "README.md").read_text(encoding="utf-8")


def block(language: str) -> str:
    found = re.search(rf"```{language}\n(.*?)```", README, re.DOTALL)
    assert found is not None
    return found[1]


def test_the_example_is_the_file_in_examples() -> None:
    text = (ROOT / "examples" / "plan_an_order.py").read_text(encoding="utf-8")
    assert text.split('"""\n\n', 1)[1] == block("python")
    assert len(block("python").strip().splitlines()) <= 11


def test_the_readme_shows_what_the_example_prints() -> None:
    # That the example does print this is what tests/docs/test_examples.py runs it for.
    printed = ROOT / "examples" / "printed" / "plan_an_order.txt"
    assert printed.read_text(encoding="utf-8") == block("text")


@pytest.mark.parametrize(
    "page", [*sorted((ROOT / "docs").rglob("*.md")), ROOT / "README.md"], ids=lambda p: p.name
)
def test_every_link_in_the_documents_leads_somewhere(page: Path) -> None:
    for target in re.findall(r"\]\(([^)#]+)(?:#[^)]*)?\)", page.read_text(encoding="utf-8")):
        if not target.startswith(("http:", "https:", "mailto:")):
            assert (page.parent / target).exists(), f"{page.name} links to {target}"


def test_every_command_shown_is_a_command() -> None:
    commands = {name for name in app if not name.startswith("-")}
    shown = set(re.findall(r"^\.venv/bin/kerfsmith ([\w-]+)", README, re.MULTILINE))
    assert shown
    assert shown <= commands

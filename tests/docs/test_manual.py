"""The manual: every page renders, every link leads somewhere, every command runs, its reference is true."""

import re
import shlex
import subprocess
import sys
from collections.abc import Iterator
from html.parser import HTMLParser
from pathlib import Path

import pytest
from scripts.write_reference import PAGES, application_description, reference_pages

from kerfsmith.manual.book import Leaf, open_book
from kerfsmith.manual.render import contents_of, html_of
from kerfsmith.manual.site import site_files, write_site

BOOK = open_book()
COMMAND = Path(sys.executable).with_name("kerfsmith")
pages = pytest.mark.parametrize("leaf", BOOK.leaves, ids=lambda leaf: leaf.name)


class Links(HTMLParser):
    """Links, ids and forbidden things of a page."""

    def __init__(self) -> None:
        super().__init__()
        self.links: list[str] = []
        self.ids: list[str] = []
        self.forbidden: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        told = dict(attrs)
        self.links += [str(told[name]) for name in ("href", "src") if told.get(name)]
        if "id" in told:
            self.ids.append(str(told["id"]))
        if tag in ("script", "style") or "style" in told:
            self.forbidden.append(tag)


def links_of(html: str) -> Links:
    found = Links()
    found.feed(html)
    return found


@pages
def test_each_page_renders_without_style_or_script(leaf: Leaf) -> None:
    found = links_of(html_of(leaf.text, lambda target: target))
    assert found.forbidden == []
    assert len(found.ids) == len(set(found.ids))
    assert {place for place, _ in contents_of(leaf.text)} <= set(found.ids)


def test_every_link_of_the_site_leads_to_a_file_and_a_place_of_it(tmp_path: Path) -> None:
    write_site(tmp_path)
    told = {file.name: links_of(file.read_text(encoding="utf-8")) for file in tmp_path.glob("*.html")}
    assert len(told) == len(BOOK.leaves) + 1
    for name, page in told.items():
        for link in page.links:
            if link.startswith(("http:", "https:")):
                continue
            file, _, place = link.partition("#")
            assert not file or (tmp_path / file).exists(), f"{name} links to {link}"
            assert not place or place in told[file or name].ids, f"{name} links to {link}"


def test_the_site_is_the_same_each_time() -> None:
    assert list(site_files(BOOK)) == list(site_files(BOOK))


def fences(leaf: Leaf, language: str) -> Iterator[str]:
    yield from re.findall(rf"```{language}\n(.*?)```", leaf.text, re.DOTALL)


def steps_of(leaf: Leaf) -> list[tuple[str, str]]:
    """Commands of a page, each with what it ends with."""
    lines = [line for fence in fences(leaf, "sh") for line in fence.strip().splitlines()]
    steps = []
    for line in lines:
        command, _, ends = line.partition("  # ends with ")
        steps.append((command.strip(), ends.strip() or "0"))
    return steps


@pytest.mark.parametrize("leaf", [one for one in BOOK.leaves if steps_of(one)], ids=lambda leaf: leaf.name)
def test_the_commands_of_a_page_run(leaf: Leaf, tmp_path: Path) -> None:
    for command, ends in steps_of(leaf):
        words = shlex.split(command)
        to = words[words.index(">") + 1] if ">" in words else None
        words = words[: words.index(">")] if to else words
        assert words[0] == "kerfsmith"
        run = subprocess.run([str(COMMAND), *words[1:]], cwd=tmp_path, capture_output=True, check=False)
        if to:
            (tmp_path / to).write_bytes(run.stdout)
        good = (0, 1) if ends == "any" else (int(ends),)
        assert run.returncode in good, (command, run.stderr)


@pytest.mark.parametrize(
    "leaf", [one for one in BOOK.leaves if list(fences(one, "python"))], ids=lambda one: one.name
)
def test_the_python_of_a_page_runs(leaf: Leaf, tmp_path: Path) -> None:
    for code in fences(leaf, "python"):
        run = subprocess.run([sys.executable, "-c", code], cwd=tmp_path, capture_output=True, check=False)
        assert run.returncode == 0, run.stderr
        assert run.stdout


def test_the_reference_is_what_the_program_says() -> None:
    for name, text in reference_pages(application_description()).items():
        kept = (PAGES / name).read_text(encoding="utf-8")
        assert kept == text, f"{name} is out of date: run scripts/write_reference.py"

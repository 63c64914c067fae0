"""Another language: a catalog of made-up words stands for one, and no page is left half in English."""

import re
from collections.abc import Iterator
from html.parser import HTMLParser
from pathlib import Path

import pytest
from babel.messages.catalog import Catalog
from babel.messages.pofile import write_po
from fastapi.testclient import TestClient
from scripts.write_sentences import TEMPLATE, gathered, template_text
from tests.web.memory import MemoryBackstage
from tests.web.page_paths import page_paths

from kerfsmith.web import words


def test_the_template_holds_every_sentence_of_the_pages() -> None:
    assert TEMPLATE.read_text(encoding="utf-8") == template_text(), "run scripts/write_sentences.py"


def marked(sentence: str) -> str:
    """A sentence of the made-up language: the English one between marks, its names kept."""
    return f"⟪{sentence}⟫"


@pytest.fixture
def made_up(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    catalog = Catalog(locale="eo")
    for message in gathered():
        if message.id:
            one = message.id
            told = marked(one) if isinstance(one, str) else tuple(map(marked, one))
            catalog.add(one, told)
    with (tmp_path / "eo.po").open("wb") as file:
        write_po(file, catalog)
    monkeypatch.setattr(words, "_CATALOGS", tmp_path)
    words.catalog_of.cache_clear()
    yield
    words.catalog_of.cache_clear()


class Texts(HTMLParser):
    """Texts that a reader sees or is told, outside drawings."""

    def __init__(self) -> None:
        super().__init__()
        self.texts: list[str] = []
        self._quiet = 0

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        if tag in ("svg", "script", "style", "title"):
            self._quiet += 1
        self.texts += [value for name, value in attrs if name in ("aria-label", "placeholder") and value]

    def handle_endtag(self, tag: str) -> None:
        if tag in ("svg", "script", "style", "title"):
            self._quiet -= 1

    def handle_data(self, data: str) -> None:
        if not self._quiet and data.strip():
            self.texts.append(data.strip())


@pytest.mark.usefixtures("made_up")
def test_pages_are_told_in_the_readers_language(client: TestClient, shop: MemoryBackstage) -> None:
    client.cookies.set("language", "eo")
    for path in page_paths(shop):
        page = client.get(path).text
        assert '<html lang="eo"' in page, path
        assert "⟪" in page, path


@pytest.mark.usefixtures("made_up")
def test_the_head_offers_the_language_and_keeps_the_choice(client: TestClient) -> None:
    page = client.get("/sources").text
    assert 'name="language" value="eo"' in page
    answer = client.post("/reading", data={"back": "/sources", "language": "eo"})
    assert "language=eo" in answer.headers["set-cookie"]
    refused = client.post("/reading", data={"back": "/sources", "language": "xx"})
    assert "language" not in refused.headers.get("set-cookie", "")


PLAIN = re.compile(r"[A-Za-z]{3,}")
TOLD = ("caption", "button", "legend", "summary", "label", "dt", "h1", "h2", "h3")
"""Elements that name or ask something: none may be left in English, wherever it stands."""
DATA = tuple(
    map(
        re.compile,
        (
            "English|Esperanto",
            "(North|Yard|Light-metal) saw.*",
            r"[\w-]+ · .*",
            "Order book|Silo stair",
            r"No saw takes it\.",
        ),
    )
)
"""What names are made of, which no language changes, and what the shop in memory answers of its own."""


class Labels(HTMLParser):
    """The text of every element of ``TOLD`` and column head, and every ``aria-label``."""

    def __init__(self) -> None:
        super().__init__()
        self.found: list[str] = []
        self._open: list[tuple[str, list[str]]] = []
        self._drawn = 0

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        told = dict(attrs)
        self.found += [told["aria-label"] or ""] if "aria-label" in told else []
        self._drawn += tag == "svg"
        if tag in TOLD or (tag == "th" and told.get("scope") == "col"):
            self._open.append((tag, []))

    def handle_endtag(self, tag: str) -> None:
        self._drawn -= tag == "svg"
        if self._open and self._open[-1][0] == tag:
            self.found.append(" ".join(" ".join(self._open.pop()[1]).split()))

    def handle_data(self, data: str) -> None:
        if self._open and not self._drawn:
            self._open[-1][1].append(data)


def left_in_english(page: str) -> list[str]:
    """The labels of a page that the made-up language does not tell."""
    labels = Labels()
    labels.feed(page)
    plain = (text for text in labels.found if PLAIN.search(text) and "⟪" not in text)
    return [text for text in plain if not any(one.fullmatch(text) for one in DATA)]


def test_a_bare_label_is_found() -> None:
    bare = '<h2>⟪Bars⟫</h2><label>Length <input></label><th scope="col">⟪Kerf⟫</th><a aria-label="Next">x</a>'
    assert left_in_english(bare) == ["Next", "Length"] or left_in_english(bare) == ["Length", "Next"]


@pytest.mark.usefixtures("made_up")
@pytest.mark.parametrize("measure", ["metric", "inch"])
def test_no_heading_or_label_is_left_behind(client: TestClient, shop: MemoryBackstage, measure: str) -> None:
    client.cookies.set("language", "eo")
    client.cookies.set("measure", measure)
    left = {path: left_in_english(client.get(path).text) for path in page_paths(shop)}
    assert {path: texts for path, texts in left.items() if texts} == {}

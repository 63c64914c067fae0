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
from tests.web.conftest import page_paths
from tests.web.memory import MemoryBackstage

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
DONE = ("/sources", "/about-safety", "/bands")
"""Pages on which no heading or label may be left in English; what their tables hold is data."""


@pytest.mark.usefixtures("made_up")
@pytest.mark.parametrize("path", DONE)
def test_no_heading_or_label_is_left_behind(client: TestClient, path: str) -> None:
    client.cookies.set("language", "eo")
    page = client.get(path).text
    heads = re.findall(r'<(?:th scope="col"|label|caption|button|summary|dt)\b[^>]*>([^<]+)<', page)
    left = [text.strip() for text in heads if PLAIN.search(text) and "⟪" not in text]
    assert left == []

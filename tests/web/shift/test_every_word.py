"""Every page that the router knows, in a language of nothing but x: whatever stays is a person's own."""

import re
from collections.abc import Iterator
from html.parser import HTMLParser
from pathlib import Path

import pytest
from babel import Locale
from babel.messages.catalog import Catalog
from babel.messages.pofile import write_po
from fastapi.testclient import TestClient
from scripts.write_sentences import gathered
from tests.web.shift.everywhere import WORD, lead_of, own_words, unvisited, whole, worked
from tests.wiring.made_up import UNITS, made_up

from kerfsmith.exchange.export.tables import TABLES
from kerfsmith.library.load import load_catalog
from kerfsmith.units.told import Told, sentence
from kerfsmith.web import words
from kerfsmith.web.backstage import JobState
from kerfsmith.web.pages.underway.routes import underway_page
from kerfsmith.web.underway import Underway


def _names(form: str) -> Iterator[str]:
    of = Locale.parse("eo")
    yield from (*of.days["format"][form].values(), *of.months["format"][form].values())


NAMED = frozenset(
    {"Kerfsmith", "Esperanto", "English", "newcomer", "kerfsmith"}
    | {
        "Shift",
        "shop",
        "list",
        "csv",
        "yearly",
        "rail",
        "gap",
        "faulty",
        "dxf",
        "inspection",
        "pdf",
        "Weir",
        "works",
    }
    | {"Arm", "Pin", "Far", "Drum", "loads", "Demo", "Gears", "Shafts", "Sets", "Hall"}
    | {"CSV", "XLSX", "JSON", "PDF", "EUR", "PIN", "ninety", "nothing", "mark"}
)
"""Names of the program, of languages, currencies and forms of files; what the test's own people wrote."""
MANUAL = "A first day in the saw room"
"""The name of a page of the manual, which is written in English."""
CALENDAR = {word for form in ("wide", "abbreviated") for name in _names(form) for word in WORD.findall(name)}
"""Days and months, which a library names in every language."""
TYPED = re.compile(r"(unattended |overtime )?\d\d:\d\d-\d\d:\d\d.*")
"""Hours as a person types them."""
QUIET = ("script", "style")


class Shown(HTMLParser):
    """Texts that a reader sees or is told, and names of fields, but for formulae and what says it is English.

    The manual is written in English, the ledger's particulars are kept so; both say so to who reads aloud.
    """

    def __init__(self) -> None:
        super().__init__()
        self.texts: list[str] = []
        self._within: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        told = dict(attrs)
        if self._within:
            self._within += [tag] if tag == self._within[0] else []
        elif tag in QUIET or told.get("lang") == "en" or "formula" in (told.get("class") or "").split():
            self._within = [tag]
        else:
            self.texts += [
                told[name] or "" for name in ("aria-label", "placeholder", "title") if name in told
            ]

    def handle_endtag(self, tag: str) -> None:
        if self._within and tag == self._within[0]:
            self._within.pop()

    def handle_data(self, data: str) -> None:
        if not self._within:
            self.texts.append(data)


@pytest.fixture
def all_x(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    """A complete catalog made by a machine: every letter an x, fields in another order."""
    catalog = Catalog(locale="eo")
    for message in gathered():
        if message.id:
            one = message.id
            told = made_up(one) if isinstance(one, str) else tuple(map(made_up, one))
            catalog.add(one, told, context=message.context)
    folder = tmp_path / "languages"
    folder.mkdir()
    with (folder / "eo.po").open("wb") as file:
        write_po(file, catalog)
    monkeypatch.setattr(words, "_CATALOGS", folder)
    words.catalog_of.cache_clear()
    yield
    words.catalog_of.cache_clear()


def left_in_english(page: str, own: set[str]) -> list[str]:
    """Texts of a page with a word that is neither of the language nor anybody's own."""
    shown = Shown()
    shown.feed(page)
    texts = [" ".join(text.split()) for text in shown.texts]
    return [
        text
        for text in texts
        if text != MANUAL
        and not TYPED.fullmatch(text)
        and any(word.strip("xX") and word not in own for word in WORD.findall(text))
    ]


def test_a_bare_word_is_found() -> None:
    page = '<p>xxx 3</p><p lang="en">a <b>word</b></p><p>Kerf of A36</p><i aria-label="Next"></i><p>A36</p>'
    assert left_in_english(page, {"A36"}) == ["Kerf of A36", "Next"]


@pytest.mark.usefixtures("all_x")
def test_no_page_keeps_a_word_of_english(tmp_path: Path) -> None:
    app, store = whole(tmp_path)
    with lead_of(app) as lead:
        paths = worked(lead, store)
        assert unvisited(app, paths) == set()
        columns = {column.name for table in TABLES.values() for column in table.columns}
        own = own_words(load_catalog(), store) | UNITS | NAMED
        own |= CALENDAR | {word for name in columns for word in WORD.findall(name)}
        lead.cookies.set("language", "eo")
        left = {path: left for path in paths for left in _left(lead, path, own)}
    assert left == {}


def _left(lead: TestClient, path: str, own: set[str]) -> Iterator[list[str]]:
    for measure in ("metric", "inch"):
        lead.cookies.set("measure", measure)
        page = lead.get(path).text
        assert '<html lang="eo"' in page or path.startswith("/cut/sections"), path
        found = left_in_english(page, own)
        if found:
            yield found


@pytest.mark.usefixtures("all_x")
def test_what_is_underway_is_told_while_it_runs() -> None:
    words._SPOKEN.set("eo")
    try:
        name, doing = sentence("Quote for {customer}", customer="C3"), Told("Break points are priced")
        page = underway_page(Underway("w", name, JobState.RUNNING, doing, 3, 12, 4.0))
        assert words.retell(page.name) == "xxxxx xxx C3"
        assert not [word for word in WORD.findall(page.words) if word.strip("x")]
    finally:
        words._SPOKEN.set("en")

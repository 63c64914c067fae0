"""Pages in another language: sentences are looked up in a catalog, and what it lacks is said in English."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from kerfsmith.web import words

CATALOG = """\
msgid ""
msgstr ""
"Language: de\\n"
"Content-Type: text/plain; charset=utf-8\\n"
"Plural-Forms: nplurals=2; plural=(n != 1);\\n"

msgid "{grade} is not in the tables"
msgstr "{grade} steht nicht in den Tafeln"

msgid "one bar"
msgid_plural "{count} bars"
msgstr[0] "eine Stange"
msgstr[1] "{count} Stangen"
"""


@pytest.fixture
def german(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    (tmp_path / "de.po").write_text(CATALOG, encoding="utf-8")
    monkeypatch.setattr(words, "_CATALOGS", tmp_path)
    words.catalog_of.cache_clear()
    token = words._SPOKEN.set("de")
    yield
    words._SPOKEN.reset(token)
    words.catalog_of.cache_clear()


def test_english_sentences_are_their_own_keys() -> None:
    assert words.say("{grade} is not in the tables", grade="S355") == "S355 is not in the tables"
    assert words.say_many("one bar", "{count} bars", 3) == "3 bars"


@pytest.mark.usefixtures("german")
def test_a_catalog_gives_sentence_and_plural() -> None:
    assert words.say("{grade} is not in the tables", grade="S355") == "S355 steht nicht in den Tafeln"
    assert [words.say_many("one bar", "{count} bars", count) for count in (1, 4)] == [
        "eine Stange",
        "4 Stangen",
    ]


@pytest.mark.usefixtures("german")
def test_what_a_catalog_lacks_is_said_in_english() -> None:
    assert words.say("not yet translated") == "not yet translated"


@pytest.mark.usefixtures("german")
def test_languages_call_themselves_by_their_own_names() -> None:
    assert words.languages() == {"de": "Deutsch", "en": "English"}

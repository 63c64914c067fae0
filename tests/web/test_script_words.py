"""What scripts say stands in the page: none has an English sentence of its own, none asks in vain."""

import re
from pathlib import Path

import kerfsmith.web
from kerfsmith.web.pages.at_saw.script_words import Words, entry_words, names, panel_words
from kerfsmith.web.pages.week.words import script_words

STATIC = Path(kerfsmith.web.__file__).parent / "static"
ENTRIES: dict[str, Words] = {
    "panel.js": panel_words(),
    "panel-entry.js": entry_words(),
    "week.js": dict(script_words()),
}
"""Scripts that pages name, and the words that those pages carry for them."""
MADE = re.compile(r"ask-|(away|signed-out)(-waits)?$|names$")
"""Keys that scripts put together."""
SENTENCE = re.compile(r"""["'`>][^"'`<>]*\b[A-Za-z]{2,} [a-z]{2,}\b[^"'`<>]*["'`<]""")


def with_imports(name: str) -> str:
    """The text of a script and of all it imports, comments left out."""
    seen: dict[str, str] = {}

    def take(one: str) -> None:
        if one not in seen:
            seen[one] = re.sub(r"^\s*//.*$", "", (STATIC / one).read_text(encoding="utf-8"), flags=re.M)
            for other in re.findall(r'from "\./([\w-]+\.js)"', seen[one]):
                take(other)

    take(name)
    return "\n".join(seen.values())


def asked(script: str) -> set[str]:
    """The keys that a script asks for by name."""
    calls = re.findall(r"\bsay\(([^{}()]*)", re.sub(r'=== "[^"]*"', "", script))
    return {key for call in calls for key in re.findall(r'"([\w-]+)"', call)}


def test_every_word_that_a_script_asks_for_stands_in_its_page() -> None:
    for name, words in ENTRIES.items():
        keys = asked(with_imports(name))
        assert keys, name
        assert {key for key in keys if not MADE.match(key)} <= words.keys(), name


def test_no_word_stands_in_a_page_in_vain() -> None:
    everything = with_imports("panel.js") + with_imports("panel-entry.js")
    for key in panel_words():
        assert MADE.match(key) or f'"{key}"' in everything, key


def test_no_script_has_an_english_sentence_of_its_own() -> None:
    for script in STATIC.glob("*.js"):
        text = re.sub(r"^\s*//.*$|\s//\s.*$", "", script.read_text(encoding="utf-8"), flags=re.M)
        text = re.sub(r"className = .*", "", text)
        for name in names():
            text = text.replace(f'"{name}"', '""')
        found = [one for one in SENTENCE.findall(text) if not re.search(r"[\[\].#=>(){}]", one)]
        assert found == [], script.name


def test_a_sentence_in_a_script_is_found() -> None:
    assert SENTENCE.search('told("No other saw takes it.")')

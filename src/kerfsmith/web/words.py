"""The language of the pages, kept apart from their code.

English sentences are the keys; the catalogs under ``languages/`` (one PO file each, the format of gettext)
hold the others. A sentence that a catalog lacks is said in English, so a half-done catalog is usable.
"""

import gettext
from contextvars import ContextVar
from functools import cache
from io import BytesIO
from pathlib import Path

from babel import Locale
from babel.messages.mofile import write_mo
from babel.messages.pofile import read_po
from starlette.requests import cookie_parser
from starlette.types import ASGIApp, Receive, Scope, Send

from kerfsmith.units.length import Measure
from kerfsmith.units.told import Told, in_language

LANGUAGE_COOKIE = "language"
ENGLISH = "en"
_CATALOGS = Path(__file__).parent / "languages"
_COUNTS = 200
"""Among so many counts each category of whole numbers comes up in every language."""
_SPOKEN: ContextVar[str] = ContextVar("language", default=ENGLISH)
_MEASURE: ContextVar[Measure] = ContextVar("measure", default=Measure.METRIC)


def languages() -> dict[str, str]:
    """Every language that pages can be read in: its code and its own name for itself."""
    codes = sorted({ENGLISH, *(file.stem for file in _CATALOGS.glob("*.po"))})
    return {code: (Locale.parse(code).get_display_name(code) or code).capitalize() for code in codes}


@cache
def catalog_of(code: str) -> gettext.NullTranslations:
    """The sentences of a language; those of English are their own keys."""
    file = _CATALOGS / f"{code}.po"
    if code == ENGLISH or not file.is_file():
        return gettext.NullTranslations()
    with file.open("rb") as read:
        catalog = read_po(read, locale=code)
    compiled = BytesIO()
    write_mo(compiled, catalog)
    compiled.seek(0)
    return gettext.GNUTranslations(compiled)


def language() -> str:
    """The code of the language that the page in hand is told in."""
    return _SPOKEN.get()


def read_in(measure: Measure) -> None:
    """From here on this request's sentences of the core are told in ``measure``."""
    _MEASURE.set(measure)


def retell(text: str) -> str:
    """A sentence of the core in the reader's measure and language."""
    return in_language(text, _MEASURE.get(), catalog_of(language()))


def retold(value: object) -> object:
    """What a page shows or names: sentences of the core as their reader is told them, all else as it is."""
    return retell(value) if isinstance(value, Told) else value


def say(sentence: str, /, **named: object) -> str:
    """A sentence in the reader's language, its ``{names}`` filled in; "" stays so."""
    worded = said(sentence)
    return worded.format(**_retold(named)) if named else worded


def say_many(one: str, many: str, count: int, /, **named: object) -> str:
    """The form of a sentence that fits ``count``, which it may name as ``{count}``."""
    return catalog_of(language()).ngettext(one, many, count).format(count=count, **_retold(named))


def forms(one: str, many: str) -> dict[str, str]:
    """The forms of a counted sentence by the plural category of its count, for scripts, which count later.

    Categories are those of Unicode's plural rules, which browsers know too.
    """
    catalog, category = catalog_of(language()), Locale.parse(language()).plural_form
    found: dict[str, str] = {}
    for count in range(_COUNTS):
        found.setdefault(category(count), catalog.ngettext(one, many, count))
    return found


def to_say(sentence: str) -> str:
    """Marks a sentence of a table for the catalogs; who shows it says it then, in the reader's language."""
    return sentence


def said(sentence: str) -> str:
    """A sentence as templates ask for it: looked up, filled in by the template."""
    return catalog_of(language()).gettext(sentence) if sentence else ""


def said_many(one: str, many: str, count: int) -> str:
    """The form of a sentence that fits ``count``, as templates ask for it."""
    return catalog_of(language()).ngettext(one, many, count)


class InReadersLanguage:
    """Tells each request's pages in the language of its cookie, in English without one."""

    def __init__(self, app: ASGIApp) -> None:
        self._app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Sets the language for what runs inside this request."""
        if scope["type"] == "http":
            _SPOKEN.set(_wanted(scope))
        await self._app(scope, receive, send)


def _retold(named: dict[str, object]) -> dict[str, object]:
    return {name: retold(value) for name, value in named.items()}


def _wanted(scope: Scope) -> str:
    cookies = next((value for name, value in scope["headers"] if name == b"cookie"), b"")
    code = cookie_parser(cookies.decode("latin-1")).get(LANGUAGE_COOKIE, ENGLISH)
    return code if code in languages() else ENGLISH

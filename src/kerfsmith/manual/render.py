"""Pages of the manual as HTML, fit for a strict content policy: no style, no script, no HTML of their own."""

import re
from collections.abc import Callable, Sequence
from functools import cache
from html import escape

from markdown_it import MarkdownIt
from markdown_it.renderer import RendererHTML
from markdown_it.token import Token
from markdown_it.utils import OptionsDict

LinkTo = Callable[[str], str]
"""Where a page of the manual, or a picture of it, is found: by ``rack-list.md`` or ``pictures/plan.png``."""


def html_of(text: str, link_to: LinkTo) -> str:
    """A page's Markdown (CommonMark with tables) as HTML, without its title.

    Links to other pages and pictures go through ``link_to``; headings get ids, tables may be scrolled by key.
    """
    tokens = _parser().parse(text.split("\n", 1)[1])
    _name_headings(tokens)
    _name_tables(tokens)
    for token in tokens:
        _lead(token.children or (), link_to)
        if token.type in ("th_open", "td_open") and "right" in str(token.attrs.pop("style", "")):
            token.attrs["class"] = "num"
    return str(_parser().renderer.render(tokens, _parser().options, {}))


@cache
def _parser() -> MarkdownIt:
    parser = MarkdownIt("commonmark", {"html": False}).enable("table")
    parser.add_render_rule("table_open", _table_open)
    parser.add_render_rule("table_close", _table_close)
    return parser


def _table_open(
    _self: RendererHTML, tokens: Sequence[Token], at: int, _options: OptionsDict, _env: object
) -> str:
    name = escape(str(tokens[at].meta["name"]))
    return f'<div class="table-scroll" role="region" aria-label="{name}" tabindex="0"><table>\n'


def _table_close(
    _self: RendererHTML, _tokens: Sequence[Token], _at: int, _options: OptionsDict, _env: object
) -> str:
    return "</table></div>\n"


def _name_headings(tokens: Sequence[Token]) -> None:
    taken: set[str] = set()
    for at, token in enumerate(tokens):
        if token.type == "heading_open":
            token.attrs["id"] = anchor(tokens[at + 1].content, taken)


def _name_tables(tokens: Sequence[Token]) -> None:
    """A table is called by the heading it stands under, the second by that and its number."""
    under, count = "", 0
    for at, token in enumerate(tokens):
        if token.type == "heading_open":
            under, count = re.sub(r"[`*]", "", tokens[at + 1].content), 0
        if token.type == "table_open":
            count += 1
            token.meta["name"] = (
                f"Table {count}" if not under else under if count == 1 else f"{under} ({count})"
            )


def anchor(heading: str, taken: set[str]) -> str:
    """The id of a heading, one of its own in the page."""
    name = base = re.sub(r"[^a-z0-9]+", "-", heading.lower()).strip("-") or "part"
    count = 2
    while name in taken:
        name, count = f"{base}-{count}", count + 1
    taken.add(name)
    return name


def _lead(tokens: Sequence[Token], link_to: LinkTo) -> None:
    for token in tokens:
        for attribute in ("href", "src"):
            target = str(token.attrs.get(attribute, ""))
            page, mark, place = target.partition("#")
            if page.endswith(".md") or page.startswith("pictures/"):
                token.attrs[attribute] = link_to(page) + mark + place
        _lead(token.children or (), link_to)


def contents_of(text: str) -> tuple[tuple[str, str], ...]:
    """The second-level headings of a page with their ids."""
    taken: set[str] = set()
    tokens = _parser().parse(text.split("\n", 1)[1])
    named = [
        (token.tag, tokens[at + 1].content, anchor(tokens[at + 1].content, taken))
        for at, token in enumerate(tokens)
        if token.type == "heading_open"
    ]
    return tuple((name, re.sub(r"[`*]", "", words)) for tag, words, name in named if tag == "h2")

"""Sheets: the title block every page is drawn in, and the one place where templates are filled."""

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any
from urllib.parse import quote

from fastapi import Request
from fastapi.responses import HTMLResponse
from jinja2 import Environment, FileSystemLoader, StrictUndefined
from markupsafe import Markup

from kerfsmith.web.backstage import Backstage
from kerfsmith.web.head import NavGroup, head
from kerfsmith.web.reading import Reading, reading_of
from kerfsmith.web.stages import NO_STAGES, Stages
from kerfsmith.web.words import language, languages, retold, said, said_many

_HERE = Path(__file__).parent


@dataclass(frozen=True, slots=True)
class TitleBlock:
    """What surrounds a page: its name, its question, where it stands and how its reader reads.

    ``back`` is the path that the switches for measure and light return to. ``refresh_s`` reloads a page that
    shows something in progress, for who has no script. ``person`` is who reads, "" where nobody is asked.
    """

    name: str
    question: str
    nav: tuple[NavGroup, ...]
    reading: Reading
    shop: str
    is_demo: bool
    today: str
    back: str
    refresh_s: int | None = None
    person: str = ""
    signed_in: bool = False

    @property
    def title(self) -> str:
        """What the browser's tab shows."""
        return f"{self.name} · Kerfsmith"


def link(*parts: str) -> str:
    """A path of this site with every part quoted."""
    return "/" + "/".join(quote(part, safe="") for part in parts)


class Sheets:
    """Fills templates for one backstage."""

    def __init__(self, backstage: Backstage, *, with_floor: bool = False, stages: Stages = NO_STAGES) -> None:
        self.backstage = backstage
        self.stages = stages
        self._there = {name for name, there in (("floor", with_floor), *stages.there()) if there}
        self._templates = Environment(
            loader=FileSystemLoader([_HERE / "templates", _HERE / "pages"]),
            autoescape=True,
            undefined=StrictUndefined,
            trim_blocks=True,
            lstrip_blocks=True,
            extensions=["jinja2.ext.i18n"],
            finalize=retold,
        )
        self._templates.filters["retold"] = retold
        self._templates.policies["ext.i18n.trimmed"] = True
        self._templates.globals.update(
            _=said, gettext=said, ngettext=said_many, language=language, languages=languages, has=self.has
        )

    def has(self, stage: str) -> bool:
        """Whether the pages that stand on a stage are there."""
        return stage in self._there

    def reading(self, request: Request) -> Reading:
        """How the person behind a request reads."""
        return reading_of(request)

    def block(
        self, request: Request, name: str, question: str, *, under: str = "", refresh_s: int | None = None
    ) -> TitleBlock:
        """The title block of a page; ``under`` is the head's entry where its own path isn't one."""
        shop = self.backstage.shop()
        entry = getattr(request.state, "entry", None)
        query = f"?{request.url.query}" if request.url.query else ""
        return TitleBlock(
            name=name,
            question=question,
            nav=head(under or request.url.path, there=self._there),
            reading=reading_of(request),
            shop=shop.name,
            is_demo=shop.is_demo,
            today=self.backstage.today().isoformat(),
            back=request.url.path + query if request.method == "GET" else "/",
            refresh_s=refresh_s,
            person=entry.person.name if entry is not None else "",
            signed_in=entry is not None and entry.session is not None,
        )

    def show(self, template: str, block: TitleBlock, page: object, *, status: int = 200) -> HTMLResponse:
        """A whole page."""
        return HTMLResponse(self.fill(template, {"block": block, "page": page}), status_code=status)

    def fragment(self, template: str, reading: Reading, page: object) -> HTMLResponse:
        """The part of a page that changes, alone."""
        return HTMLResponse(self.fill(template, {"reading": reading, "page": page}))

    def fill(self, template: str, values: Mapping[str, Any]) -> str:
        """A template filled with ``values``."""
        return self._templates.get_template(template).render(**values)


def wants_fragment(request: Request) -> bool:
    """Whether the page's own script asks for the changing part only."""
    return request.headers.get("hx-request") == "true"


def glyph(kind: str) -> Markup:
    """A status mark, told apart by shape: diamond, half diamond, open triangle, cross."""
    return _GLYPHS[kind]


_SVG = '<svg class="glyph" viewBox="0 0 16 16" aria-hidden="true" focusable="false">{}</svg>'
_GLYPHS = {
    kind: Markup(_SVG.format(shape))
    for kind, shape in {
        "best": '<path class="full" d="M8 1L15 8L8 15L1 8Z"/>',
        "good": '<path d="M8 1L15 8L8 15L1 8Z"/><path class="full" d="M1 8H15L8 15Z"/>',
        "short": '<path d="M8 2L15 14H1Z"/><path d="M8 6V10.5M8 12V13"/>',
        "cannot": '<path d="M2 2L14 14M14 2L2 14"/>',
        "busy": '<circle cx="8" cy="8" r="6.5"/><path d="M8 4V8L11 10"/>',
        "waiting": '<circle cx="8" cy="8" r="6.5"/>',
        "done": '<path d="M2 9L6 13L14 3"/>',
    }.items()
}

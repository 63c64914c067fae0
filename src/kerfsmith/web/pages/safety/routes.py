"""Where the cautions are read."""

from dataclasses import dataclass

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse

from kerfsmith.catalog.material import Hazard
from kerfsmith.cutting.cautions import ALWAYS
from kerfsmith.web.sheet import Sheets, link
from kerfsmith.web.words import say


@dataclass(frozen=True, slots=True)
class HazardView:
    """One hazard of a material with what is said about it and which grades have it."""

    name: str
    texts: tuple[tuple[str, str, str, str], ...]
    grades: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class SafetyPage:
    """What holds always, and the hazards of materials."""

    always: tuple[str, ...]
    hazards: tuple[HazardView, ...]


def hazard_words(hazard: Hazard) -> str:
    """A hazard in words, as a list names it."""
    burns = str(hazard).startswith("fire-")
    return str(hazard).removeprefix("fire-").replace("-", " ") + (" fire" if burns else "")


def hazard_name(hazard: Hazard) -> str:
    """A hazard as a heading names it."""
    words = hazard_words(hazard)
    return words[:1].upper() + words[1:]


def routes(sheets: Sheets) -> APIRouter:
    """The page of cautions."""
    router = APIRouter(include_in_schema=False)

    @router.get("/about-safety", response_class=HTMLResponse)
    def safety(request: Request) -> HTMLResponse:
        catalog = sheets.backstage.catalog()
        hazards = tuple(
            HazardView(
                say(hazard_name(hazard)),
                tuple(
                    (
                        say(one.text),
                        one.source,
                        f"/sources#{link(one.source)[1:]}",
                        say(one.where),
                    )
                    for one in cautions
                ),
                tuple(
                    (grade.name, link("grades", grade.name))
                    for grade in catalog.grades
                    if hazard in grade.hazards
                ),
            )
            for hazard, cautions in catalog.hazard_texts.items()
        )
        block = sheets.block(
            request, say("Cautions"), say("What can hurt someone, and what does this program not know?")
        )
        return sheets.show("safety/safety.html", block, SafetyPage(ALWAYS, hazards))

    return router

"""Drawn sections and the shop's own names of grades, for other programs."""

import math
from collections.abc import Callable
from typing import Annotated, Any

from fastapi import APIRouter, Form, HTTPException, Query, Request, UploadFile
from fastapi.responses import JSONResponse
from pydantic import BaseModel, ConfigDict, Field

from kerfsmith.catalog.catalog import Catalog
from kerfsmith.catalog.section import Section
from kerfsmith.errors import UnknownName
from kerfsmith.geometry.measures import mass_kg_per_m
from kerfsmith.geometry.outline import Outline
from kerfsmith.geometry.pieces import Arc, Piece
from kerfsmith.planning.document import finding_document
from kerfsmith.shop.own_words import OwnGradeName, OwnSection
from kerfsmith.units.length import Unit
from kerfsmith.web.api.answers import answered
from kerfsmith.web.pages.sign_in.gate import person_of
from kerfsmith.web.section_stage import MOST_DRAWING_BYTES, SectionStage
from kerfsmith.workflow.refusal import Refusal


class SectionNameIn(BaseModel):
    """A drawn section by its name."""

    model_config = ConfigDict(extra="forbid")
    name: str = Field(max_length=200)


class RenameIn(SectionNameIn):
    """A drawn section and the name it is to have."""

    to: str = Field(max_length=200)


class GradeWordIn(BaseModel):
    """A word of the shop for a grade."""

    model_config = ConfigDict(extra="forbid")
    word: str = Field(max_length=200)


class NameGradeIn(GradeWordIn):
    """A word and the grade it stands for, by any of its names."""

    grade: str = Field(max_length=200)


def routes(stage: SectionStage, catalog: Callable[[], Catalog]) -> APIRouter:
    """Under ``/api/sections`` and ``/api/grade-names``."""
    router = APIRouter(prefix="/api", tags=["sections"])

    @router.get("/sections")
    def sections() -> list[dict[str, Any]]:
        """Every section the shop has drawn. Lengths mm, areas mm2."""
        return [_own(one) for one in stage.sections()]

    @router.get("/section")
    def section(
        name: Annotated[str, Query(max_length=120)], grade: Annotated[str, Query(max_length=120)] = ""
    ) -> dict[str, Any]:
        """One section by its name, drawn or of a standard, with its outline; with ``grade`` its mass too.

        ``outline`` has a list of points for each closed loop: x, y and the bulge of the edge that leaves the
        point, which is the tangent of a quarter of the angle it sweeps and 0 where it is straight.
        """
        tables = catalog()
        try:
            found = tables.find_section(name)
            mass = _mass(found, tables, grade)
        except UnknownName as unknown:
            near = f"; near it: {', '.join(unknown.near)}" if unknown.near else ""
            raise HTTPException(404, f"no {unknown.kind} is called {unknown.name!r}{near}") from None
        outline = found.shape.outline()
        return {**_section(found), "mass_kg_per_m": mass, "outline": _loops(outline)}

    @router.post("/sections")
    def keep(
        request: Request,
        file: UploadFile,
        name: Annotated[str, Form(max_length=200)],
        unit: Annotated[Unit | None, Form()] = None,
    ) -> JSONResponse:
        """Keep the section drawn in a DXF file under a name; ``unit`` where the drawing doesn't say its own.

        422 with findings where the drawing makes no section.
        """
        read = stage.read(file.filename or "unnamed file", file.file.read(MOST_DRAWING_BYTES + 1))
        if unit is not None:
            read = stage.again(read.id, unit) or read
        findings = [finding_document(one) for one in read.findings]
        if read.section is None:
            return JSONResponse({"kept": None, "findings": findings}, 422)
        kept = stage.keep(read.id, name, by=person_of(request))
        if kept is None or isinstance(kept, Refusal):
            return answered(kept or Refusal("not-held", "the drawing is no longer held", "Send it again"))
        return JSONResponse({"kept": _own(kept), "findings": findings})

    @router.post("/sections/rename")
    def rename(request: Request, told: RenameIn) -> JSONResponse:
        """Call a drawn section otherwise; 409 while it is in use."""
        answer = stage.rename(told.name, told.to, by=person_of(request))
        return answered(answer) if isinstance(answer, Refusal) else JSONResponse(_own(answer))

    @router.post("/sections/drop")
    def drop(request: Request, told: SectionNameIn) -> JSONResponse:
        """Take a drawn section away; 409 while it is in use."""
        answer = stage.drop(told.name, by=person_of(request))
        return answered(answer) if isinstance(answer, Refusal) else JSONResponse(_own(answer))

    @router.get("/grade-names")
    def grade_names() -> list[dict[str, Any]]:
        """The shop's own names of grades."""
        return [_named(one) for one in stage.grade_names()]

    @router.post("/grade-names")
    def name_grade(request: Request, told: NameGradeIn) -> JSONResponse:
        """Keep a word for a grade, in place of what it stood for."""
        answer = stage.name_grade(told.word, told.grade, by=person_of(request))
        return answered(answer) if isinstance(answer, Refusal) else JSONResponse(_named(answer))

    @router.post("/grade-names/drop")
    def drop_name(request: Request, told: GradeWordIn) -> JSONResponse:
        """Keep a word no longer."""
        answer = stage.drop_grade_name(told.word, by=person_of(request))
        return answered(answer) if isinstance(answer, Refusal) else JSONResponse(_named(answer))

    return router


def _own(own: OwnSection) -> dict[str, Any]:
    told = {"file": own.file, "kept_by": own.kept_by, "kept_at": own.kept_at.isoformat()}
    return {**_section(own.section), **told}


def _section(section: Section) -> dict[str, Any]:
    outline = section.shape.outline()
    return {
        "name": section.name,
        "shape": section.shape.kind,
        "width_mm": outline.width_mm,
        "height_mm": outline.height_mm,
        "area_mm2": outline.area_mm2,
        "thinnest_wall_mm": section.shape.wall_mm,
        "holes": sum(len(body.holes) for body in outline.bodies),
    }


def _mass(section: Section, tables: Catalog, grade: str) -> float | None:
    if not grade:
        return None
    density = tables.find_grade(grade).density_kg_per_m3.value
    return mass_kg_per_m(section.shape.outline().area_mm2, density)


def _loops(outline: Outline) -> list[list[dict[str, float]]]:
    return [[_point(piece) for piece in loop.pieces] for loop in outline.loops]


def _point(piece: Piece) -> dict[str, float]:
    bulge = math.tan(piece.sweep_rad / 4.0) if isinstance(piece, Arc) else 0.0
    return {"x": piece.start[0], "y": piece.start[1], "bulge": bulge}


def _named(own: OwnGradeName) -> dict[str, Any]:
    return {
        "word": own.word,
        "grade": own.grade,
        "kept_by": own.kept_by,
        "kept_at": own.kept_at.isoformat(),
    }

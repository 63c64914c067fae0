"""`kerfsmith sections`: a drawing looked at, and the shop's own sections kept, listed, renamed, dropped."""

import json as json_text
import sys
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

from cyclopts import App, Parameter

from kerfsmith.cli.options import Json, Records
from kerfsmith.units.length import Unit

if TYPE_CHECKING:
    from kerfsmith.shop.own_words import OwnSection

Drawing = Annotated[Path, Parameter(help="DXF file with the closed outline of one section.")]
DrawnIn = Annotated[
    Unit | None, Parameter(help="Unit it is drawn in, where it doesn't say so: mm, cm, m, in or ft.")
]

app = App(
    name="sections", help="Sections of the shop's own: look at a drawing, keep it, call it, take it away."
)


@app.command
def look(
    drawing: Drawing,
    *,
    unit: DrawnIn = None,
    grade: Annotated[str, Parameter(help="Grade whose mass is told.")] = "S235JR",
    json: Json = False,
) -> int:
    """What a drawing makes: size, walls, area, mass per metre, and what is wrong with it."""
    from kerfsmith.cli.main import DONE, INPUT_AT_FAULT
    from kerfsmith.geometry.measures import mass_kg_per_m
    from kerfsmith.library.load import load_catalog
    from kerfsmith.planning.document import finding_document
    from kerfsmith.wiring.reading import read_drawn_section

    density = load_catalog().find_grade(grade).density_kg_per_m3.value
    read = read_drawn_section(drawing, unit=unit)
    findings = [finding_document(one) for one in read.findings]
    told: dict[str, Any] = {"section": None, "findings": findings}
    if read.section is not None:
        outline, wall = read.section.shape.outline(), read.section.shape.wall_mm
        told["section"] = {
            "name": read.section.name,
            "width_mm": outline.width_mm,
            "height_mm": outline.height_mm,
            "area_mm2": outline.area_mm2,
            "thinnest_wall_mm": wall,
            "holes": sum(len(body.holes) for body in outline.bodies),
            "mass_kg_per_m": mass_kg_per_m(outline.area_mm2, density),
        }
    if json:
        print(json_text.dumps(told, ensure_ascii=False))
    else:
        for one in read.findings:
            print(f"{one.severity}: {one}", file=sys.stderr)
        for name, value in (told["section"] or {}).items():
            print(f"{name:18} {f'{value:.6g}' if isinstance(value, float) else value}")
    return INPUT_AT_FAULT if read.section is None else DONE


@app.command
def keep(
    drawing: Drawing,
    *,
    name: Annotated[str, Parameter(help="What the shop calls it; else the file's own name.")] = "",
    unit: DrawnIn = None,
    records: Records = "var/shop.sqlite",
) -> int:
    """Keep a drawn section in the shop's records: from then on lists, cuts and quotes read its name."""
    from kerfsmith.cli.main import INPUT_AT_FAULT
    from kerfsmith.shop.person import HOUSE
    from kerfsmith.wiring.section_stage import sections_of

    stage = sections_of(records)
    read = stage.read(drawing.name, drawing.read_bytes())
    if unit is not None:
        read = stage.again(read.id, unit) or read
    for one in read.findings:
        print(f"{one.severity}: {one}", file=sys.stderr)
    if read.section is None:
        return INPUT_AT_FAULT
    return _told(stage.keep(read.id, name or read.name, by=HOUSE))


@app.command(name="list")
def every(*, records: Records = "var/shop.sqlite") -> int:
    """Every section the shop has drawn."""
    from kerfsmith.wiring.section_stage import sections_of

    for own in sections_of(records).sections():
        print(_line(own))
    return 0


@app.command
def rename(
    name: Annotated[str, Parameter(help="What it is called now.")],
    to: Annotated[str, Parameter(help="What it is to be called.")],
    *,
    records: Records = "var/shop.sqlite",
) -> int:
    """Call a drawn section otherwise; refused while it is in use."""
    from kerfsmith.shop.person import HOUSE
    from kerfsmith.wiring.section_stage import sections_of

    return _told(sections_of(records).rename(name, to, by=HOUSE))


@app.command
def drop(
    name: Annotated[str, Parameter(help="What it is called.")], *, records: Records = "var/shop.sqlite"
) -> int:
    """Take a drawn section away; refused while it is in use."""
    from kerfsmith.shop.person import HOUSE
    from kerfsmith.wiring.section_stage import sections_of

    return _told(sections_of(records).drop(name, by=HOUSE))


def _told(answer: object) -> int:
    from kerfsmith.cli.main import CANNOT, DONE
    from kerfsmith.shop.own_words import OwnSection

    if isinstance(answer, OwnSection):
        print(_line(answer))
        return DONE
    print(str(answer), file=sys.stderr)
    return CANNOT


def _line(own: "OwnSection") -> str:
    outline = own.section.shape.outline()
    return (
        f"{own.section.name}: {outline.width_mm:.6g} x {outline.height_mm:.6g} mm, "
        f"{outline.area_mm2:.6g} mm2, from {own.file}"
    )

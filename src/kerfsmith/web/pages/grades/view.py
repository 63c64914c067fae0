"""What the grades' pages show."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from kerfsmith.catalog.catalog import Catalog
from kerfsmith.catalog.figure import Figure
from kerfsmith.catalog.material import Grade
from kerfsmith.shop.own_words import OwnGradeName
from kerfsmith.web.pages.safety.routes import hazard_words
from kerfsmith.web.reading import Reading
from kerfsmith.web.reasons import FigureCell, shown_figure
from kerfsmith.web.search import Found, search
from kerfsmith.web.sheet import link
from kerfsmith.web.words import say, say_many


@dataclass(frozen=True, slots=True)
class GradeRow:
    """One grade in the list."""

    name: str
    href: str
    designations: str
    group: str
    condition: str
    hardness: str
    band_speed: str
    cautions: str


@dataclass(frozen=True, slots=True)
class OwnName:
    """A word of the shop's for a grade, and who said so when."""

    word: str
    grade: str
    href: str
    kept: str


@dataclass(frozen=True, slots=True)
class GradesPage:
    """The grades that answer to the words wanted, and the shop's own names; ``may_name`` changes those."""

    found: Found[GradeRow]
    own: tuple[OwnName, ...]
    may_name: bool
    problem: str = ""


@dataclass(frozen=True, slots=True)
class FigureRow:
    """A named figure with its source."""

    name: str
    cell: FigureCell


@dataclass(frozen=True, slots=True)
class CautionRow:
    """One caution with its source."""

    text: str
    source: str
    source_href: str
    where: str


@dataclass(frozen=True, slots=True)
class GradePage:
    """One grade in full."""

    facts: tuple[tuple[str, str], ...]
    cautions: tuple[CautionRow, ...]
    figures: tuple[FigureRow, ...]
    cut_href: str


def grades_page(catalog: Catalog, wanted: str, reading: Reading) -> Found[GradeRow]:
    """The grades that answer to the words wanted."""
    found = search(catalog.grades, wanted, _all_names, _counted, most=250)
    return Found(found.wanted, tuple(_row(grade, reading) for grade in found.entries), found.words)


def own_names(kept: Iterable[OwnGradeName]) -> tuple[OwnName, ...]:
    """The shop's own names of grades."""
    return tuple(
        OwnName(
            one.word,
            one.grade,
            link("grades", one.grade),
            say("{person}, {day}", person=one.kept_by, day=one.kept_at.date().isoformat()),
        )
        for one in kept
    )


def grade_page(catalog: Catalog, grade: Grade, reading: Reading) -> GradePage:
    """One grade with every figure the program uses of it."""
    facts = [
        (say("Also called"), ", ".join(grade.aliases)),
        (say("Designations"), _designations(grade)),
        (say("Group"), say(grade.group)),
        (say("Condition"), say(grade.condition)),
        (say("Coolant"), say(grade.coolant)),
        (say("Chips"), say("soft, packs the gullets: take the coarser pitch") if grade.soft_gummy else ""),
        (say("Hardens under the tooth"), say("yes: never let it rub") if grade.work_hardens else ""),
        (say("Note"), say(grade.note)),
    ]
    cautions = tuple(
        CautionRow(say(one.text), one.source, f"/sources#{link(one.source)[1:]}", say(one.where))
        for one in catalog.cautions(grade)
    )
    return GradePage(
        facts=tuple((name, text) for name, text in facts if text),
        cautions=cautions,
        figures=tuple(FigureRow(name, shown_figure(figure, reading)) for name, figure in _figures(grade)),
        cut_href=f"/cut?grade={link(grade.name)[1:]}&section=round%20100%20mm",
    )


def _figures(grade: Grade) -> Iterator[tuple[str, Figure]]:
    named: list[tuple[str, Figure | None]] = [
        (say("Band speed, bimetal, coolant, 102 mm (4 in) in the cut"), grade.band_speed),
        (say("Cutting rate, bimetal"), grade.rate_bimetal),
        (say("Cutting rate, carbide-tipped"), grade.rate_carbide),
        (say("Chip per tooth"), grade.chip_um),
        (say("Hardness"), grade.hb),
        (say("Density"), grade.density_kg_per_m3),
        (say("How much chips swell"), grade.chip_bulking),
        (say("Area a band cuts in its life"), grade.band_life),
        (say("Band speed not to be passed, for fire"), grade.fire_speed),
    ]
    yield from ((name, figure) for name, figure in named if figure is not None)
    for force in grade.kienzle:
        yield (
            say(
                "Specific force at 1 mm of chip, exponent {mc} (group {group})",
                mc=f"{force.mc:g}",
                group=force.group,
            ),
            force.kc11,
        )
    for power in grade.unit_power:
        yield (
            say(
                "Unit power, {hb_low} to {hb_high} HB",
                hb_low=f"{power.hb_low:g}",
                hb_high=f"{power.hb_high:g}",
            ),
            power.figure,
        )


def _row(grade: Grade, reading: Reading) -> GradeRow:
    return GradeRow(
        name=grade.name,
        href=link("grades", grade.name),
        designations=_designations(grade),
        group=say(grade.group),
        condition=say(grade.condition),
        hardness=say("{low} to {high} HB", low=f"{grade.hb.low:g}", high=f"{grade.hb.high:g}")
        if grade.hb.low < grade.hb.high
        else f"{grade.hb.value:g} HB",
        band_speed=reading.speed(grade.band_speed.value),
        cautions=", ".join(say(hazard_words(one)) for one in grade.hazards),
    )


def _designations(grade: Grade) -> str:
    """Systems with their designations; one that is only the nearest says so."""
    return ", ".join(
        say("{system} {text} (nearest)", system=system, text=text[1:])
        if text.startswith("~")
        else f"{system} {text}"
        for system, text in grade.designations
    )


def _all_names(grade: Grade) -> str:
    return " ".join(
        (grade.name, *grade.aliases, *(text for _, text in grade.designations), grade.group, grade.family)
    )


def _counted(grades: int) -> str:
    return say_many("{count} grade", "{count} grades", grades)

"""Every figure of the catalog can be shown: with a known source, a place, a range and a confidence."""

from collections.abc import Iterator
from dataclasses import fields, is_dataclass

import pytest

from kerfsmith.catalog.catalog import Catalog
from kerfsmith.catalog.figure import Confidence, Figure


def figures_in(value: object, path: str = "") -> Iterator[tuple[str, Figure]]:
    """Every figure within a value, with the path that leads to it."""
    if isinstance(value, Figure):
        yield path, value
    elif isinstance(value, tuple):
        for count, each in enumerate(value):
            yield from figures_in(each, f"{path}[{count}]")
    elif is_dataclass(value) and not isinstance(value, type):
        for each in fields(value):
            yield from figures_in(getattr(value, each.name), f"{path}.{each.name}")


def all_figures(catalog: Catalog) -> list[tuple[str, Figure]]:
    found: list[tuple[str, Figure]] = []
    for grade in catalog.grades:
        found += figures_in(grade, grade.name)
    for band in catalog.bands:
        found += figures_in(band, band.id)
    found += figures_in(catalog.corrections, "corrections")
    return found


def test_there_are_many(catalog: Catalog) -> None:
    assert len(all_figures(catalog)) > 2000


def test_each_names_a_source_of_the_bibliography(catalog: Catalog) -> None:
    keys = {source.key for source in catalog.sources}
    unknown = {(path, figure.source) for path, figure in all_figures(catalog) if figure.source not in keys}
    assert unknown == set()


def test_each_has_a_place(catalog: Catalog) -> None:
    """A figure said to be read without the page or table it was read on couldn't be checked by anyone."""
    assert [path for path, figure in all_figures(catalog) if not figure.where.strip()] == []


def test_what_was_read_comes_from_a_publication(catalog: Catalog) -> None:
    not_published = {"house", "trade", "derived"}
    wrong = [
        path
        for path, figure in all_figures(catalog)
        if figure.confidence in (Confidence.READ, Confidence.ABSTRACT) and figure.source in not_published
    ]
    assert wrong == []


def test_a_figure_of_the_house_is_never_shown_as_sure(catalog: Catalog) -> None:
    sure = [
        path
        for path, figure in all_figures(catalog)
        if figure.source == "house" and not figure.confidence.is_low
    ]
    assert sure == []


def test_a_page_that_was_not_read_is_not_said_to_be(catalog: Catalog) -> None:
    wrong = [
        path
        for path, figure in all_figures(catalog)
        if "not read" in figure.where and figure.confidence is Confidence.READ
    ]
    assert wrong == []


def test_low_confidence_rates_and_chips_have_a_range(catalog: Catalog) -> None:
    for grade in catalog.grades:
        for figure in (grade.rate_bimetal, grade.rate_carbide, grade.chip_um, grade.chip_bulking):
            if figure is not None:
                assert figure.low < figure.value < figure.high


def test_cautions_and_sections_name_known_sources(catalog: Catalog) -> None:
    keys = {source.key for source in catalog.sources}
    for cautions in catalog.hazard_texts.values():
        assert {caution.source for caution in cautions} <= keys
        assert all(caution.where for caution in cautions)
    assert {row.standard for row in catalog.section_rows} <= keys


def test_no_source_is_kept_that_nothing_could_name(catalog: Catalog) -> None:
    titles = [source.title for source in catalog.sources]
    assert len(set(titles)) == len(titles)
    assert all(source.kind for source in catalog.sources)


def test_ranges_hold_their_value(catalog: Catalog) -> None:
    for _, figure in all_figures(catalog):
        assert 0 < figure.low <= figure.value <= figure.high


@pytest.mark.parametrize(
    "family", ["steel", "stainless", "titanium", "nickel", "cobalt", "aluminium", "copper", "magnesium"]
)
def test_every_metal_family_has_rates_and_a_force(catalog: Catalog, family: str) -> None:
    grades = [grade for grade in catalog.grades if grade.family == family]
    assert grades
    for grade in grades:
        assert grade.rate_bimetal is not None
        assert grade.rate_carbide is not None
        assert grade.kienzle or grade.unit_power

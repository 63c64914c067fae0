"""Cautions: each hazard has words, and the ones that keep a person safe say the right thing."""

import pytest

from kerfsmith.catalog.catalog import Catalog
from kerfsmith.catalog.material import Hazard


def told(catalog: Catalog, grade: str) -> str:
    return " ".join(caution.text for caution in catalog.cautions(catalog.find_grade(grade)))


def test_every_hazard_has_words(catalog: Catalog) -> None:
    assert set(catalog.hazard_texts) == set(Hazard)


def test_magnesium(catalog: Catalog) -> None:
    """T.O. 1-1A-9, para 4-21: dry, no water or foam on burning chips, class D powder, mineral oil if any."""
    words = told(catalog, "AZ31B")
    for part in ("Never put water or foam", "class D", "mineral oil", "dry"):
        assert part in words
    assert catalog.find_grade("AZ31B").coolant == "dry"


def test_copper_beryllium_speaks_of_abrasive_sawing(catalog: Catalog) -> None:
    """29 CFR 1910.1024, appendix A, lists abrasive sawing of the alloy, not plain sawing."""
    grade = catalog.find_grade("C17200")
    places = " ".join(caution.where for caution in catalog.cautions(grade))
    assert "abrasive sawing is listed, plain sawing is not" in places
    assert "abrasive" in told(catalog, "C17200")


@pytest.mark.parametrize(
    ("grade", "hazard"),
    [
        ("12L14", Hazard.LEAD),
        ("41L40", Hazard.LEAD),
        ("C36000", Hazard.LEAD),
        ("C93200", Hazard.LEAD),
        ("C17300", Hazard.LEAD),
        ("C17300", Hazard.BERYLLIUM),
        ("C17510", Hazard.BERYLLIUM),
        ("Ti-6Al-4V", Hazard.FIRE_TITANIUM),
        ("Ti Gr 2", Hazard.FIRE_TITANIUM),
        ("304", Hazard.METAL_MIST),
        ("N07718", Hazard.METAL_MIST),
        ("R30605", Hazard.METAL_MIST),
        ("graphite", Hazard.CONDUCTIVE_DUST),
        ("carbon-fibre laminate", Hazard.CONDUCTIVE_DUST),
        ("glass-epoxy laminate", Hazard.FIBRE_DUST),
        ("glass", Hazard.SILICA),
        ("hardwood", Hazard.WOOD_DUST),
    ],
)
def test_grades_carry_their_hazards(catalog: Catalog, grade: str, hazard: Hazard) -> None:
    assert hazard in catalog.find_grade(grade).hazards


def test_only_what_it_fits(catalog: Catalog) -> None:
    assert Hazard.FIRE_TITANIUM not in catalog.find_grade("4140").hazards
    assert Hazard.LEAD not in catalog.find_grade("1215").hazards
    assert catalog.find_grade("1018").hazards == ()

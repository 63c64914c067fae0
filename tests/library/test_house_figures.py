"""Figures that no publication read here gives: kept as ranges of low confidence, as they were taken down.

Speeds marked "memory, good" are remembered from Machinery's Handbook p. 1244, which could not be read; all
others are the house's. Area rates, band life and feed per tooth by grade: no published table could be opened.
"""

import pytest

from kerfsmith.catalog.catalog import Catalog
from kerfsmith.catalog.figure import Confidence

FPM = 0.3048
CM2_PER_IN2 = 6.4516
LOW, GOOD = Confidence.MEMORY_LOW, Confidence.MEMORY_GOOD

SPEEDS: list[tuple[str, float, float, Confidence]] = [
    ("303 416", 140, 190, LOW),
    ("410 430", 130, 150, LOW),
    ("316 321 347", 90, 115, LOW),
    ("440C", 70, 90, LOW),
    ("S15500 S17400 S17700 S66286", 70, 80, LOW),
    ("S31803", 60, 80, LOW),
    ("1100 2011 2024 3003 5052 6061 6063 7075", 500, 500, GOOD),
    ("C17300 C93200", 315, 315, GOOD),
    ("C33000 C36500", 285, 285, GOOD),
    ("C62300 C62400", 265, 265, GOOD),
    ("C23000 C26000 C27200 C28000 C63200 C65500 C46400", 245, 245, GOOD),
    ("C10100 C10200 C11000 C12200 C17200 C17510 C18200 C22000 C51000", 235, 235, GOOD),
    ("C62500 C70600 C71500 C93400", 235, 235, GOOD),
    ("C63000", 230, 230, GOOD),
    ("C81100", 215, 215, GOOD),
]


@pytest.mark.parametrize(("names", "low", "high", "confidence"), SPEEDS)
def test_band_speeds(catalog: Catalog, names: str, low: float, high: float, confidence: Confidence) -> None:
    for name in names.split():
        speed = catalog.find_grade(name).band_speed
        assert speed.low / FPM == pytest.approx(low)
        assert speed.high / FPM == pytest.approx(high)
        assert speed.confidence is confidence


@pytest.mark.parametrize(
    ("name", "inside"),
    [
        ("C36000", 450),
        ("60-40-18", 225),
        ("A47", 185),
        ("A48 class 20", 160),
        ("A48 class 25", 145),
        ("N02200", 85),
        ("N04400", 85),
        ("N06600", 75),
        ("N06625", 80),
        ("N07750", 60),
        ("N10276", 65),
        ("N07001", 60),
    ],
)
def test_single_low_figures_are_widened(catalog: Catalog, name: str, inside: float) -> None:
    speed = catalog.find_grade(name).band_speed
    assert speed.value / FPM == pytest.approx(inside)
    assert speed.low < speed.value < speed.high
    assert speed.confidence is LOW


RATES: list[tuple[str, tuple[float, float], tuple[float, float]]] = [
    ("12L14 1215", (13, 18), (20, 35)),
    ("1018 1020 A36", (10, 15), (18, 30)),
    ("1045 1060", (7, 11), (14, 22)),
    ("4130 4140 8620", (6, 10), (12, 20)),
    ("4340 52100", (4, 7), (8, 14)),
    ("O1 A2 S7 H13", (3, 5), (6, 10)),
    ("D2 M2 T15", (1, 3), (3, 6)),
    ("303 416", (4, 6), (7, 11)),
    ("304", (2.5, 4), (5, 8)),
    ("316 17-4PH 2205", (1.5, 3), (4, 6)),
    ("Ti-Gr-2", (2, 4), (4, 7)),
    ("Ti-6Al-4V", (1, 2), (3, 5)),
    ("N06625", (1, 2), (2, 4)),
    ("N07718", (0.5, 1), (1, 2)),
    ("6061", (20, 60), (50, 150)),
    ("C36000 C93200", (10, 25), (20, 40)),
    ("C11000", (6, 12), (12, 20)),
    ("A48-class-30", (6, 10), (10, 16)),
    ("60-40-18", (5, 8), (10, 16)),
]


@pytest.mark.parametrize(("names", "bimetal", "carbide"), RATES)
def test_area_rates(
    catalog: Catalog, names: str, bimetal: tuple[float, float], carbide: tuple[float, float]
) -> None:
    for name in names.split():
        grade = catalog.find_grade(name)
        for figure, (low, high) in ((grade.rate_bimetal, bimetal), (grade.rate_carbide, carbide)):
            assert figure is not None
            assert figure.low == pytest.approx(low * CM2_PER_IN2)
            assert figure.high == pytest.approx(high * CM2_PER_IN2)
            assert (figure.unit, figure.confidence) == ("cm2/min", LOW)


@pytest.mark.parametrize(
    ("name", "low", "high"),
    [("1018", 3, 12), ("4140", 3, 12), ("304", 4, 10), ("N07718", 4, 10), ("6061", 10, 50)],
)
def test_feed_per_tooth(catalog: Catalog, name: str, low: float, high: float) -> None:
    """Planning ranges in micrometres; Sarwar, Haider and Persson report a layer of 5 to 50 per tooth."""
    chip = catalog.find_grade(name).chip_um
    assert (chip.low, chip.high, chip.confidence) == (low, high, LOW)


@pytest.mark.parametrize(
    ("name", "low_in2", "high_in2"),
    [
        ("1018", 5000, 15000),
        ("4140", 3000, 8000),
        ("D2", 1500, 4000),
        ("304", 1500, 4000),
        ("N07718", 300, 1500),
    ],
)
def test_band_life(catalog: Catalog, name: str, low_in2: float, high_in2: float) -> None:
    life = catalog.find_grade(name).band_life
    assert life is not None
    assert life.low == pytest.approx(low_in2 * CM2_PER_IN2)
    assert life.high == pytest.approx(high_in2 * CM2_PER_IN2)
    assert life.confidence is LOW


def test_what_is_not_metal_has_no_area_rate(catalog: Catalog) -> None:
    for grade in catalog.grades:
        assert (grade.rate_bimetal is None) == (grade.family == "non-metal")


@pytest.mark.parametrize(("name", "low", "high"), [("acrylic", 2300, 7500)])
def test_acrylic(catalog: Catalog, name: str, low: float, high: float) -> None:
    """Acrylic fabrication manual, band sawing: 2300 to 7500 ft/min."""
    speed = catalog.find_grade(name).band_speed
    assert speed.low / FPM == pytest.approx(low)
    assert speed.high / FPM == pytest.approx(high)
    assert speed.confidence is Confidence.READ


@pytest.mark.parametrize(
    ("name", "kg_per_m3"),
    [
        ("1018", 7850),
        ("304", 7900),
        ("316L", 8000),
        ("430", 7700),
        ("6061", 2700),
        ("Ti-6Al-4V", 4430),
        ("N07718", 8190),
    ],
)
def test_densities(catalog: Catalog, name: str, kg_per_m3: float) -> None:
    """EN 1993-1-1 (steel), EN 10088-1 (stainless), EN 1999-1-1 (aluminium), else by grade; from memory."""
    density = catalog.find_grade(name).density_kg_per_m3
    assert density.value == kg_per_m3
    assert density.high - density.low <= 0.03 * density.value
    assert density.confidence in (Confidence.MEMORY_GOOD, Confidence.MEMORY)

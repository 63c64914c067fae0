"""Bands and demo saws hang together."""

import math

import pytest

from kerfsmith.catalog.band import Edge, Pitch
from kerfsmith.catalog.catalog import Catalog
from kerfsmith.catalog.figure import Confidence
from kerfsmith.catalog.saw import FeedControl, SawSheet


def test_the_crib_is_wide(catalog: Catalog) -> None:
    assert len(catalog.bands) >= 60
    assert {band.edge for band in catalog.bands} == set(Edge)


@pytest.mark.parametrize(
    ("length_in", "pitch", "teeth"),
    [(0.25, (10, 14), 3.0), (0.75, (6, 10), 6.0), (1.25, (4, 6), 6.25), (4, (3, 4), 14.0), (8, (2, 3), 20.0)],
)
def test_published_pitch_points(
    catalog: Catalog, length_in: float, pitch: tuple[float, float], teeth: float
) -> None:
    """Machinery's Handbook 31, p. 1245: pitch named for each length of cut; the crib holds each of them."""
    assert Pitch(*pitch).mean_tpi * length_in == pytest.approx(teeth, abs=0.01)
    assert any(band.pitch == Pitch(*pitch) and band.edge is Edge.BIMETAL for band in catalog.bands)
    points = {point.length_mm: (point.coarse_tpi, point.fine_tpi) for point in catalog.corrections.size}
    assert points[length_in * 25.4] == pitch


def test_kerf_leaves_side_clearance(catalog: Catalog) -> None:
    """Side clearance is set width less thickness (NAVEDTRA 14119): a band without any would bind."""
    for band in catalog.bands:
        clearance = band.kerf.low - band.thickness_mm
        assert 0.1 <= clearance <= 1.3
        assert band.kerf.confidence.is_low
        assert band.price_per_m.confidence is Confidence.MEMORY_LOW


def test_carbide_cuts_no_narrower_than_bimetal_of_its_size(catalog: Catalog) -> None:
    bimetal = {(b.width_mm, b.thickness_mm): b.kerf.value for b in catalog.bands if b.edge is Edge.BIMETAL}
    for band in catalog.bands:
        if band.edge is Edge.CARBIDE:
            assert band.kerf.value > bimetal[band.width_mm, band.thickness_mm]


def test_three_demo_saws_that_differ(catalog: Catalog) -> None:
    assert len(catalog.saws) == 3
    assert len({saw.feed_control for saw in catalog.saws}) == 3
    assert len({saw.band_width_mm for saw in catalog.saws}) == 3
    assert {saw.feed_control for saw in catalog.saws} <= set(FeedControl)


def saws() -> list[str]:
    return ["north", "yard", "light-metal"]


@pytest.mark.parametrize("name", saws())
def test_a_saw_has_bands_to_run(catalog: Catalog, name: str) -> None:
    saw = catalog.find_saw(name)
    fitting = [band for band in catalog.bands if band.width_mm == saw.band_width_mm]
    assert len(fitting) >= 8


@pytest.mark.parametrize("name", saws())
def test_a_sheet_is_physically_consistent(catalog: Catalog, name: str) -> None:
    saw = catalog.find_saw(name)
    _band_goes_round(saw)
    assert 350 <= saw.wheel_diameter_mm / saw.band_thickness_mm <= 550
    widest = max(saw.capacities[0].rect_width_mm, saw.capacities[0].round_mm)
    assert saw.guide_span_max_mm >= widest
    assert saw.head_travel_mm >= saw.capacities[0].rect_height_mm
    assert all(
        one.angle_deg < other.angle_deg
        for one, other in zip(saw.capacities, saw.capacities[1:], strict=False)
    )
    assert saw.cycle.index_mm_per_s > 0


def _band_goes_round(saw: SawSheet) -> None:
    """Equal wheels: band length = one circumference + twice the centre distance (NAVEDTRA 14043)."""
    centres = (saw.band_length_mm - math.pi * saw.wheel_diameter_mm) / 2
    assert centres > saw.guide_span_max_mm + saw.wheel_diameter_mm / 2


@pytest.mark.parametrize("name", saws())
def test_mitre_rows_shrink_with_the_angle(catalog: Catalog, name: str) -> None:
    """Across a mitre the work is longer by 1/cos: no row may claim more than the square cut allows for."""
    saw = catalog.find_saw(name)
    square = saw.capacities[0]
    for row in saw.capacities[1:]:
        stretch = 1 / math.cos(math.radians(row.angle_deg))
        assert row.rect_width_mm * stretch <= square.rect_width_mm * 1.02
        assert row.round_mm <= square.round_mm
        assert row.rect_height_mm <= square.rect_height_mm


def test_saws_name_only_known_groups(catalog: Catalog) -> None:
    groups = {grade.group for grade in catalog.grades}
    for saw in catalog.saws:
        assert set(saw.materials) <= groups


def test_find_by_name_and_id(catalog: Catalog) -> None:
    assert catalog.find_saw("North saw") is catalog.find_saw("north")
    assert str(catalog.find_band("b34-4/6").pitch) == "4/6"

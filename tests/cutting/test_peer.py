"""The engine against a cut written apart and plainly: shapely's chords, halving for power, scipy's quad.

Sections of straight sides only, so that the peer's polygon is the section itself; the benchmark does the
round ones.
"""

from dataclasses import replace

import pytest
from benchmarks.cutting.peer import PlainCut
from benchmarks.cutting.run import numbers_of
from tests.cutting.rig import work

from kerfsmith.catalog.catalog import Catalog
from kerfsmith.cutting.condition import AS_USUAL, BandState, Condition
from kerfsmith.cutting.set_up import Try, figures_for
from kerfsmith.cutting.speed import band_speed
from kerfsmith.cutting.through_cut import passage
from kerfsmith.geometry.shapes import Angle, Beam, Channel, Hexagon, RectTube, Shape, Square

CASES: list[tuple[Shape, str, str | None]] = [
    (Square(90), "4140", "on the corner"),
    (Hexagon(60), "304", None),
    (RectTube(150, 100, 8), "S355J2", None),
    (Beam(310, 165, 9.7, 15.4), "A36", None),
    (Channel(200, 75, 8.5, 11.5), "Ti-6Al-4V", None),
    (Angle(100, 100, 10), "6061", None),
]


@pytest.mark.parametrize("motor_kw", [7.5, 0.3])
@pytest.mark.parametrize(
    ("shape", "grade", "lie"), CASES, ids=lambda value: getattr(value, "kind", str(value))
)
def test_time_agrees_with_the_plain_peer(
    catalog: Catalog, shape: Shape, grade: str, lie: str | None, motor_kw: float
) -> None:
    of, metal = work(shape, lie), catalog.find_grade(grade)
    saw, band = replace(catalog.find_saw("yard"), motor_kw=motor_kw), catalog.find_band("B54-3/4")
    condition = AS_USUAL if motor_kw > 1 else Condition(band=BandState.BREAK_IN)
    assert band.pitch is not None
    speed = band_speed(metal, of, band, saw, catalog.corrections, condition)
    figures = figures_for(metal, of, saw, (Try(band, speed, speed.used),), catalog.corrections, condition)
    plain = PlainCut(of.scan.outline, numbers_of(figures), per_arc=1).minutes(1e-8)
    found = float(passage(figures, of, band.pitch.coarse_mm, energy=False).minutes[0])
    assert found == pytest.approx(plain, rel=1e-6)

"""Speed, teeth, tooth load, power and gullet against the handbook's own examples and sums worked by hand.

Sources: Machinery's Handbook, 31st ed. (2020), p. 1245 (speeds, size factors, dry and carbon bands) and p.
1147; NAVEDTRA 14119 (two teeth); Machining Fundamentals (2019) p. 167 (three teeth); VDI 3323 (kc1.1, mc).
The rest are identities, worked with a pocket calculator.
"""

import math
from dataclasses import replace

import numpy as np
import pytest
from tests.cutting.rig import COARSE, FOOT_PER_MIN, INCH, band, figures, minutes, open_saw, work

from kerfsmith.catalog.band import Edge
from kerfsmith.catalog.catalog import Catalog
from kerfsmith.catalog.section import Section
from kerfsmith.cutting.candidates import least_teeth, printed_pitch_tpi
from kerfsmith.cutting.choose import set_cut
from kerfsmith.cutting.condition import AS_USUAL, Condition
from kerfsmith.cutting.figures import PowerFigures
from kerfsmith.cutting.limits import allowed_feed, cutting_powers
from kerfsmith.cutting.models import gullet, tooth_load
from kerfsmith.cutting.models.teeth_in_cut import TeethClass, few_class, many_class, teeth
from kerfsmith.cutting.setting import CutSetting
from kerfsmith.cutting.speed import band_speed
from kerfsmith.geometry.mitre import kerf_along_bar_mm
from kerfsmith.geometry.shapes import Round, RoundTube, Square

SQ_INCH = INCH**2


def _fpm(
    catalog: Catalog, grade: str, mean_in: float, edge: Edge = Edge.BIMETAL, condition: Condition = AS_USUAL
) -> float:
    """Band speed in feet a minute for a square whose side is the mean length of cut."""
    one = band(3, 4, edge=edge)
    of = work(Square(mean_in * INCH))
    speed = band_speed(catalog.find_grade(grade), of, one, open_saw(catalog), catalog.corrections, condition)
    return speed.used / FOOT_PER_MIN


@pytest.mark.parametrize(
    ("grade", "printed"),
    [
        ("12L14", 425),
        ("1018", 300),
        ("4140", 250),
        ("1045", 220),
        ("H-13", 190),
        ("E52100", 160),
        ("D-2", 90),
        ("T-15", 70),
        ("Ti-6Al-4V", 70),
        ("304", 120),
    ],
)
def test_speed_of_four_inches_is_the_printed_one(catalog: Catalog, grade: str, printed: float) -> None:
    assert _fpm(catalog, grade, 4) == pytest.approx(printed, rel=1e-9)


@pytest.mark.parametrize(
    ("mean_in", "printed"), [(0.25, 287.5), (0.75, 280), (1.25, 275), (4, 250), (8, 220)]
)
def test_size_correction_for_4140(catalog: Catalog, mean_in: float, printed: float) -> None:
    assert _fpm(catalog, "4140", mean_in) == pytest.approx(printed, abs=0.5)


def test_a_four_inch_round_runs_at_the_printed_speed_and_pitch(catalog: Catalog) -> None:
    """The handbook's base case: 4 in, 3/4 pitch, 250 ft/min for 4140."""
    bimetal = [each for each in catalog.bands if each.edge is Edge.BIMETAL]
    section, saw = Section("bar", Round(4 * INCH)), open_saw(catalog)
    found = set_cut(catalog.find_grade("4140"), section, saw, bimetal, catalog.corrections)
    assert isinstance(found, CutSetting)
    assert found.band_speed_m_per_min / FOOT_PER_MIN == pytest.approx(250, rel=1e-6)
    assert str(found.band.pitch) == "3/4"


def test_dry_and_carbon_band_for_4140(catalog: Catalog) -> None:
    assert 125 <= _fpm(catalog, "4140", 4, condition=Condition(coolant=False)) <= 175
    assert _fpm(catalog, "4140", 4, Edge.CARBON) == pytest.approx(125, rel=1e-9)


def test_the_handbooks_tube(catalog: Catalog) -> None:
    """304 tube, 4 in outside and 3 in inside: area, mean length of cut, pitch and speed."""
    tube = RoundTube(4 * INCH, 0.5 * INCH)
    of = work(tube)
    assert of.area_mm2 / SQ_INCH == pytest.approx(5.498, abs=0.001)
    assert of.mean_contact_mm / INCH == pytest.approx(1.374, abs=0.001)
    saw = open_saw(catalog)
    found = set_cut(catalog.find_grade("304"), Section("tube", tube), saw, catalog.bands, catalog.corrections)
    assert isinstance(found, CutSetting)
    assert str(found.band.pitch) == "4/6"
    assert found.band_speed_m_per_min / FOOT_PER_MIN == pytest.approx(132, abs=2)
    assert minutes(figures(rate=4 * SQ_INCH / 100), of) == pytest.approx(1.374, abs=0.001)


@pytest.mark.parametrize(
    ("length_in", "coarse", "fine", "count"),
    [(0.25, 10, 14, 3.0), (0.75, 6, 10, 6.0), (1.25, 4, 6, 6.25), (4, 3, 4, 14.0), (8, 2, 3, 20.0)],
)
def test_teeth_at_the_printed_pitches(
    catalog: Catalog, length_in: float, coarse: float, fine: float, count: float
) -> None:
    pitch = band(coarse, fine).pitch
    assert pitch is not None
    found = teeth(length_in * INCH, pitch.mean_mm)
    assert found == pytest.approx(count, abs=0.01)
    assert few_class(found) is not TeethClass.TOO_FEW
    assert many_class(found, soft=False) is TeethClass.RIGHT
    assert printed_pitch_tpi(length_in * INCH, catalog.corrections) == pytest.approx(pitch.mean_tpi)


@pytest.mark.parametrize(
    ("wall_in", "tpi", "expected"),
    [(0.125, 3.5, TeethClass.TOO_FEW), (0.7, 3.5, TeethClass.FEW), (1.0, 3.5, TeethClass.RIGHT)],
)
def test_class_of_few_teeth(wall_in: float, tpi: float, expected: TeethClass) -> None:
    assert few_class(teeth(wall_in * INCH, INCH / tpi)) is expected


def test_class_of_many_teeth() -> None:
    """Sources disagree on the ceiling: 14 is taken for soft metal, 24 for any."""
    assert many_class(15, soft=True) is TeethClass.MANY
    assert many_class(15, soft=False) is TeethClass.RIGHT
    assert many_class(25, soft=False) is TeethClass.MANY


def test_four_inch_round_of_1045_at_eight_square_inches_a_minute() -> None:
    """W2: time, mean feed, and mean chip at 3.5 teeth an inch and 220 ft/min."""
    of = work(Round(4 * INCH))
    assert of.area_mm2 / SQ_INCH == pytest.approx(12.566, abs=0.001)
    time = minutes(figures(rate=8 * SQ_INCH / 100), of)
    assert time == pytest.approx(1.571, rel=5e-4)
    mean_feed = of.travel_mm / time
    assert mean_feed / INCH == pytest.approx(2.546, rel=5e-4)
    assert tooth_load.chip_um(mean_feed, INCH / 3.5, 220 * FOOT_PER_MIN) == pytest.approx(7.00, abs=0.01)


def test_power_and_force_of_that_cut_by_both_methods() -> None:
    """W3: kerf 0.062 in. Kienzle group 2 gives 605 W and 542 N; unit power 0.82 hp/(in3/min) with C = 1.6,
    0.651 hp.
    """
    speed, kerf = 220 * FOOT_PER_MIN, 0.062 * INCH
    figs = figures(
        speed=speed, pitch=INCH / 3.5, kerf=kerf, power=PowerFigures(((1500, 0.22),), 0.82 * 2.73030)
    )
    # The mean cut held everywhere: mean contact and mean feed.
    of = work(Square(math.pi / 4 * 4 * INCH))
    chords = of.chords_at(np.array([10.0]), np.ones(1), COARSE)
    feed = np.array([[8 * SQ_INCH / of.mean_contact_mm]])
    assert tooth_load.removal_mm3_per_s(8 * SQ_INCH / 100, kerf) == pytest.approx(135.5, rel=5e-4)
    kienzle, unit = (float(each[0, 0]) for each in cutting_powers(figs.power, figs, chords, feed))
    assert kienzle == pytest.approx(0.605, rel=5e-3)
    assert kienzle * 60_000 / speed == pytest.approx(542, rel=5e-3)
    assert unit / 0.745700 == pytest.approx(0.651, rel=5e-3)
    assert kienzle / unit == pytest.approx(1.25, abs=0.01)


def test_hundred_millimetre_round_at_fifty_square_centimetres_a_minute() -> None:
    """W4."""
    of = work(Round(100))
    assert of.area_mm2 / 100 == pytest.approx(78.54, abs=0.005)
    assert minutes(figures(rate=50), of) == pytest.approx(1.571, abs=0.0005)


def test_chip_of_eighty_metres_and_sixty_millimetres_a_minute() -> None:
    """W5."""
    assert pytest.approx(7.257, abs=0.0005) == INCH / 3.5
    assert tooth_load.chip_um(60.0, INCH / 3.5, 80.0) == pytest.approx(5.44, abs=0.005)
    assert tooth_load.feed_mm_per_min(5.442857, INCH / 3.5, 80.0) == pytest.approx(60, abs=1e-3)


def test_gullet_of_that_cut() -> None:
    """W6: K = 5, A = 0.3 p^2: 22 % full at 7 um, full at 31 um, by the chips' area 0.708 of 15.8 mm2 and K
    times it.
    """
    pitch = INCH / 3.5
    assert gullet.gullet_area_mm2(pitch) == pytest.approx(15.8, abs=0.05)
    assert pytest.approx(0.708, abs=0.0005) == 0.00697 * 101.6
    assert gullet.fill(5, 0.00697, 101.6, pitch) == pytest.approx(0.22, abs=0.005)
    assert gullet.fill(5, 0.031, 101.6, pitch) == pytest.approx(1, abs=0.005)


def test_the_gullet_limit_stops_at_the_same_chip() -> None:
    """W6 through the engine: with the mean pitch as finest and all of the gullet allowed, 31 um rules."""
    pitch = INCH / 3.5
    figs = replace(figures(fill_most=1.0, toothed=True, fine=pitch, chip_most=1e6), coarse=np.array([[1e-3]]))
    of = work(Square(101.6))
    feed, _ = allowed_feed(figs, of.chords_at(np.array([50.0]), np.ones(1), COARSE))
    assert tooth_load.chip_um(float(feed[0, 0]), pitch, 80.0) == pytest.approx(31.1, abs=0.05)


def test_mitre_of_a_hundred_millimetre_square() -> None:
    """W9: 45 degrees: 141.4 cm2, and 2.263 mm of bar for a kerf of 1.6 mm."""
    of = work(Square(100), angle_deg=45)
    assert of.area_mm2 / 100 == pytest.approx(141.4, abs=0.05)
    assert kerf_along_bar_mm(1.6, 45) == pytest.approx(2.263, abs=0.0005)
    assert minutes(figures(rate=50), of) == pytest.approx(141.42 / 50, rel=1e-4)


def test_thin_wall_example(catalog: Catalog) -> None:
    """4 in by 1/8 in wall: the mean length asks for 8/12, three teeth in the wall for 24 TPI: the finer is
    preferred.
    """
    of = work(RoundTube(4 * INCH, 0.125 * INCH))
    assert of.mean_contact_mm / INCH == pytest.approx(0.38, abs=0.005)
    assert of.lasting_chord_mm == pytest.approx(0.125 * INCH, rel=0.02)
    assert least_teeth(of, band(8, 12)) < 2 <= least_teeth(of, band(18, 18))

"""Cuts whose time is known in closed form, and the same cuts by adaptive quadrature over shapely's chords.

Round of radius r: A = pi r^2, mean chord pi r / 2. At a constant area rate t = A / R; at a constant feed t =
H / vf. Where a chip rules near entry and exit and a rate between, the time splits at the chord where the two
are equal.
"""

import math

import numpy as np
import pytest
from scipy.integrate import quad
from shapely import LineString, unary_union  # type: ignore[import-untyped]  # shapely ships no types
from tests.cutting.rig import COARSE, feed_at, figures, minutes, work
from tests.geometry.polygons import polygons

from kerfsmith.catalog.saw import FeedControl
from kerfsmith.cutting.control import law_for
from kerfsmith.cutting.figures import PowerFigures
from kerfsmith.cutting.through_cut import passage
from kerfsmith.cutting.work import Work
from kerfsmith.geometry.shapes import Beam, Flat, Hexagon, RectTube, Round, RoundTube, Shape, Square

SHAPES: list[Shape] = [
    Round(100),
    Square(80, 6),
    Flat(120, 30),
    Hexagon(60),
    RoundTube(114.3, 6.02),
    RectTube(150, 100, 8, 16, 8),
    Beam(310, 165, 5.8, 9.7, 8),
]


@pytest.mark.parametrize("shape", SHAPES, ids=lambda shape: shape.kind)
def test_time_at_a_constant_area_rate_is_area_over_rate(shape: Shape) -> None:
    of = work(shape)
    assert minutes(figures(rate=42), of) == pytest.approx(of.area_mm2 / 4200, rel=1e-9)


@pytest.mark.parametrize("shape", SHAPES, ids=lambda shape: shape.kind)
def test_time_at_a_constant_chip_is_depth_over_feed(shape: Shape) -> None:
    of = work(shape)
    feed = 7.0 * 80 / (25.4 / 3.5)
    assert minutes(figures(chip_most=7.0), of) == pytest.approx(of.travel_mm / feed, rel=1e-12)


def test_round_area_mean_chord_and_mean_of_the_tube() -> None:
    of = work(Round(90))
    assert of.area_mm2 == pytest.approx(math.pi * 45**2, rel=1e-12)
    assert of.mean_contact_mm == pytest.approx(math.pi / 2 * 45, rel=1e-12)
    tube = work(RoundTube(100, 10))
    assert tube.mean_contact_mm == pytest.approx(math.pi * (50**2 - 40**2) / 100, rel=1e-12)


def test_round_with_chip_at_its_ends_and_rate_between() -> None:
    """Feed f while the chord is below c = R / f, rate R above: with half-depth a where 2 sqrt(r^2 - a^2) = c,
    t = 2 (r - a) / f + A(-a, a) / R, and A(-a, a) = 2 (a sqrt(r^2 - a^2) + r^2 asin(a / r)).
    """
    r, rate, chip = 50.0, 5000.0, 7.0
    feed = chip * 80 / (25.4 / 3.5)
    half = rate / feed / 2
    a = math.sqrt(r * r - half * half)
    middle = 2 * (a * half + r * r * math.asin(a / r))
    expected = 2 * (r - a) / feed + middle / rate
    found = minutes(figures(rate=rate / 100, chip_most=chip), work(Round(2 * r)))
    assert found == pytest.approx(expected, rel=1e-9)


def test_diamond_held_back_where_few_teeth_share_its_corner() -> None:
    """A square of side s on its corner, chip limited: n = 2 y / p_c below 3; the chip rises in a line from
    the count one gullet depth in, so t = 2 [g / f(g) + int_g^y3 dy / f(y) + (H/2 - y3) / f3], f(y) = (c0 + c1
    y) v / p.
    """
    side, least, most, speed, pitch = 100.0, 3.0, 12.0, 80.0, 25.4 / 3.5
    per_um = speed / pitch
    g, y3, half = 0.4 * COARSE, 1.5 * COARSE, side / math.sqrt(2)
    slope = (most - least) / 3 * 2 / COARSE * per_um

    def at(y: float) -> float:
        return least * per_um + slope * y

    between = math.log(at(y3) / at(g)) / slope
    expected = 2 * (g / at(g) + between + (half - y3) / (most * per_um))
    figs = figures(chip_least=least, chip_most=most, toothed=True)
    assert minutes(figs, work(Square(side), "on the corner")) == pytest.approx(expected, rel=1e-7)


def _energy(of: Work, power: PowerFigures) -> float:
    return float(passage(figures(rate=40, power=power), of, COARSE).kw_minutes[0])


def test_energy_where_the_force_does_not_depend_on_the_chip() -> None:
    """With mc = 0 each mm3 costs kc: energy = kc A k, whatever the section and feed."""
    of = work(RoundTube(114.3, 6.02))
    expected_kj = 2000 * of.area_mm2 * 1.6 / 1e6
    assert _energy(of, PowerFigures(((2000, 0.0),), None)) * 60 == pytest.approx(expected_kj, rel=1e-9)


def test_time_on_a_motor_that_rules_everywhere() -> None:
    """Kienzle with mc = 0 and power alone: kc W k vf = P, so t = kc k A / P."""
    of = work(Hexagon(60))
    figs = figures(motor_kw=0.5, power=PowerFigures(((2000, 0.0),), None))
    assert minutes(figs, of) * 60 == pytest.approx(2000 * 1.6 * of.area_mm2 / 500 / 1000, rel=1e-9)


def _limits(name: str) -> dict[str, object]:
    power = PowerFigures(((2110, 0.22), (1245, 0.24)), 1.77)
    return {
        "chip and rate": {"chip_least": 3, "chip_most": 12, "rate": 50, "rate_most": 60, "toothed": True},
        "power": {"chip_least": 3, "chip_most": 12, "toothed": True, "motor_kw": 0.6, "power": power},
        "gullet": {
            "chip_least": 3,
            "chip_most": 40,
            "toothed": True,
            "fill_most": 0.6,
            "rate": 400,
            "rate_most": 400,
        },
        "band": {"chip_most": 60, "band_n": 400, "power": power, "feed_most": 150},
    }[name]  # type: ignore[return-value]  # each is a dict of figures


@pytest.mark.parametrize("name", ["chip and rate", "power", "gullet", "band"])
@pytest.mark.parametrize("shape", SHAPES, ids=lambda shape: shape.kind)
def test_time_agrees_with_adaptive_quadrature(shape: Shape, name: str) -> None:
    """scipy's quad over the allowed feed, one depth at a time, told only where the panels end."""
    of = work(shape)
    figs = figures(**_limits(name))  # type: ignore[arg-type]  # figures by name
    at = feed_at(figs, of)
    upper, lower = of.panels(COARSE, 16)
    total = sum(
        quad(lambda depth: 1 / at(depth), a, b, epsabs=1e-12, epsrel=1e-9, limit=200)[0]
        for a, b in zip(upper.tolist(), lower.tolist(), strict=True)
    )
    assert minutes(figs, of) == pytest.approx(total, rel=1e-6)


@pytest.mark.parametrize("shape", SHAPES, ids=lambda shape: shape.kind)
def test_contact_is_what_shapely_cuts(shape: Shape) -> None:
    """Chords of the section against a polygon of many corners cut by a line."""
    of = work(shape)
    solid = unary_union(polygons(of.scan.outline, 4000))
    x0, y0, x1, y1 = of.scan.outline.bounds
    for share in (0.03, 0.21, 0.5, 0.77):
        depth = share * (y1 - y0)
        line = LineString([(x0 - 1, y1 - depth), (x1 + 1, y1 - depth)])
        assert float(of.scan.contact_mm(depth)) == pytest.approx(solid.intersection(line).length, rel=1e-4)


def test_a_square_gains_nothing_from_feed_control() -> None:
    of = work(Square(100))
    figs = figures(chip_most=12, rate=50)
    times = [minutes(figs, of, law_for(control, figs, of, COARSE)) for control in FeedControl]
    assert times == pytest.approx([times[0]] * 4, rel=3e-3)


def test_a_round_at_a_constant_feed_takes_four_over_pi_as_long_as_at_a_constant_rate() -> None:
    """The feed that the widest chord allows is R / D; D / (R / D) against pi D^2 / 4 R."""
    of = work(Round(100))
    figs = figures(rate=50)
    held = minutes(figs, of, law_for(FeedControl.CONSTANT_FEED, figs, of, COARSE))
    assert held / minutes(figs, of) == pytest.approx(4 / math.pi, rel=1e-6)
    rate = minutes(figs, of, law_for(FeedControl.CONSTANT_AREA_RATE, figs, of, COARSE))
    assert rate == pytest.approx(minutes(figs, of), rel=0.02)


@pytest.mark.parametrize("control", [each for each in FeedControl if each is not FeedControl.FOLLOWS_CUT])
@pytest.mark.parametrize("shape", SHAPES, ids=lambda shape: shape.kind)
def test_a_held_quantity_breaks_no_limit_and_is_never_quicker(shape: Shape, control: FeedControl) -> None:
    of = work(shape)
    figs = figures(
        chip_least=3,
        chip_most=12,
        rate=50,
        rate_most=60,
        toothed=True,
        power=PowerFigures(((1775, 0.24),), 2),
    )
    law = law_for(control, figs, of, COARSE)
    depths = np.linspace(0.001, 0.999, 3001) * of.travel_mm
    chords = of.chords_at(depths, np.ones_like(depths), COARSE)
    allowed = law_for(FeedControl.FOLLOWS_CUT, figs, of, COARSE)(figs, chords)[0]
    held = law(figs, chords)[0]
    assert (held <= allowed * 1.002).all()
    assert minutes(figs, of, law) >= minutes(figs, of) * 0.999

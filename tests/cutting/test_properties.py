"""Laws that hold for every section and every set of figures, on random ones."""

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.cutting.rig import COARSE, figures, minutes, work
from tests.geometry.polygons import outlines

from kerfsmith.catalog.saw import FeedControl
from kerfsmith.cutting.control import law_for
from kerfsmith.cutting.figures import ARRAYS, Figures, PowerFigures
from kerfsmith.cutting.limits import allowed_feed
from kerfsmith.cutting.through_cut import passage
from kerfsmith.cutting.work import Work
from kerfsmith.geometry.outline import Outline
from kerfsmith.geometry.scanline import scan
from kerfsmith.geometry.shapes import Beam, Hexagon, Round, RoundTube, Shape, Square

SECTIONS = [
    work(Round(76)),
    work(Square(60), "on the corner"),
    work(RoundTube(114.3, 6.02)),
    work(Hexagon(50)),
    work(Beam(200, 100, 5.6, 8.5, 12)),
]

TIGHTER = ("rate", "rate_most", "chip_most", "fill_most", "band_n", "motor_kw", "saw_n", "feed_most")


@st.composite
def random_figures(draw: st.DrawFn) -> Figures:
    """Figures in which any limit may rule."""

    def some(low: float, high: float) -> float:
        return draw(st.floats(low, high))

    rate = some(5, 400)
    return figures(
        speed=some(20, 300),
        kerf=some(1.2, 3),
        rate=rate,
        rate_most=rate * some(1, 1.6),
        chip_least=some(1, 5),
        chip_most=some(6, 50),
        fill_most=some(0.3, 0.8),
        bulking=some(2, 6),
        band_n=some(200, 5000),
        motor_kw=some(0.2, 8),
        saw_n=some(200, 5000),
        feed_most=some(20, 800),
        power=PowerFigures(((some(600, 3300), some(0.2, 0.28)),), some(0.3, 4)),
        toothed=True,
    )


@settings(max_examples=60, deadline=None)
@given(
    figs=random_figures(),
    which=st.sampled_from(TIGHTER),
    by=st.floats(0.3, 0.99),
    of=st.sampled_from(SECTIONS),
)
def test_time_never_falls_when_a_limit_is_tightened(figs: Figures, which: str, by: float, of: Work) -> None:
    tighter = replace(figs, **{which: getattr(figs, which) * by})
    if which == "chip_most":
        tighter = replace(tighter, chip_least=np.minimum(figs.chip_least, tighter.chip_most))
    assert minutes(tighter, of) >= minutes(figs, of) * (1 - 1e-6)


@settings(max_examples=40, deadline=None)
@given(figs=random_figures(), by=st.floats(1.01, 2), of=st.sampled_from(SECTIONS))
def test_time_never_falls_where_fewer_teeth_share_the_chord(figs: Figures, by: float, of: Work) -> None:
    """The limit by teeth in the cut is tightened by a coarser tooth: the count falls, the chip with it."""
    assert minutes(replace(figs, coarse=figs.coarse * by), of) >= minutes(figs, of) * (1 - 1e-6)


@settings(max_examples=40, deadline=None)
@given(figs=random_figures(), by=st.floats(0.3, 0.99), of=st.sampled_from(SECTIONS))
def test_a_lower_least_chip_never_lets_the_rate_give_way_further(figs: Figures, by: float, of: Work) -> None:
    """The least chip is no limit from above: it lets the rate give way. Where few teeth don't read it too,
    time never falls when it is lowered.
    """
    bare = replace(figs, toothed=False)
    assert minutes(replace(bare, chip_least=bare.chip_least * by), of) >= minutes(bare, of) * (1 - 1e-6)


@settings(max_examples=40, deadline=None)
@given(
    figs=random_figures(),
    which=st.sampled_from(TIGHTER),
    by=st.floats(0.3, 0.95),
    of=st.sampled_from(SECTIONS),
    control=st.sampled_from([each for each in FeedControl if each is not FeedControl.FOLLOWS_CUT]),
)
def test_nor_where_a_saw_holds_one_feed_force_or_rate(
    figs: Figures, which: str, by: float, of: Work, control: FeedControl
) -> None:
    """Exactly for a held feed; cap and level of a held force or rate are found by trying, to a hundredth."""
    tighter = replace(figs, **{which: getattr(figs, which) * by})
    if which == "chip_most":
        tighter = replace(tighter, chip_least=np.minimum(figs.chip_least, tighter.chip_most))
    before, after = (minutes(one, of, law_for(control, one, of, COARSE)) for one in (figs, tighter))
    open_by = 1e-6 if control is FeedControl.CONSTANT_FEED else 1.5e-2
    assert after >= before * (1 - open_by)


@settings(max_examples=60, deadline=None)
@given(figs=random_figures(), of=st.sampled_from(SECTIONS))
def test_no_limit_is_passed_and_one_is_always_reached(figs: Figures, of: Work) -> None:
    chords = of.nodes(COARSE)
    feed, rule = allowed_feed(figs, chords)
    assert np.isfinite(feed).all()
    assert (feed > 0).all()
    chip = feed * figs.pitch / figs.speed
    assert (chip <= figs.chip_most * (1 + 1e-12)).all()
    assert (feed <= figs.feed_most).all()
    assert (feed * chords.contact_mm / 100 <= figs.rate_most * (1 + 1e-9)).all()
    assert set(np.unique(rule)) <= set(range(9))


@settings(max_examples=40, deadline=None)
@given(figs=random_figures(), of=st.sampled_from(SECTIONS), by=st.floats(1.1, 3))
def test_everything_that_allows_feed_in_proportion_to_speed_scales_time(
    figs: Figures, of: Work, by: float
) -> None:
    """Speed, rates, power and the saw's feed times c: chip and force as before, so the time is over c."""
    faster = replace(
        figs,
        **{
            name: getattr(figs, name) * by for name in ("speed", "rate", "rate_most", "motor_kw", "feed_most")
        },
    )
    assert minutes(faster, of) == pytest.approx(minutes(figs, of) / by, rel=1e-6)


def _grown(of: Round | Hexagon | RoundTube, by: float) -> Shape:
    match of:
        case Round():
            return Round(of.diameter_mm * by)
        case Hexagon():
            return Hexagon(of.across_flats_mm * by)
    return RoundTube(of.outer_mm * by, of.wall_mm * by)


@settings(max_examples=25, deadline=None)
@given(
    figs=random_figures(),
    of=st.sampled_from([Round(60.0), Hexagon(44.0), RoundTube(88.9, 7.62)]),
    by=st.floats(1.2, 3),
)
def test_a_section_seen_through_a_glass_takes_longer_in_proportion(
    figs: Figures, of: Round | Hexagon | RoundTube, by: float
) -> None:
    """Section, pitch and chip times c at the same band speed: the feed stays, rates grow by c, time by c.

    Power is left out, whose thin-chip law knows an absolute length.
    """
    bare = replace(figs, power=PowerFigures((), None))
    grown = replace(
        bare,
        **{
            name: getattr(bare, name) * by
            for name in ("pitch", "fine", "coarse", "chip_least", "chip_most", "rate", "rate_most")
        },
    )
    small = passage(bare, work(of), COARSE).minutes[0]
    large = passage(grown, work(_grown(of, by)), COARSE * by).minutes[0]
    assert large / by == pytest.approx(small, rel=1e-5)


@settings(max_examples=25, deadline=None)
@given(outline=outlines(), figs=random_figures())
def test_area_is_the_integral_of_contact_and_the_rate_gives_it_back(outline: Outline, figs: Figures) -> None:
    of = Work(scan(outline))
    only = figures(rate=float(figs.rate[0, 0]))
    assert minutes(only, of) == pytest.approx(outline.area_mm2 / 100 / float(figs.rate[0, 0]), rel=1e-6)


@settings(max_examples=25, deadline=None)
@given(figs=random_figures(), of=st.sampled_from(SECTIONS))
def test_many_settings_at_once_are_the_same_as_one_by_one(figs: Figures, of: Work) -> None:
    """Rows of a table of settings don't know of one another."""
    shares = np.array([[0.6], [0.8], [1.0], [1.3]])
    rows = np.zeros(4, dtype=np.intp)
    many = replace(figs.take(rows), origin=None, speed=figs.speed * shares)
    together = passage(many, of, COARSE)
    for row in range(4):
        one = replace(many, **{name: getattr(many, name)[[row]] for name in ARRAYS})
        alone = passage(one, of, COARSE)
        assert together.minutes[row] == pytest.approx(alone.minutes[0], rel=1e-7)
        assert together.kw_minutes[row] == pytest.approx(alone.kw_minutes[0], rel=1e-6)


def test_a_change_of_formula_between_two_nodes_is_found_more_than_once() -> None:
    """Few nodes and narrow bands of limits: still within 1e-5 of many nodes."""
    figs = figures(
        chip_least=3.0,
        chip_most=6.0,
        rate=46,
        rate_most=50,
        motor_kw=0.9,
        power=PowerFigures(((1775, 0.24),), 1.9),
        toothed=True,
    )
    for of in SECTIONS:
        coarse = passage(figs, of, COARSE, per_panel=8).minutes[0]
        fine = passage(figs, of, COARSE, per_panel=40).minutes[0]
        assert coarse == pytest.approx(fine, rel=1e-5)


@pytest.mark.parametrize("pattern", ["7 in hexagonal rows", "7 in staggered rows", "7 in one row"])
def test_where_two_rows_touch_a_bundle_is_entered_like_each_bar_alone(pattern: str) -> None:
    """At the plane where rounds of two rows touch their chords vanish, yet no edge drops into a gullet there.

    The least count in the bundle is that of one bar: its chord one gullet (0.4 p) in, 2 sqrt(d (D - d)).
    """
    bars, alone = work(Round(40), pattern, bundle=7), work(Round(40))
    depth = 0.4 * COARSE
    least = 2 * math.sqrt(depth * (40 - depth))
    for one in (bars, alone):
        nodes = one.nodes(COARSE)
        assert nodes.share_mm.min() == pytest.approx(least, rel=1e-9)
    if "one row" not in pattern:
        assert bars.nodes(COARSE).contact_mm.size > alone.nodes(COARSE).contact_mm.size

"""Pictures: places reckoned by hand, every limit told apart, nothing drawn out of its frame."""

import math
import re
from pathlib import Path

import pytest
from markupsafe import Markup
from tests.web import sample

from kerfsmith.catalog.section import Section
from kerfsmith.cutting.setting import Limit, Slice
from kerfsmith.geometry.mitre import canted
from kerfsmith.geometry.shapes import Beam, Flat, Round
from kerfsmith.units.length import Measure
from kerfsmith.web.drawing.bar import bar_strip, bar_words, runs
from kerfsmith.web.drawing.hatch import LIMIT_HATCH
from kerfsmith.web.drawing.scale import steps_between, tick_text, ticks
from kerfsmith.web.drawing.section import fit, section_drawing
from kerfsmith.web.drawing.svg import element
from kerfsmith.web.drawing.through_cut import stretches, through_cut
from kerfsmith.web.drawing.trade_off import Mark, trade_off_picture
from kerfsmith.web.reading import Light, Reading

METRIC = Reading(Measure.METRIC, Light.AUTO)
INCH = Reading(Measure.INCH, Light.AUTO)


def test_text_is_escaped_and_style_is_no_attribute_of_ours() -> None:
    drawn = element("text", "<b>&", x=1.0, aria_label='"')
    assert drawn == '<text x="1" aria-label="&#34;">&lt;b&gt;&amp;</text>'
    assert element("g", Markup("<path/>")) == "<g><path/></g>"


def test_a_bar_is_true_to_scale() -> None:
    # 1000 mm bar, facing 5 + kerf 1.8, then 2 x (200 + 1.8); by hand the second piece ends at 408.6 mm.
    bar = sample.bar("B", 1000, [("A", 200, 2)])
    run = runs(bar)[0]
    assert (run.start_um, run.end_um, run.count) == (6_800, 408_600, 2)
    drawn = bar_strip(bar, longest_um=2_000_000, grip_um=80_000, reading=METRIC, key="k")
    kerfs = re.findall(r'<rect x="([\d.]+)%" y="5" width="([\d.]+)%" height="30" class="bar-kerf"', drawn)
    places = [(float(x) - 0.1) / 99.8 * 2000 for x, _ in kerfs]
    assert places == pytest.approx([206.8, 408.6], abs=0.02)
    rest = re.search(r'<rect x="([\d.]+)%" y="5" width="([\d.]+)%" height="30" class="bar-rest"', drawn)
    assert rest is not None
    assert float(rest[2]) / 99.8 * 2000 == pytest.approx(589.6, abs=0.02)


def test_a_mitred_cut_slants_over_the_sections_width() -> None:
    # A 45 degree cut over 100 mm slants by 100 mm; the long point is where the piece ends.
    bar = sample.bar("B", 1000, [("A", 400, 1)], angles=(0.0, 45.0))
    drawn = bar_strip(bar, longest_um=1_000_000, grip_um=0, across_um=100_000, reading=METRIC, key="k")
    cuts = re.findall(r'<line x1="([\d.]+)%" y1="38" x2="([\d.]+)%" y2="2" class="bar-cut"', drawn)
    places = [[(float(x) - 0.1) / 99.8 * 1000 for x in cut] for cut in cuts]
    assert places == [pytest.approx([306.8, 406.8], abs=0.02)]


def test_a_bar_is_told_in_words() -> None:
    bar = sample.bar("B", 1000, [("A", 200, 2), ("C", 100, 1)], keep=False)
    assert bar_words(bar, METRIC) == (
        "Bar of 1000 mm; facing cut 5 mm; 2 × A, 200 mm; 1 × C, 100 mm; scrap 487.8 mm."
    )


def test_labels_stand_only_where_they_fit() -> None:
    bar = sample.bar("B", 6000, [("LONG-MARK-17", 30, 1), ("LONG-MARK-18", 3000, 1)])
    drawn = bar_strip(bar, longest_um=6_000_000, grip_um=80_000, reading=METRIC, key="k")
    texts = re.findall(r"<text[^>]*>([^<]*)</text>", drawn)
    assert "LONG-MARK-18" in texts
    assert "LONG-MARK-17" not in texts
    assert "LONG-MARK-17" in drawn  # but it is there in words


def test_every_limit_has_a_hatch_and_a_tint_of_its_own() -> None:
    assert set(LIMIT_HATCH) == set(Limit)
    assert len(set(LIMIT_HATCH.values())) == len(Limit)
    css = (Path(__file__).parents[2] / "src/kerfsmith/web/static/ink.css").read_text()
    for hatch in LIMIT_HATCH.values():
        assert f".tint-{hatch} " in css


@pytest.mark.parametrize("reading", [METRIC, INCH])
def test_a_section_stays_inside_its_frame(reading: Reading) -> None:
    for shape in (Round(10.0), Flat(600.0, 5.0), Round(431.8)):
        outline = shape.outline()
        frame = fit(outline, left=14, top=14, width=128, height=114)
        x0, y0, x1, y1 = outline.bounds
        (left, low), (right, top) = frame.point((x0, y0)), frame.point((x1, y1))
        assert left >= 13.99
        assert right <= 142.01
        assert top >= 13.99
        assert low <= 128.01
        assert frame.scale * (x1 - x0) == pytest.approx(right - left)
        drawn = section_drawing(outline, name="x", reading=reading, key="k")
        assert reading.bare_size(outline.width_mm) in drawn


def test_a_round_is_drawn_with_true_arcs() -> None:
    drawn = section_drawing(Round(100.0).outline(), name="x", reading=METRIC, key="k", width=262, height=256)
    # 200 px of room for 100 mm: an arc's radius is 100 px.
    assert re.search(r"A100 100 0 ", drawn)


def test_stretches_meet_half_way_and_fill_the_depth() -> None:
    def part(depth: float, limit: Limit) -> Slice:
        return Slice(depth, 10, 10, 3, 50, 20, 0.2, 1, 100, limit)

    slices = (
        part(5, Limit.GREATEST_CHIP),
        part(15, Limit.AREA_RATE),
        part(25, Limit.AREA_RATE),
        part(35, Limit.MOTOR_POWER),
    )
    found = stretches(slices, 40.0)
    assert [(one.limit, one.start_mm, one.end_mm) for one in found] == [
        (Limit.GREATEST_CHIP, 0.0, 10.0),
        (Limit.AREA_RATE, 10.0, 30.0),
        (Limit.MOTOR_POWER, 30.0, 40.0),
    ]


def test_the_cut_is_drawn_at_one_depth_scale_and_tells_its_limits() -> None:
    section = Section("round 100 mm", Round(100.0))
    setting = sample.setting(section)
    drawn = through_cut(section.shape.outline(), setting, name="x", reading=METRIC, key="k")
    for limit in {part.limit for part in setting.slices}:
        assert f">{limit}</text>" in drawn
    contact = re.search(r'<path d="M([^"]*)" class="profile contact"', drawn)
    assert contact is not None
    points = [tuple(map(float, point.split())) for point in contact[1].split("L")]
    # A round of 100 mm meets the band with 100 mm half way down: widest point at the middle of the chart.
    widest = max(points)
    assert widest[1] == pytest.approx((62 + 392) / 2, abs=1.1)
    # Its contact a quarter down is 2 sqrt(50^2 - 25^2) = 86.6 mm.
    quarter = min(points, key=lambda point: abs(point[1] - (62 + 330 * 0.25)))
    assert (quarter[0] - 400) / (widest[0] - 400) == pytest.approx(0.866, abs=0.01)


def test_under_a_canted_head_the_section_stands_on_a_bed_at_that_angle() -> None:
    """The line falls by tan(cant), the section touches it and nowhere passes it."""
    beam = canted(Beam(290, 300, 8.5, 14, 27).outline(), 3.0)
    setting = sample.setting(Section("HEA 300", Beam(290, 300, 8.5, 14, 27)))
    drawn = through_cut(beam, setting, name="x", reading=METRIC, key="k", cant_deg=3.0)
    found = re.search(r'<line x1="([\d.]+)" y1="([\d.]+)" x2="([\d.]+)" y2="([\d.]+)" class="bed"', drawn)
    assert found is not None
    x1, y1, x2, y2 = map(float, found.groups())
    assert (y2 - y1) / (x2 - x1) == pytest.approx(math.tan(math.radians(3)), rel=1e-3)
    outline = re.search(r'<path d="([^"]*)" fill-rule="evenodd" class="section-paper"', drawn)
    assert outline is not None
    corners = [(float(x), float(y)) for x, y in re.findall(r"[ML](-?[\d.]+)[ ,](-?[\d.]+)", outline[1])]
    above = [y1 + (x - x1) * (y2 - y1) / (x2 - x1) - y for x, y in corners]
    assert len(corners) >= 8
    assert min(above) == pytest.approx(0, abs=0.05)
    assert ">bed 3°</text>" in drawn
    level = through_cut(beam, setting, name="x", reading=METRIC, key="k")
    assert 'class="bed"' not in level


@pytest.mark.parametrize(
    ("top", "expected"),
    [
        (100, (0, 20, 40, 60, 80, 100)),
        (7, (0, 2, 4, 6)),
        (0.9, (0, 0.2, 0.4, 0.6, 0.8)),
        (0, (0,)),
        (float("inf"), (0,)),
    ],
)
def test_ticks_are_round_numbers(top: float, expected: tuple[float, ...]) -> None:
    assert ticks(top) == pytest.approx(expected)
    assert len(ticks(top)) <= 6


def test_tick_text_is_short() -> None:
    assert [tick_text(value) for value in (0.0, 0.1 + 0.2, 250.0)] == ["0", "0.3", "250"]


def _mark(number: str, seconds: float, cost: float | None, strain: float, words: str = "") -> Mark:
    return Mark(
        number, words, seconds, cost, strain, f"/cut?choose={number}", number == "2", f"place {number}"
    )


def _circles(drawn: str) -> list[tuple[float, float, float]]:
    found = re.findall(r'<circle cx="([\d.]+)" cy="([\d.]+)" r="([\d.]+)" class="mark"', drawn)
    return [(float(x), float(y), float(r)) for x, y, r in found]


def test_the_trade_off_stands_where_its_figures_say() -> None:
    marks = [_mark("1", 40, 1.0, 1.0), _mark("2", 60, 1.5, 0.7), _mark("3", 100, 2.0, 0.5)]
    drawn = trade_off_picture(marks, "EUR", "k")
    (x1, y1, r1), (x2, y2, r2), (x3, y3, r3) = _circles(drawn)
    # By hand: 60 s lies a third of the way from 40 to 100, 1.50 half way from 1.00 to 2.00.
    assert (x2 - x1) / (x3 - x1) == pytest.approx(1 / 3, abs=1e-3)
    assert (y2 - y1) / (y3 - y1) == pytest.approx(1 / 2, abs=1e-3)
    assert y1 > y3  # dear is up
    # A mark at the limit is the smallest; what is left below it grows in proportion.
    assert (r2 - r1) / (r3 - r1) == pytest.approx(0.3 / 0.5, abs=1e-2)
    assert drawn.count('class="place is-shown"') == 1


def test_the_trade_off_is_links_and_words_without_colour() -> None:
    marks = [_mark("1", 40, 1.0, 1.0, "quickest"), _mark("2", 60, 1.5, 0.7, "safest")]
    drawn = trade_off_picture(marks, "EUR", "k")
    assert re.findall(r'<a href="([^"]*)"', drawn) == ["/cut?choose=1", "/cut?choose=2"]
    for words in ("quickest", "safest", "100 %", "70 %", "cost of a cut, EUR"):
        assert f">{words}</text>" in drawn


def test_a_trade_off_without_cost_or_of_one_place_is_drawn() -> None:
    for marks in (
        [_mark("1", 40, None, 1.0), _mark("2", 60, None, 0.7)],
        [_mark("1", 40, 1.0, 0.6)],
        [_mark("1", 40, 0.0, 0.6), _mark("", 40, 0.0, 0.6)],
    ):
        drawn = trade_off_picture(marks, "EUR", "k")
        assert "nan" not in drawn
        for x, y, r in _circles(drawn):
            assert r <= x <= 1000 - r
            assert r <= y <= 400 - r
    assert ">risk, %</text>" in trade_off_picture([_mark("1", 40, None, 1.0)], "EUR", "k")


def test_words_beside_marks_never_lie_on_each_other() -> None:
    marks = [_mark(str(at + 1), 50 + at * 0.4, 1 + at * 0.01, 0.6, "a longer name") for at in range(12)]
    drawn = trade_off_picture(marks, "EUR", "k")
    texts = re.findall(r'<text x="([\d.]+)" y="([\d.]+)" text-anchor="middle" class="mark-name">', drawn)
    assert texts
    places = [(float(x), float(y)) for x, y in texts]
    for at, (x, y) in enumerate(places):
        for other_x, other_y in places[at + 1 :]:
            assert abs(x - other_x) > 90 or abs(y - other_y) >= 34


@pytest.mark.parametrize(
    ("low", "high", "expected"),
    [(0.9, 1.8, (1, 1.2, 1.4, 1.6, 1.8)), (41, 97, (60, 80)), (5, 5, ()), (float("nan"), 1, ())],
)
def test_steps_between_are_round_numbers(low: float, high: float, expected: tuple[float, ...]) -> None:
    assert steps_between(low, high) == pytest.approx(expected)

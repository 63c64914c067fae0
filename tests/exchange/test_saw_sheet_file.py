"""Saw sheets from TOML and CSV, in either measure: a sheet as written, or findings on what is wrong."""

from importlib.resources import files

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.tables import package_tables

from kerfsmith.catalog.saw import FeedControl
from kerfsmith.catalog.saw_fields import FIELDS, Measured
from kerfsmith.exchange.saw_sheet_file import SheetTexts, read_sheet, read_sheets

METRIC = {
    "name": "Bench saw",
    "feed_control": "constant feed",
    "band_width": "34",
    "band_thickness": "1.1",
    "band_length": "4640",
    "band_speed_min": "20",
    "band_speed_max": "115",
    "wheel_diameter": "495",
    "guide_span_max": "420",
    "motor": "4",
    "feed_min": "2",
    "feed_max": "260",
    "feed_force_max": "2600",
    "head_travel": "345",
    "shuttle_stroke": "520",
    "load_limit": "1600",
    "max_bar_length": "7300",
    "least_grip": "85",
}
SQUARE = {"angle": "0", "round": "330", "square": "320", "width": "380", "height": "320"}


def test_the_houses_own_file_reads_as_the_house_reads_it() -> None:
    data = (files("kerfsmith.library") / "data" / "demo_saws.toml").read_bytes()
    read = read_sheets("demo_saws.toml", data)
    assert not [finding for finding in read.findings if finding.is_error]
    assert read.sheets == package_tables().saws


def test_inches_pounds_and_horsepower_are_the_same_saw() -> None:
    """Conversions: NIST SP 811 (2008), appendix B.8; the figures were converted by hand from its table."""
    inch = METRIC | {
        "band_width": "1 1/4",
        "band_speed_max": "300",
        "feed_max": "10",
        "motor": "5",
        "feed_force_max": "500",
        "load_limit": "5000",
        "shuttle_stroke": "25",
        "max_bar_length": "20 ft",
        "wheel_diameter": "495 mm",
        "band_tension": "30000 psi",
    }
    sheet, findings = read_sheet("a form", SheetTexts(inch, [SQUARE | {"round": "13"}]), inch=True)
    assert sheet is not None, findings
    assert sheet.band_width_mm == pytest.approx(31.75)
    assert sheet.band_speed_max_m_per_min == pytest.approx(91.44)
    assert sheet.feed_max_mm_per_min == pytest.approx(254.0)
    assert sheet.motor_kw == pytest.approx(3.728499, abs=1e-5)
    assert sheet.feed_force_max_n == pytest.approx(2224.11, abs=0.01)
    assert sheet.load_limit_kg == pytest.approx(2267.962, abs=1e-3)
    assert sheet.shuttle_stroke_mm == pytest.approx(635.0)
    assert sheet.max_bar_length_mm == pytest.approx(6096.0)
    assert sheet.wheel_diameter_mm == pytest.approx(495.0)
    assert sheet.band_tension_mpa == pytest.approx(206.843, abs=1e-3)
    assert sheet.capacities[0].round_mm == pytest.approx(330.2)


def test_what_is_left_open_is_taken_and_told() -> None:
    sheet, findings = read_sheet("a form", SheetTexts(METRIC, [SQUARE]))
    assert sheet is not None
    assert (sheet.id, sheet.pivot_mm) == ("bench-saw", None)
    assert sheet.index_accuracy_mm == 0.15
    (told,) = findings
    assert not told.is_error
    assert "Index accuracy" in told.read
    known, _ = read_sheet("a form", SheetTexts(METRIC | {"pivot": "35"}, [SQUARE]))
    assert known is not None
    assert known.pivot_mm == 35.0


@pytest.mark.parametrize(
    ("wrong", "words"),
    [
        ({"shuttle_stroke": ""}, "is missing"),
        ({"shuttle_stroke": "long"}, "is no figure"),
        ({"load_limit": "5 kW"}, "is in no unit of mass"),
        ({"load_limit": "-3"}, "is below zero"),
        ({"load_limit": "0"}, "is above zero"),
        ({"feed_min": "900"}, "upside down"),
        ({"feed_control": "by feel"}, "no way of holding the feed"),
        ({"name": ""}, "is no name"),
        ({"guide_span_max": "10"}, "upside down"),
    ],
)
def test_what_is_wrong_is_a_finding_and_no_sheet(wrong: dict[str, str], words: str) -> None:
    sheet, findings = read_sheet("a form", SheetTexts(METRIC | wrong, [SQUARE]))
    assert sheet is None
    assert any(words in finding.problem and finding.remedy for finding in findings), findings


def test_capacities_begin_with_the_square_cut() -> None:
    for rows in ([], [SQUARE | {"angle": "45"}], [SQUARE | {"round": ""}]):
        sheet, findings = read_sheet("a form", SheetTexts(METRIC, rows))
        assert sheet is None
        assert any(finding.is_error for finding in findings)


CSV = """figure;First;Second
name;First saw;Second saw
feed control;follows the cut;constant force
Band width;34;1.25 in
band thickness;1.1 mm;0.043 in
band length;4640;180 in
band speed, least;20;60 ft/min
band speed, most;115;380 ft/min
wheel diameter;495;19.5 in
guides apart, most;420;16 in
motor of the band;4;5 hp
feed, least;2;0.1 in/min
feed, most;260;10 in/min
feed force, most;2600;580 lbf
head travel;345;13.5 in
shuttle stroke;520;20 in
load_limit_kg;1600;2000
longest bar;7300;24 ft
least grip, becomes remnant;85;3.5 in
capacity 0 round;330;13 in
capacity 0 square;320;12.5 in
capacity 0 width;380;15 in
capacity 0 height;320;12.5 in
capacity 45° round;;9 in
capacity 45° square;;9 in
capacity 45° width;;9 in
capacity 45° height;;12 in
"""


def test_a_csv_file_has_one_saw_in_each_column() -> None:
    read = read_sheets("saws.csv", CSV.encode())
    assert [sheet.name for sheet in read.sheets] == ["First saw", "Second saw"], read.findings
    first, second = read.sheets
    assert first.feed_control is FeedControl.FOLLOWS_CUT
    assert [row.angle_deg for row in second.capacities] == [0.0, 45.0]
    assert second.capacities[1].round_mm == pytest.approx(228.6)
    assert second.shuttle_stroke_mm == pytest.approx(508.0)
    assert (first.load_limit_kg, second.load_limit_kg) == (1600.0, 2000.0)


@given(st.binary(max_size=400))
@settings(max_examples=150, deadline=None)
def test_nothing_in_a_file_makes_it_raise(data: bytes) -> None:
    for name in ("saws.csv", "saws.toml"):
        read = read_sheets(name, data)
        assert read.sheets or read.findings


@given(
    st.dictionaries(st.sampled_from([one.key for one in FIELDS]), st.text(max_size=12), max_size=8),
    st.booleans(),
)
@settings(max_examples=150, deadline=None)
def test_nothing_in_a_form_makes_it_raise(texts: dict[str, str], inch: bool) -> None:
    sheet, findings = read_sheet("a form", SheetTexts(METRIC | texts, [SQUARE]), inch=inch)
    assert (sheet is None) == any(finding.is_error for finding in findings)


def test_every_figure_has_its_words_and_unit() -> None:
    assert len({one.key for one in FIELDS}) == len({one.label for one in FIELDS}) == len(FIELDS)
    assert {one.measured for one in FIELDS} <= set(Measured)

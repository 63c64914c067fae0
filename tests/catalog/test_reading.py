"""Sections as people write them. Dimensions are plain arithmetic (1 in = 25.4 mm) or the standard's own."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.tables import package_tables

from kerfsmith.catalog.catalog import Catalog
from kerfsmith.catalog.reading import read_section
from kerfsmith.errors import UnreadableText
from kerfsmith.geometry.shapes import (
    Angle,
    Beam,
    Channel,
    Flat,
    Hexagon,
    RectTube,
    Round,
    RoundTube,
    Shape,
    Square,
)
from kerfsmith.units.parse import Unit

CATALOG = package_tables()

PLAIN: list[tuple[str, Unit | None, Shape]] = [
    ("round 4 in", None, Round(101.6)),
    ('4" rd', None, Round(101.6)),
    ("RD 101.6", Unit.MM, Round(101.6)),
    ("RD-100", Unit.MM, Round(100)),
    ("Ø100", Unit.MM, Round(100)),
    ("Ø 50 mm", None, Round(50)),
    ("⌀1½”", None, Round(38.1)),
    ("dia 100 mm", None, Round(100)),
    ("100 dia", Unit.MM, Round(100)),
    ("4 in dia round", None, Round(101.6)),
    ('rnd 2 1/2"', None, Round(63.5)),
    ("2-1/2 round bar", Unit.INCH, Round(63.5)),
    ("rod .75", Unit.INCH, Round(19.05)),
    ('sq 2"', None, Square(50.8)),
    ("square 50", Unit.MM, Square(50)),
    ("SQ. 2 in", None, Square(50.8)),
    ("flat 4 x 1/2", Unit.INCH, Flat(101.6, 12.7)),
    ("FL 100x10", Unit.MM, Flat(100, 10)),
    ("FL100*10", Unit.MM, Flat(100, 10)),
    ("FB 100 * 12 mm", Unit.INCH, Flat(100, 12)),
    ("flat bar 10 × 100", Unit.MM, Flat(100, 10)),
    ("PL10x100", Unit.MM, Flat(100, 10)),
    ("PL 1/2 x 4 in", None, Flat(101.6, 12.7)),
    ("flat 4 in x 10 mm", None, Flat(101.6, 10)),
    ("Flachstahl 80 x 8,5 mm", None, Flat(80, 8.5)),
    ("hex 1 1/4 in", None, Hexagon(31.75)),
    ("hex 32 A/F", Unit.MM, Hexagon(32)),
    ('1-1/4" hex bar', None, Hexagon(31.75)),
    ("tube 4 x 1/4 wall", Unit.INCH, RoundTube(101.6, 6.35)),
    ("tube 4 in x 1/4", None, RoundTube(101.6, 6.35)),
    ("tube 4 in wall 1/4 in", None, RoundTube(101.6, 6.35)),
    ("tube OD 4 in wall 1/4 in", None, RoundTube(101.6, 6.35)),
    ("4.000 OD x .250 WALL TUBE", Unit.INCH, RoundTube(101.6, 6.35)),
    ("tube 4 OD x 3 ID", Unit.INCH, RoundTube(101.6, 12.7)),
    ("tube 3 in I.D. x 1/2 in wall", None, RoundTube(101.6, 12.7)),
    ("CHS 114.3x6.3", None, RoundTube(114.3, 6.3)),
    ("CHS 114,3 x 6,3", None, RoundTube(114.3, 6.3)),
    ("CHS 111x7.5", None, RoundTube(111, 7.5)),
    ('4" OD x 1/4" wall', None, RoundTube(101.6, 6.35)),
    ("4 in OD x 3 in ID", None, RoundTube(101.6, 12.7)),
    ("box 100 x 5 mm", None, RectTube(100, 100, 5, 10, 5)),
    ("1/4 in wall 4 in OD tube", None, RoundTube(101.6, 6.35)),
    ("tube 3 mm wall, 100 x 50", None, RectTube(100, 50, 3, 6, 3)),
    ("2 in sq x 1/4 in wall", None, RectTube(50.8, 50.8, 6.35, 12.7, 6.35)),
    ("4 x 2 x 1/8 wall", Unit.INCH, RectTube(101.6, 50.8, 3.175, 6.35, 3.175)),
    ("RO60.3*3.6", Unit.MM, RoundTube(60.3, 3.6)),
    ("QRO100*5", None, RectTube(100, 100, 5, 10, 5)),
    ('4" HR RD', None, Round(101.6)),
    ("flat 4 in x 1/2 in thick", None, Flat(101.6, 12.7)),
    ("tube 50 x 50 x 3 thk", Unit.MM, RectTube(50, 50, 3, 6, 3)),
    ("Rohr 60,3 x 3,6 mm", None, RoundTube(60.3, 3.6)),
    ("pipe 114.3 x 6.02 mm", None, RoundTube(114.3, 6.02)),
    ("tube 100x50x5", Unit.MM, RectTube(100, 50, 5, 10, 5)),
    ("square tube 50 x 3 mm", None, RectTube(50, 50, 3, 6, 3)),
    ("sq tube 2 x 2 x 1/8 in", None, RectTube(50.8, 50.8, 3.175, 6.35, 3.175)),
    ("box 100x100x8 mm", None, RectTube(100, 100, 8, 20, 12)),
    ("rectangular tube 120x80x12 mm", None, RectTube(120, 80, 12, 36, 24)),
]


@pytest.mark.parametrize(("text", "bare", "shape"), PLAIN, ids=[text for text, _, _ in PLAIN])
def test_plain_words(catalog: Catalog, text: str, bare: Unit | None, shape: Shape) -> None:
    assert read_section(text, catalog, bare=bare).key == shape.key()


DESIGNATED = [
    ("pipe 4 sch 40", "NPS 4 Sch 40"),
    ('4" Sch 80 pipe', "NPS 4 Sch 80"),
    ("NPS 4 XS", "NPS 4 Sch 80"),
    ("4 in extra strong pipe", "NPS 4 Sch 80"),
    ("DN100 sch 40", "NPS 4 Sch 40"),
    ("PIPE4STD", "NPS 4 Sch 40"),
    ('1-1/2" SCH 40 PIPE', "NPS 1 1/2 Sch 40"),
    ("PIPE 1 1/2 SCH. 40", "NPS 1 1/2 Sch 40"),
    ("pipe 2.5 sch 10S", "NPS 2 1/2 Sch 10S"),
    ("pipe 12 std", "NPS 12 STD"),
    ("2 sch 160", "NPS 2 Sch 160"),
    ("pipe 2 XXS", "NPS 2 XXS"),
    ("L4x4x1/2", "L4X4X1/2"),
    ("l 4 X 4 X 1/2", "L4X4X1/2"),
    ("L6x4x.5", "L6X4X1/2"),
    ("angle 4x3x3/8", "L4X3X3/8"),
    ("angle 3 x 4 x 3/8 in", "L4X3X3/8"),
    ("L3-1/2x3x1/4", "L3-1/2X3X1/4"),
    ("L 3 1/2 x 3 x 1/4", "L3-1/2X3X1/4"),
    ("L 100x100x10", "L 100x100x10"),
    ("L100*100*10", "L 100x100x10"),
    ("L 50x5", "L 50x50x5"),
    ("angle 100 x 100 x 10 mm", "L 100x100x10"),
    ("C8x11.5", "C8X11.5"),
    ("channel C8x11.5", "C8X11.5"),
    ("C8X18.7", "C8X18.75"),
    ("MC10x22", "MC10X22"),
    ("UPN 200", "UPN 200"),
    ("UNP200", "UPN 200"),
    ("UPE200", "UPE 200"),
    ("W12x26", "W12X26"),
    ("W 12 x 26#", "W12X26"),
    ("W12X26 lb/ft", "W12X26"),
    ("W310x38.7", "W12X26"),
    ("W310x38,7", "W12X26"),
    ("beam W12x26", "W12X26"),
    ("HEA 200", "HEA 200"),
    ("HE 200 A", "HEA 200"),
    ("HEB300", "HEB 300"),
    ("HE300B", "HEB 300"),
    ("ipe-300", "IPE 300"),
    ("W8x31 beam", "W8X31"),
    ("S12x31.8", "S12X31.8"),
    ("IPN 200", "IPN 200"),
    ("203x133x25 UB", "UB 203x133x25"),
    ("UB 203 x 133 x 25", "UB 203x133x25"),
    ("PFC 150x75x18", "PFC 150x75x18"),
    ("100x100x6 SHS", "SHS 100x100x6"),
    ("WT6x13", "WT6X13"),
    ("T 50x50x6", "T 50"),
    ("W310x39", "W12X26"),
    ("C200x17", "C8X11.5"),
    ("HSS 152x152x6.4", "HSS6X6X1/4"),
    ("L102x102x12.7", "L4X4X1/2"),
    ("HSS6x6x1/4", "HSS6X6X1/4"),
    ("HSS 6 x 6 x .25", "HSS6X6X1/4"),
    ("HSS 8x4x3/8", "HSS8X4X3/8"),
    ("TS 6x6x1/4", "HSS6X6X1/4"),
    ("HSS6.625X0.280", "HSS6.625X0.280"),
    ("HSS 6.625 x .28", "HSS6.625X0.280"),
    ("RHS 120x80x5", "RHS 120x80x5"),
    ("RHS 120*80*5", "RHS 120x80x5"),
    ("SHS 100x100x6", "SHS 100x100x6"),
    ("SHS 100x6", "SHS 100x100x6"),
]


@pytest.mark.parametrize(("text", "name"), DESIGNATED)
@pytest.mark.parametrize("bare", [None, Unit.MM, Unit.INCH])
def test_designations_carry_their_own_unit(catalog: Catalog, text: str, name: str, bare: Unit | None) -> None:
    found = read_section(text, catalog, bare=bare)
    assert found.name == name
    assert found.standard


REFUSED: list[tuple[str, Unit | None, str]] = [
    ("", None, "names no section"),
    ("100", Unit.MM, "names no shape"),
    ("4 x 4 x 1/4", Unit.INCH, "names no shape"),
    ("round", None, "no dimension"),
    ("RD 101.6", None, "no unit"),
    ("tube 4 x 1/4", None, "no unit"),
    ("flat 4 x 1/2", Unit.MM, "fraction"),
    ("flat 4", Unit.INCH, "1 number where a flat has 2"),
    ("flat 4 x 1/2 x 120 in", None, "3 numbers where a flat has 2"),
    ("round 4 in x 12 ft", None, "2 numbers where a round has 1"),
    ("round 4 ft", None, "in ft"),
    ("tube 4 in x 100 mm x 3", None, "mixes units"),
    ("round square 4 in", None, "more than one shape"),
    ("blob 4 in", None, "'blob'"),
    ("4 in OD", None, "names no shape"),
    ("flat 4 4 1/2", Unit.INCH, "nothing between"),
    ("flat 4 in 1/2 in", None, "nothing between"),
    ("box 4 x 1/4 in ID", None, "isn't round"),
    ("SHS 50 x 1/4 in", None, "wider than any hollow section"),
    ("tube 4 wall x 3 x 1/8 wall", Unit.INCH, "two walls"),
    ("pipe 3x3x.25", Unit.INCH, "nominal size or a true diameter"),
    ("L 50 x 6 x 1/4 in", None, "no angle has"),
    ("L 4 x 4 ID x 1/4", None, "says angle"),
    ("angle 4x3x.5", Unit.MM, "no angle has"),
    ("round 4 in OD", None, "one diameter of a tube only"),
    ("Ø60.3x3.6", Unit.MM, "2 numbers where a round has 1"),
    ("round -4 in", None, "'-'"),
    ("flat 100-10 mm", None, "'-'"),
    ("tube 4 x 3", Unit.INCH, "wall or the bore"),
    ("tube 4 x 1.5", Unit.INCH, "wall or the bore"),
    ("tube 4 in OD x 4 in ID", None, "wall"),
    ("tube 4 in OD x 3 in OD", None, "names the same dimension twice"),
    ("HSS 6x1/4", None, "round or a square"),
    ("SHS 100x80x5", None, "unequal"),
    ("RHS 100x5", None, "needs its sides and its wall"),
    ("pipe 4", None, "no schedule"),
    ("pipe 4 x 0.237", Unit.INCH, "nominal size or a true diameter"),
    ("pipe 4 x 0.237", Unit.MM, "thinner than any pipe"),
    ("pipe 114.3 mm sch 40", None, "whether it is nominal"),
    ("pipe 4 sch 55", None, "isn't in the pipe tables"),
    ("NPS 4 Sch 40 x 6 m", None, "more than a size"),
    ("round 100", Unit.INCH, "more than any bar"),
    ("U 200", None, "no section of the tables"),
    ("W12x27", None, "no section of the tables"),
    ("IPE 305", None, "no section of the tables"),
    ("T 100x100x10", None, "no section of the tables"),
    ("M12x11.8", None, "no section of the tables"),
    ("L 100", Unit.MM, "two legs and a thickness"),
    ("L 30x30x40", Unit.MM, "thickness"),
    ("round 1/0 in", None, "1/0"),
]


@pytest.mark.parametrize(("text", "bare", "problem"), REFUSED)
def test_what_could_mean_two_things_is_refused(
    catalog: Catalog, text: str, bare: Unit | None, problem: str
) -> None:
    with pytest.raises(UnreadableText) as refusal:
        read_section(text, catalog, bare=bare)
    assert problem in refusal.value.problem
    assert refusal.value.remedy


def test_a_remedy_names_what_is_near(catalog: Catalog) -> None:
    for text, near in (
        ("W12x27", "W12X26"),
        ("IPE 305", "IPE 300"),
        ("U 200", "UPN 200"),
        ("HE 200", "HEB 200"),
        ("I 200", "IPE 200"),
        ("HEA 205", "HEA 200"),
    ):
        with pytest.raises(UnreadableText) as refusal:
            read_section(text, catalog, bare=None)
        assert near in refusal.value.remedy
    with pytest.raises(UnreadableText) as refusal:
        read_section("NPS 4 Sch 60", catalog, bare=None)
    assert "Sch 40" in refusal.value.remedy


def test_shapes_of_standard_sections(catalog: Catalog) -> None:
    kinds = {
        "W12X26": Beam,
        "UPN 200": Channel,
        "L 100x100x10": Angle,
        "NPS 4 Sch 40": RoundTube,
        "SHS 100x6": RectTube,
    }
    for name, kind in kinds.items():
        assert isinstance(read_section(name, catalog, bare=None).shape, kind)


def test_same_shape_under_two_names_is_one_section(catalog: Catalog) -> None:
    inch = read_section("round 4 in", catalog, bare=None)
    metric = read_section("Ø101.6 mm", catalog, bare=None)
    assert inch.key == metric.key
    assert (
        read_section("tube 6 x 6 x 1/4 in", catalog, bare=None).key == catalog.find_section("HSS6X6X1/4").key
    )


def test_every_name_and_alias_reads_back(catalog: Catalog) -> None:
    for row in catalog.section_rows:
        for name in (row.name, *row.aliases):
            assert read_section(name, catalog, bare=None).standard == row.standard


def area_or_none(text: str, bare: Unit | None) -> float | None:
    """Area of the section read, None where it is refused with a reason and a remedy."""
    try:
        return read_section(text, CATALOG, bare=bare).shape.outline().area_mm2
    except UnreadableText as refusal:
        if not (refusal.problem and refusal.remedy):
            raise
        return None


@settings(max_examples=300, deadline=None)
@given(st.text(max_size=40))
def test_any_text_is_read_or_refused(text: str) -> None:
    area_mm2 = area_or_none(text, Unit.MM)
    assert area_mm2 is None or math.isfinite(area_mm2)


WORDS = st.sampled_from(
    [
        "round",
        "sq",
        "flat",
        "hex",
        "tube",
        "pipe",
        "sch",
        "L",
        "HSS",
        "RHS",
        "SHS",
        "CHS",
        "OD",
        "ID",
        "wall",
        "NPS",
        "DN",
    ]
)
PIECES = st.one_of(
    WORDS,
    st.sampled_from(
        [
            "x",
            "*",
            " ",
            "-",
            "/",
            '"',
            "in",
            "mm",
            "40",
            "1/2",
            "1/0",
            "0",
            ".5",
            "4",
            "100",
            "XS",
            "10S",
            "1 1/2",
        ]
    ),
)


@settings(max_examples=500, deadline=None)
@given(
    st.lists(PIECES, min_size=1, max_size=9),
    st.sampled_from([None, Unit.MM, Unit.INCH]),
    st.sampled_from(["", " "]),
)
def test_any_mixture_of_its_words_is_read_or_refused(pieces: list[str], bare: Unit | None, gap: str) -> None:
    area_mm2 = area_or_none(gap.join(pieces), bare)
    assert area_mm2 is None or area_mm2 > 0

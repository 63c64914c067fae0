"""NC files: the public samples exactly, each planted defect named, and files written for one trap each."""

import json
import math

import pytest
from tests.exchange.nc_files import SAMPLES, contour, nc_file
from tests.tables import package_tables

from kerfsmith.catalog.catalog import Catalog
from kerfsmith.errors import Finding
from kerfsmith.exchange.nc.part import NcHeader
from kerfsmith.exchange.nc.read import read_nc
from kerfsmith.exchange.order_file import OrderRead
from kerfsmith.geometry.lay import lie_called
from kerfsmith.shop.order import OrderLine
from kerfsmith.wiring.reading import OwnNames, own_name, read_nc_files

HEA = ("I", 190, 200)
EXPECTED = json.loads((SAMPLES / "expected-headers.json").read_text())
GOOD = [name for name, told in EXPECTED.items() if "defect" not in told]


@pytest.fixture(scope="module")
def catalog() -> Catalog:
    return package_tables()


def read(
    catalog: Catalog, *files: bytes | tuple[str, bytes], grades: dict[str, str] | None = None
) -> OrderRead:
    named = [file if isinstance(file, tuple) else (f"{n}.nc1", file) for n, file in enumerate(files, start=1)]
    found = read_nc_files(named, catalog, own=OwnNames(grades or {}))
    assert found.rows_read == len(found.lines) + found.rows_bad
    assert len({line.id for line in found.lines}) == len(found.lines)
    return found


def one(catalog: Catalog, changes: dict[str, str] | None = None, blocks: str = "") -> OrderLine:
    found = read(catalog, nc_file(changes, blocks))
    assert found.lines, [str(finding) for finding in found.findings]
    return found.lines[0]


def told(found: OrderRead, code: str) -> Finding:
    return next(finding for finding in found.findings if finding.code == code)


def values(header: NcHeader) -> dict[str, object]:
    return {
        "order": header.order,
        "drawing": header.drawing,
        "phase": header.phase,
        "piece": header.piece,
        "grade": header.grade,
        "quantity": header.quantity,
        "profile": header.profile,
        "code": header.code,
        "length": header.length_mm,
        "saw_length": header.saw_length_mm,
        "height": header.height_mm,
        "flange_width": header.flange_width_mm,
        "flange_thickness": header.flange_thickness_mm,
        "web_thickness": header.web_thickness_mm,
        "radius": header.radius_mm,
        "weight_per_m": header.weight,
        "paint_area_per_m": header.paint_m2_per_m,
        "web_start_cut": header.web_start_deg,
        "web_end_cut": header.web_end_deg,
        "flange_start_cut": header.flange_start_deg,
        "flange_end_cut": header.flange_end_deg,
        **{f"text{n}": text for n, text in enumerate(header.texts, start=1)},
    }


@pytest.mark.parametrize("name", GOOD)
def test_the_header_of_a_good_sample_is_read_exactly(name: str) -> None:
    # Source: expected values beside the samples, which two independent readers of the standard share.
    part = read_nc(name, (SAMPLES / name).read_bytes())
    assert part.header is not None
    assert values(part.header) == EXPECTED[name]
    assert not any(finding.is_error for finding in part.findings)


@pytest.mark.parametrize(
    ("name", "code", "field", "row", "says", "left_out"),
    [
        ("E1.nc", "nc-order", "order", 3, "91 characters", False),
        ("E2.nc", "nc-code", "code", 10, "is no profile code", False),
        ("E3.nc", "nc-no-start", None, 1, "doesn't begin with the line ST", True),
        ("E4.nc", "nc-length", "length", 11, "is not a number", True),
        ("E5.nc", "nc-grade", "grade", 7, "doesn't begin with two blanks", True),
        ("E6.nc", "nc-quantity", "quantity", 8, "is not a whole number", True),
        ("E7.nc", "nc-length", "length", 11, "holds 3 values", True),
        ("E8.nc", "nc-saw-length", "length", 11, "a saw length of 313.2 mm", True),
    ],
)
def test_each_planted_defect_is_named(
    catalog: Catalog, name: str, code: str, field: str | None, row: int, says: str, left_out: bool
) -> None:
    found = read(catalog, (name, (SAMPLES / name).read_bytes()))
    finding = told(found, code)
    assert (finding.file, finding.row, finding.field) == (name, row, field)
    assert says in finding.problem
    assert finding.is_error == left_out
    assert bool(found.lines) != left_out


def test_the_samples_as_lines(catalog: Catalog) -> None:
    files = [(name, (SAMPLES / name).read_bytes()) for name in GOOD]
    found = read(catalog, *files, grades={own_name("MS"): "S235JR"})
    lines = {line.mark: line for line in found.lines}
    beam, notched, plate = lines["B_1"], lines["3"], lines["film_product2"]
    assert (beam.section.name, beam.grade, beam.length_um) == ("W21X44", "A992", 6_236_880)
    assert (beam.angle_a_deg, beam.angle_b_deg) == (0, -15)
    assert "slants across the web" in beam.notes
    assert (notched.section.name, notched.grade, notched.length_um) == ("HEB 400", "S235JR", 2_000_000)
    assert (notched.is_mitred, "coped ends" in notched.notes) == (False, True)
    assert plate.section.key == "flat:300000x20000"
    assert (plate.quantity, plate.length_um, plate.is_mitred) == (15, 320_000, False)
    assert "8 holes" in plate.notes
    special = told(found, "nc-profile")
    assert (special.file, special.is_error, special.read) == ("RST37-2.nc", True, "ZS175*1.5")
    assert "PR, E1, B1, S1" in told(found, "nc-blocks").problem


def test_an_unknown_grade_says_what_to_do(catalog: Catalog) -> None:
    found = read(catalog, nc_file({"grade": "MS"}))
    finding = told(found, "nc-grade")
    assert not found.lines
    assert "--grade" in finding.remedy
    assert (
        read(catalog, nc_file({"grade": "MS"}), grades={own_name("ms"): "S235JR"}).lines[0].grade == "S235JR"
    )


@pytest.mark.parametrize("newline", ["\r\n", "\r", "\n"])
@pytest.mark.parametrize("indent", ["  ", "\t", "", "      "])
def test_ways_of_writing_lines(catalog: Catalog, newline: str, indent: str) -> None:
    text = nc_file().decode().replace("\n  ", f"\n{indent}").replace("\n", newline)
    for data in (
        text.encode(),
        text.encode("utf-8-sig"),
        text.encode("utf-16"),
        b"** first\n" + text.encode(),
    ):
        found = read(catalog, data)
        assert [line.length_um for line in found.lines] == [3_000_000], found.findings


@pytest.mark.parametrize(
    ("changes", "length_um"),
    [
        ({"length": "233.70,233.70"}, 233_700),
        ({"length": "233.70,"}, 233_700),
        ({"length": "233.70,0.00"}, 233_700),
        ({"length": "233.70, 236.70"}, 236_700),
        ({"length": "233"}, 233_000),
        ({"length": "+233.705"}, 233_705),
    ],
)
def test_length_and_saw_length(catalog: Catalog, changes: dict[str, str], length_um: int) -> None:
    assert one(catalog, changes).length_um == length_um


@pytest.mark.parametrize(
    "changes",
    [
        {"length": "233,70,1"},
        {"length": "0"},
        {"length": "nan"},
        {"length": "1e9"},
        {"length": "3000.00,400.00"},
        {"length": "3000.00,3200.00"},
        {"height": "190,5"},
        {"height": ""},
        {"height": "-190"},
        {"web cut start": "90"},
        {"quantity": "0"},
        {"quantity": "2.5"},
        {"quantity": "-2"},
        {"grade": "-"},
        {"height": "390.00"},
        {"web thickness": "9.5"},
        {"profile": "ZZ9", "flange thickness": "100"},
        {"code": "SO", "profile": "ZZ9"},
        {"code": "Q", "profile": "ZZ9"},
    ],
)
def test_what_can_not_be_used_is_left_out_and_told_once(catalog: Catalog, changes: dict[str, str]) -> None:
    found = read(catalog, nc_file(changes))
    assert not found.lines
    assert len([finding for finding in found.findings if finding.is_error]) == 1
    assert found.findings[0].remedy


def test_lesser_faults_keep_the_part(catalog: Catalog) -> None:
    line = one(catalog, {"weight": "0", "paint": "", "radius": "x", "drawing": "-", "phase": ""})
    assert line.notes == ""
    lowered = nc_file().decode().replace("  I\n", "  i\n")
    assert read(catalog, lowered.encode()).lines


def test_ends_at_the_block_and_one_part_a_file(catalog: Catalog) -> None:
    short = nc_file().decode().replace("  \n  \n  \n  \nEN", "EN")
    assert read(catalog, short.encode()).lines
    twice = read(catalog, nc_file() + nc_file({"piece": "P2"}))
    assert told(twice, "nc-second-part").is_error
    assert not twice.lines
    cut_off = read(catalog, nc_file()[: nc_file().index(b"  6.50")])
    assert told(cut_off, "nc-header-short").is_error


def test_a_second_part_without_an_end_between(catalog: Catalog) -> None:
    first = nc_file(blocks=contour("v", (0, 0), (3000, 0), (3000, 190), (0, 190))).decode()
    found = read(catalog, (first.replace("EN\n", "") + nc_file({"piece": "P2"}).decode()).encode())
    assert told(found, "nc-second-part").row == 33
    assert not found.lines


def test_names_at_the_margin(catalog: Catalog) -> None:
    """Source: the public file 0008-SE0009.nc1 of an open reader's tests: order and piece at the margin, the
    rest indented, tabs, a square header, and ends of 45 and 30 degrees drawn on the top and bottom faces.
    """
    sizes = {"height": "100", "flange width": "100", "flange thickness": "6", "web thickness": "6"}
    header = sizes | {"code": "M", "profile": "100x100x6 SHS", "radius": "7.5", "length": "1000"}
    points: dict[str, list[tuple[float, float]]] = {
        "v": [(945.73, 0), (0, 0), (0, 100), (945.73, 100)],
        "h": [(1000, 0), (94, 0), (94, 100), (1000, 100)],
        "o": [(100, 0), (1000, 0), (942.26, 100), (0, 100)],
        "u": [(0, 100), (100, 0), (1000, 0), (942.26, 100)],
    }
    blocks = "\n".join(contour(face, *each) for face, each in points.items()).replace("u ", "o\t\t")
    text = nc_file(header, blocks).decode().replace("  J-100", "J-100").replace("  P1\n", "P1\n")
    line = read(catalog, text.encode()).lines[0]
    assert (line.id, line.section.name, line.length_um) == ("J-100/P1", "SHS 100x100x6", 1_000_000)
    assert (line.angle_a_deg, line.angle_b_deg) == pytest.approx((45, 30), abs=0.01)
    stray = text.replace("  S235JR", "k S235JR")
    assert told(read(catalog, stray.encode()), "nc-grade").is_error


def test_a_piece_called_as_a_block_where_nothing_is_indented(catalog: Catalog) -> None:
    bare = nc_file({"piece": "SC", "order": "EN"}).decode().replace("\n  ", "\n")
    assert read(catalog, bare.encode()).lines[0].mark == "SC"


@pytest.mark.parametrize(
    "changed",
    [
        {"u ": " u "},
        {" 0.00\n": " 1.0E-15\n"},
        {"AK": "  ak", "EN": "  en"},
        {"190.00 0.00": "190.00t 0.00 0.00 0.00"},
    ],
)
def test_ways_of_writing_a_contour(catalog: Catalog, changed: dict[str, str]) -> None:
    text = nc_file(blocks=TestMitres.WEB_30).decode()
    for old, new in changed.items():
        assert old in text
        text = text.replace(old, new)
    line = read(catalog, text.encode()).lines[0]
    assert line.angle_a_deg == pytest.approx(-30, abs=0.01)


def test_a_contour_that_counts_from_both_edges_is_not_believed(catalog: Catalog) -> None:
    text = nc_file(blocks=TestMitres.WEB_30).decode().replace("u     190.00", "o       0.00")
    found = read(catalog, text.encode())
    assert "now from the upper edge" in told(found, "nc-contour").problem
    assert not found.lines[0].is_mitred


def test_a_plate_with_width_and_thickness_changed_over(catalog: Catalog) -> None:
    # Source: the header of the public file 0008-PL0001.NC1, height 10, flange width 196.451, web 10.
    header = {"profile": "196.451x10 PL", "code": "B", "length": "288.224", "height": "10"}
    header |= {"flange width": "196.451", "flange thickness": "0", "web thickness": "10", "radius": "0"}
    assert one(catalog, header).section.name == "flat 196.451 x 10 mm"


def test_a_disc_reaches_further_than_its_points(catalog: Catalog) -> None:
    # Source: the public file P1565.nc, a disc of two arcs between (0, 0) and (0, 233.70), radius 116.85.
    header = {"profile": "PL20*233.7", "code": "B", "length": "233.70,233.70", "height": "233.00"}
    header |= {"flange width": "20", "flange thickness": "20", "web thickness": "20", "radius": "0"}
    disc = "AK\n  v 0.00u 0.00 116.85\n    0.00 233.70 116.85\n    0.00 0.00 0.00"
    found = read(catalog, nc_file(header, disc))
    assert [finding.code for finding in found.findings] == ["nc-other-work"]
    assert "coped ends" in found.lines[0].notes


def test_a_cut_out_counts_once_however_many_points_it_has(catalog: Catalog) -> None:
    outline = "IK\n  v 10u 10 0\n  v 20u 10 0\n  v 20u 20 0\n  v 10u 10 0"
    assert "then 1 holes, 2 cut-outs" in one(catalog, None, f"{outline}\n{outline}\nBO\n  v 9 9 9").notes


def test_a_piece_comes_again_in_another_phase_or_in_the_same(catalog: Catalog) -> None:
    files = [("P1.nc1", nc_file({"phase": phase})) for phase in ("1", "2", "2")]
    found = read(catalog, *files)
    assert [line.id for line in found.lines] == ["J-100/P1", "J-100/P1 phase 2", "J-100/P1 (P1.nc1)"]
    assert [finding.code for finding in found.findings] == ["nc-mark-repeated"]


@pytest.mark.parametrize(
    ("code", "sizes", "key"),
    [
        # height, flange width, flange thickness, web thickness, radius
        ("I", "300 150 10 7 15", "beam:300000x150000x7000x10000:r15000"),
        ("U", "200 80 11 8 12", "channel:200000x80000x8000x11000:r12000"),
        ("L", "120 80 9 9 11", "angle:120000x80000x9000:r11000"),
        ("M", "120 80 6 6 0", "rect tube:120000x80000x6000:o12000:i6000"),
        ("M", "120 80 6 6 10", "rect tube:120000x80000x6000:o10000:i4000"),
        ("T", "100 90 11 10 8", "tee:100000x90000x10000x11000:r8000"),
        ("C", "200 70 2 2 3", "channel:200000x70000x2000x2000:r3000"),
    ],
)
def test_a_section_from_the_dimensions(catalog: Catalog, code: str, sizes: str, key: str) -> None:
    names = ("height", "flange width", "flange thickness", "web thickness", "radius")
    changes = dict(zip(names, sizes.split(), strict=True)) | {"code": code, "profile": "OWN 1"}
    found = read(catalog, nc_file(changes))
    assert found.lines[0].section.key == key
    assert "built" in told(found, "nc-section-built").problem


@pytest.mark.parametrize(
    ("code", "wall", "key", "warned"),
    [
        ("RO", "5", "round tube:114300x5000", False),
        ("RU", "0", "round:114300", False),
        ("RU", "5", "round tube:114300x5000", True),
        ("RO", "0", "round:114300", True),
        ("RU", "57.15", "round:114300", False),
    ],
)
def test_bar_or_tube_by_the_wall(catalog: Catalog, code: str, wall: str, key: str, warned: bool) -> None:
    changes = {"code": code, "profile": "own", "height": "114.3", "flange width": "0", "radius": "0"}
    found = read(catalog, nc_file(changes | {"flange thickness": wall, "web thickness": wall}))
    assert found.lines[0].section.key == key
    assert any(finding.code == "nc-round" for finding in found.findings) == warned


def test_a_trapezoid_by_its_long_side(catalog: Catalog) -> None:
    # Source: a public file seen with length 753.36, flange cuts -45/+45 on 160 wide: short side 433.36.
    changes = {"profile": "OWN", "length": "753.36", "height": "152", "flange width": "160"}
    line = one(catalog, changes | {"flange cut start": "-45.000", "flange cut end": "45.000"})
    lean = [160 * math.tan(math.radians(angle)) for angle in (line.angle_a_deg, line.angle_b_deg)]
    short_mm = line.length_um / 1000 - max(0, lean[1]) - max(0, -lean[0])
    assert short_mm == pytest.approx(433.36, abs=0.005)
    assert "slants across the flange" in line.notes


class TestMitres:
    """Header against contour. HEA 200: height 190, flange 200; x of a slant of 30 degrees by its tangent."""

    WEB_30 = contour("v", (190 * math.tan(math.radians(30)), 0), (3000, 0), (3000, 190), (0, 190))
    FLANGE_30 = "\n".join(
        contour(face, (0, 0), (3000 - 200 * math.tan(math.radians(30)), 0), (3000, 200), (0, 200))
        for face in "ou"
    )
    SQUARE = contour("v", (0, 0), (3000, 0), (3000, 190), (0, 190))

    def test_zero_in_the_header_and_a_slant_in_the_contour(self, catalog: Catalog) -> None:
        found = read(catalog, nc_file(blocks=self.WEB_30))
        line = found.lines[0]
        assert abs(line.angle_a_deg) == pytest.approx(30, abs=0.01)
        assert line.angle_b_deg == 0
        assert "the contour was taken" in told(found, "nc-mitre-drawn").problem

    def test_the_web_of_a_public_file_tells_which_sign_means_which_side(self, catalog: Catalog) -> None:
        """Source: a public file of a UPN 160, header's web end -19.33, web drawn to 2100.87 at its lower edge
        and to 2157.00 at its upper one: tan(19.33 degrees) x 160 = 56.13.
        """
        sizes = ("160", "65", "10.5", "7.5", "10.5")
        names = ("height", "flange width", "flange thickness", "web thickness", "radius")
        header = {"profile": "UPN 160", "code": "U", "length": "2157.00", "web cut end": "-19.33"}
        header |= dict(zip(names, sizes, strict=True))
        drawn = contour("v", (0, 0), (2100.87, 0), (2157, 160), (0, 160))
        both, alone = read(catalog, nc_file(header, drawn)), read(catalog, nc_file(header))
        assert both.lines[0].angle_b_deg == pytest.approx(19.33, abs=0.005)
        assert alone.lines[0].angle_b_deg == pytest.approx(19.33)
        assert not any(finding.code == "nc-mitre-side" for finding in both.findings)

    def test_a_sign_that_means_the_other_side_is_told_and_the_contour_taken(self, catalog: Catalog) -> None:
        found = read(catalog, nc_file({"web cut start": "-30"}, self.WEB_30))
        alike = read(catalog, nc_file({"web cut start": "30"}, self.WEB_30))
        assert {abs(one.lines[0].angle_a_deg - found.lines[0].angle_a_deg) for one in (found, alike)} == {0}
        told_by = [any(one.code == "nc-mitre-side" for one in each.findings) for each in (found, alike)]
        assert told_by == [True, False]

    def test_they_agree(self, catalog: Catalog) -> None:
        line = one(catalog, {"flange cut end": "30.000"}, self.FLANGE_30)
        assert (line.angle_a_deg, line.angle_b_deg) == (0, 30)

    @pytest.mark.parametrize(
        "changes", [{"web cut start": "25"}, {"flange cut start": "30"}, {"web cut end": "9"}]
    )
    def test_they_disagree(self, catalog: Catalog, changes: dict[str, str]) -> None:
        found = read(catalog, nc_file(changes, self.WEB_30))
        finding = told(found, "nc-mitre-disagrees")
        assert finding.is_error
        assert not found.lines

    def test_a_slant_in_the_header_of_a_square_contour(self, catalog: Catalog) -> None:
        assert not read(catalog, nc_file({"web cut end": "15"}, self.SQUARE)).lines

    def test_parallelogram_against_trapezoid(self, catalog: Catalog) -> None:
        x = 190 * math.tan(math.radians(30))
        trapezoid = contour("v", (x, 0), (3000 - x, 0), (3000, 190), (0, 190))
        assert one(catalog, {"web cut start": "-30", "web cut end": "30"}, trapezoid).angle_b_deg == 30
        found = read(catalog, nc_file({"web cut start": "30", "web cut end": "30"}, trapezoid))
        assert "towards each other" in told(found, "nc-mitre-disagrees").problem

    @pytest.mark.parametrize(
        ("changes", "says"),
        [
            ({"web cut end": "20", "flange cut end": "30"}, "across web and flange at once"),
            ({"web cut end": "20", "flange cut start": "30"}, "turned over between its two cuts"),
            ({"web cut end": "85"}, "80 degrees or more"),
            (
                {"code": "B", "profile": "FL190*6.5", "flange cut end": "30"},
                "no way to lay flat 190 x 6.5 mm",
            ),
        ],
    )
    def test_what_one_setting_can_not_cut_is_sawn_square(
        self, catalog: Catalog, changes: dict[str, str], says: str
    ) -> None:
        found = read(catalog, nc_file(changes))
        assert says in told(found, "nc-not-sawable").problem
        assert (found.lines[0].is_mitred, found.lines[0].length_um) == (False, 3_000_000)

    def test_a_notch_is_no_mitre(self, catalog: Catalog) -> None:
        notched = contour("v", (0, 50), (100, 50), (100, 0), (3000, 0), (3000, 190), (0, 190))
        line = one(catalog, None, notched)
        assert not line.is_mitred
        assert "coped ends" in line.notes

    def test_a_contour_beyond_the_length_is_refused(self, catalog: Catalog) -> None:
        longer = contour("v", (0, 0), (3100, 0), (3100, 190), (0, 190))
        found = read(catalog, nc_file(None, longer))
        assert told(found, "nc-extent").is_error
        assert not found.lines


@pytest.mark.parametrize(
    ("sizes", "cut", "lie", "across_mm"),
    [
        (HEA, "web", "web flat", 190),
        (HEA, "flange", "web upright", 200),
        (("U", 200, 80), "web", "legs down", 200),
        (("U", 200, 80), "flange", "web upright", 80),
        (("L", 120, 80), "web", "long leg flat", 120),
        (("L", 80, 120), "flange", "long leg flat", 120),
        (("L", 120, 80), "flange", "long leg upright", 80),
        (("M", 120, 80), "web", "flat", 120),
        (("M", 80, 120), "web", "on edge", 80),
        (("T", 100, 90), "web", "stem flat", 100),
        (("T", 100, 90), "flange", "flange down", 90),
        (("B", 100, 200), "web", "flat", 100),
    ],
)
def test_the_face_that_slants_lies_level(
    catalog: Catalog, sizes: tuple[str, int, int], cut: str, lie: str, across_mm: float
) -> None:
    code, height, width = sizes
    changes = {"code": code, "height": str(height), "flange width": str(width)}
    changes |= {} if sizes == HEA else {"profile": "OWN"}
    # The head swings about the upright axis: what it slants across is the width as the section lies.
    line = one(catalog, changes | {f"{cut} cut end": "30"})
    assert (line.lie, abs(line.angle_b_deg)) == (lie, 30)
    assert lie_called(line.section.shape, lie).width_mm == pytest.approx(across_mm, abs=1e-6)


def test_other_work_is_told_once_for_all(catalog: Catalog) -> None:
    holes = "BO\n  v 100.00u 50.00 18.00\n  v 200.00u 50.00 18.00\nKA\n  v 1 2 3"
    found = read(catalog, nc_file(None, holes), nc_file({"piece": "P2"}, holes), nc_file({"piece": "P3"}))
    assert told(found, "nc-other-work").problem.startswith("of 3 files: holes in 2, bends in 2;")
    assert "then 2 holes, 1 bends" in found.lines[0].notes


def test_one_word_for_a_grade_and_a_section_that_come_often(catalog: Catalog) -> None:
    files = [nc_file({"piece": f"P{n}", "grade": "RST37-2", "profile": "OWN"}) for n in range(5)]
    found = read(catalog, *files)
    assert [finding.code for finding in found.findings] == ["grade-nearest", "nc-section-built"]
    assert len(found.lines) == 5

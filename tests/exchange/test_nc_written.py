"""Whole parts written by the standard's layout and read back, and the same files spoilt.

The writer here knows nothing of the reader: header lines stand in the standard's order, and contours are
where a plane meets the edges of a solid section, found by vectors alone.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.exchange.nc_files import PLAIN
from tests.tables import package_tables

from kerfsmith.exchange.nc.read import read_nc
from kerfsmith.exchange.order_file import OrderRead
from kerfsmith.shop.order import OrderLine
from kerfsmith.wiring.reading import read_nc_files

CATALOG = package_tables()
Point = tuple[float, float, float]

WORDS = st.text(alphabet="ABCxyz0189 -_/.ÄØß", min_size=1, max_size=20).map(
    lambda text: f"M{' '.join(text.split())}"
)
SIZES = st.decimals(1, 900, places=2).map(str)
ANGLES = st.decimals(-89, 89, places=3).map(str)
HEADERS = st.fixed_dictionaries(
    {
        **dict.fromkeys(("order", "drawing", "phase", "piece", "grade", "profile"), WORDS),
        "quantity": st.integers(1, 100_000).map(str),
        "code": st.sampled_from(["I", "L", "U", "B", "RU", "RO", "M", "C", "T", "SO"]),
        "length": st.decimals("0.01", 60_000, places=2).map(str),
        **dict.fromkeys(("height", "flange width", "flange thickness", "web thickness", "radius"), SIZES),
        **dict.fromkeys(("weight", "paint"), SIZES),
        **dict.fromkeys(("web cut start", "web cut end", "flange cut start", "flange cut end"), ANGLES),
        **{f"text {n}": st.just("") | WORDS for n in range(1, 5)},
    }
)  # fmt: skip


@dataclass(frozen=True)
class Manner:
    """How a program writes its files."""

    newline: str
    indent: str
    encoding: str
    comments: frozenset[int]
    texts: int

    def write(self, header: dict[str, str]) -> bytes:
        """The file of one part without blocks."""
        values = [header[field] for field in PLAIN][: 20 + self.texts]
        lines = ["ST"]
        for place, value in enumerate(values):
            lines += ["** Bemerkung ** ST"] * (place in self.comments)
            lines.append(f"{self.indent}{value}")
        return self.newline.join([*lines, "EN", ""]).encode(self.encoding)


MANNERS = st.builds(
    Manner,
    st.sampled_from(["\n", "\r\n", "\r"]),
    st.sampled_from(["  ", "\t", "        "]),
    st.sampled_from(["utf-8", "utf-8-sig", "cp1252", "latin-1", "utf-16"]),
    st.frozensets(st.integers(0, 19), max_size=4),
    st.integers(0, 4),
)


@settings(max_examples=300)
@given(HEADERS, MANNERS)
def test_what_is_written_is_read_exactly(header: dict[str, str], manner: Manner) -> None:
    part = read_nc("P.nc1", manner.write(header))
    assert part.findings == ()
    assert part.header is not None
    found = part.header
    read = (
        found.order, found.drawing, found.phase, found.piece, found.grade, found.quantity, found.profile,
        found.code, found.length_mm, found.height_mm, found.flange_width_mm, found.flange_thickness_mm,
        found.web_thickness_mm, found.radius_mm, found.weight, found.paint_m2_per_m, found.web_start_deg,
        found.web_end_deg, found.flange_start_deg, found.flange_end_deg, *found.texts,
    )  # fmt: skip
    known = ("order", "drawing", "phase", "piece", "grade", "profile", "code")
    written = [
        value
        if field in known or field.startswith("text")
        else int(value)
        if field == "quantity"
        else float(value)
        for field, value in header.items()
    ]
    in_order = dict(zip(header, written, strict=True))
    texts = [header[f"text {n}"] if n <= manner.texts else "" for n in range(1, 5)]
    assert list(read) == [in_order[field] for field in PLAIN][:20] + texts


def lines_of(*files: bytes) -> OrderRead:
    found = read_nc_files([(f"{n}.nc1", file) for n, file in enumerate(files, start=1)], CATALOG)
    assert found.rows_read == len(found.lines) + found.rows_bad
    assert found.lines or any(finding.is_error for finding in found.findings)
    for finding in found.findings:
        assert finding.file
        assert finding.remedy
        assert finding.row is not None or finding.field is None
    return found


MANNER = Manner("\n", "  ", "utf-8", frozenset(), 4)


@pytest.mark.parametrize("texts", [0, 4])
@pytest.mark.parametrize("field", list(PLAIN)[:20])
def test_a_header_without_one_of_its_lines_is_left_out(field: str, texts: int) -> None:
    file = MANNER.write(PLAIN).decode().split("\n")
    del file[1 + list(PLAIN).index(field)]
    if not texts:
        del file[-6:-2]
    assert not lines_of("\n".join(file).encode()).lines


@settings(max_examples=200)
@given(st.data())
def test_a_spoilt_file_is_read_or_told(data: st.DataObject) -> None:
    rows = solid_file(Solid("I", 190, 200), (20, -35), "web", header=True).decode().split("\n")
    for _ in range(data.draw(st.integers(1, 3))):
        at, other = (data.draw(st.integers(0, len(rows) - 1)) for _ in range(2))
        how = data.draw(st.sampled_from(["drop", "swap", "twice", "garble"]))
        if how == "drop":
            del rows[at]
        elif how == "swap":
            rows[at], rows[other] = rows[other], rows[at]
        elif how == "twice":
            rows.insert(other, rows[at])
        else:
            rows[at] = data.draw(st.text(max_size=12))
    lines_of("\n".join(rows).encode())


@dataclass(frozen=True)
class Solid:
    """A section as a solid: x along it, y from its front to its back, z up."""

    code: str
    height: float
    width: float

    def edges(self) -> dict[str, tuple[tuple[float, float], tuple[float, float]]]:
        """(y, z) of the two edges of each face that is drawn: y of the face 0 first."""
        high, wide = self.height, self.width
        web = wide / 2 if self.code == "I" else 0.0
        faces = {"v": ((web, 0.0), (web, high)), "u": ((0.0, 0.0), (wide, 0.0))}
        if self.code != "L":
            faces["o"] = ((0.0, high), (wide, high))
        if self.code == "M":
            faces["h"] = ((wide, 0.0), (wide, high))
        return faces

    def corners(self) -> set[tuple[float, float]]:
        """(y, z) of all material that can be the longest."""
        return {edge for face in self.edges().values() for edge in face}


def normal(angle_deg: float, plane: str) -> Point:
    """Normal of an end: the direction of the bar, turned about the axis that the cut contains."""
    sine, cosine = math.sin(math.radians(angle_deg)), math.cos(math.radians(angle_deg))
    return (cosine, 0.0, -sine) if plane == "web" else (cosine, -sine, 0.0)


def met(through: Point, n: Point, edge: tuple[float, float]) -> float:
    """Where the edge, which runs along x, meets the plane."""
    return through[0] + (n[1] * (through[1] - edge[0]) + n[2] * (through[2] - edge[1])) / n[0]


def solid_ends(solid: Solid, angles: tuple[float, float], plane: str) -> tuple[dict[str, list[float]], float]:
    """x of both edges of each face at start and end, and the length from long point to long point."""
    first, last = normal(angles[0], plane), normal(angles[1], plane)
    origin = (0.0, 0.0, 0.0)
    shift = min(met(origin, first, corner) for corner in solid.corners())
    start, end = (-shift, 0.0, 0.0), (2_000.0, 0.0, 0.0)
    xs = {
        face: [met(start, first, edge) for edge in both] + [met(end, last, edge) for edge in both]
        for face, both in solid.edges().items()
    }
    return xs, max(met(end, last, corner) for corner in solid.corners())


def solid_file(
    solid: Solid,
    angles: tuple[float, float],
    plane: str,
    *,
    header: bool,
    contours: bool = True,
    mark: str = "u",
    faces: Sequence[str] = "vouh",
) -> bytes:
    """A file of a solid with mitred ends.

    What a sign of the header means is decision 0018: a web's is the opposite of the contour's slope, a
    flange's is taken to be the slope itself.
    """
    xs, length = solid_ends(solid, angles, plane)
    changes = dict(PLAIN) | {"code": solid.code, "length": f"{length:.2f}"}
    changes |= {"height": f"{solid.height:.2f}", "flange width": f"{solid.width:.2f}"}
    changes |= {} if solid.code == "I" else {"profile": "OWN"}
    sign = -1 if plane == "web" else 1
    if header:
        changes |= {f"{plane} cut start": f"{sign * angles[0]:.3f}"}
        changes |= {f"{plane} cut end": f"{sign * angles[1]:.3f}"}
    blocks: list[str] = []
    for face in faces if contours else "":
        if face not in xs:
            continue
        wide = solid.height if face in "vh" else solid.width
        near_0, far_0, near_1, far_1 = xs[face]
        near, far = (wide, 0.0) if mark == "o" else (0.0, wide)
        points = [(near_0, near), (near_1, near), (far_1, far), (far_0, far), (near_0, near)]
        blocks += ["AK", *(f"  {face} {x:10.2f}{mark} {y:10.2f}       0.00" for x, y in points)]
    return "\n".join(["ST", *(f"  {value}" for value in changes.values()), *blocks, "EN", ""]).encode()


def only_line(file: bytes, *, quiet: bool) -> OrderLine:
    found = lines_of(file)
    assert len(found.lines) == 1, [str(finding) for finding in found.findings]
    told = {finding.code for finding in found.findings} - {"nc-section-built", "nc-flange-side"}
    assert not quiet or not told
    return found.lines[0]


# One leg of an angle alone can't be made to lie level under a head by its other leg: each plane has its leg.
SOLIDS = [
    (Solid("I", 190, 200), "web flat", "web upright"),
    (Solid("U", 200, 80), "legs down", "web upright"),
    (Solid("L", 120, 80), "long leg flat", "long leg upright"),
    (Solid("M", 120, 80), "flat", "on edge"),
]
PAIRS = [(30.0, 0.0), (0.0, 30.0), (-30.0, 0.0), (25.0, 25.0), (-25.0, 25.0), (45.0, -22.5), (-12.3, -33.7)]


@pytest.mark.parametrize("mark", ["u", "o"])
@pytest.mark.parametrize("pair", PAIRS)
@pytest.mark.parametrize("plane", ["web", "flange"])
@pytest.mark.parametrize(("solid", "web_lie", "flange_lie"), SOLIDS)
def test_a_solid_cut_by_planes_comes_back(
    solid: Solid, web_lie: str, flange_lie: str, plane: str, pair: tuple[float, float], mark: str
) -> None:
    """Header and contours, contours alone, header alone and one face alone tell the same ends."""
    _, length = solid_ends(solid, pair, plane)
    face = "v" if plane == "web" else "u"
    for header, contours, faces in (
        (True, True, "vouh"),
        (False, True, "vouh"),
        (True, False, ""),
        (True, True, face),
    ):
        file = solid_file(solid, pair, plane, header=header, contours=contours, mark=mark, faces=faces)
        line = only_line(file, quiet=header)
        assert (line.angle_a_deg, line.angle_b_deg) == pytest.approx(pair, abs=0.02)
        assert line.length_um == pytest.approx(1000 * length, abs=5.1)
        assert line.lie == (web_lie if plane == "web" else flange_lie)


@pytest.mark.parametrize(
    ("code", "contours", "doubted"), [("U", False, 1), ("L", False, 1), ("U", True, 0), ("M", False, 0)]
)
def test_a_flange_by_its_sign_alone_is_doubted_once(code: str, contours: bool, doubted: int) -> None:
    solid = Solid(code, 120, 80)
    file = solid_file(solid, (0.0, 30.0), "flange", header=True, contours=contours)
    found = lines_of(file, file)
    assert [finding.code for finding in found.findings].count("nc-flange-side") == doubted


def test_a_header_is_believed_for_the_plane_that_no_contour_draws() -> None:
    file = solid_file(Solid("I", 190, 200), (0.0, 30.0), "flange", header=True, faces="v")
    line = only_line(file, quiet=False)
    assert line.angle_b_deg == 30


def test_both_planes_at_once_are_told() -> None:
    web, flange = (
        solid_file(Solid("M", 120, 80), (0.0, 30.0), plane, header=False, faces=faces)
        .decode()
        .split("AK", 1)[1]
        for plane, faces in (("web", "vh"), ("flange", "ou"))
    )
    head = solid_file(Solid("M", 120, 80), (0.0, 30.0), "web", header=False, contours=False).decode()
    file = head.replace("\nEN", f"\nAK{web.replace('EN', '').rstrip()}\nAK{flange.rstrip()}")
    found = lines_of(file.encode())
    assert [f.code for f in found.findings if "sawable" in f.code] == ["nc-not-sawable"]
    assert not found.lines[0].is_mitred

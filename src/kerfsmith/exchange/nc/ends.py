"""How the ends of a part slant, from its header and from its contours, each of which may be wrong.

Angles are degrees from square; equal signs at both ends make a parallelogram, opposite signs a trapezoid, as
in :class:`kerfsmith.shop.order.OrderLine`. A face of the contour slants by the angle of the line that joins
its two edges: tan(angle) = (x at the far edge - x at the near edge) / width.

The standard tells in a figure alone which side a sign of the header means. A contour has coordinates, so its
side is taken wherever one is drawn; a header alone is turned into the contour's sense, for the web by what
public files show (decision 0018). Either way signs of the two ends compare with one another.
"""

import math
from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum

from kerfsmith.errors import Severity
from kerfsmith.exchange.nc.part import Contour, NcHeader, NcPart, Notebook
from kerfsmith.units.told import Told, sentence, together

SAME_DEG = 0.3
"""Contours come with two decimals of a millimetre: angles closer than this are one."""
LARGEST_DEG = 80.0
_SLACK_MM = 0.1
_SHARE = 0.02
"""A contour narrower than its face by more than this share is notched along its whole length."""


class Plane(StrEnum):
    """The faces across which a cut slants; a saw whose head swings level needs them to lie level."""

    WEB = "web"
    FLANGE = "flange"


@dataclass(frozen=True, slots=True)
class Ends:
    """The ends to be sawn: degrees from square at start and end, across ``plane`` (None: both are square).

    ``coped`` tells that an end is shaped further after it has been sawn square.
    """

    start_deg: float
    end_deg: float
    plane: Plane | None
    coped: bool = False


@dataclass(frozen=True, slots=True)
class _Said:
    """What one source says of one end; ``coped`` where it is more than one straight cut."""

    web_deg: float = 0.0
    flange_deg: float = 0.0
    coped: bool = False

    @property
    def slants(self) -> bool:
        return abs(self.web_deg) > SAME_DEG or abs(self.flange_deg) > SAME_DEG

    def turned_to(self, other: "_Said") -> "_Said":
        """The same slants to the sides of ``other``: a header has more digits than a contour."""
        # Zero plus a zero below zero is plain zero.
        return _Said(
            0.0 + math.copysign(self.web_deg, other.web_deg),
            0.0 + math.copysign(self.flange_deg, other.flange_deg),
        )

    def same(self, other: "_Said") -> bool:
        """Whether the slants are the same but for their side, which the sources count differently."""
        web = abs(abs(self.web_deg) - abs(other.web_deg))
        return max(web, abs(abs(self.flange_deg) - abs(other.flange_deg))) <= SAME_DEG


def ends_of(part: NcPart, header: NcHeader, notes: Notebook) -> Ends:
    """The ends that the saw gives the part; where it can't give what is drawn, square ones, and told why."""
    # A web angle of the header is above zero where the contour's is below it, and the other way round.
    told = (
        _Said(0.0 - header.web_start_deg, header.flange_start_deg),
        _Said(0.0 - header.web_end_deg, header.flange_end_deg),
    )
    drawn = (
        _drawn(part.contours, header, told[0], at_end=False),
        _drawn(part.contours, header, told[1], at_end=True),
    )
    _compare_extent(part, header, notes)
    row = part.contours[0].row if part.contours else None
    taken = [
        _settle(name, say, draw, row, notes)
        for name, say, draw in zip(("start", "end"), told, drawn, strict=True)
    ]
    _compare_sides(told, drawn, row, notes)
    return _sawable(taken[0], taken[1], notes)


def _settle(name: str, told: _Said, drawn: _Said | None, row: int | None, notes: Notebook) -> _Said:
    """One end, from header and contour."""
    if drawn is None or (told.slants and drawn.coped):
        return told if drawn is None else _Said(told.web_deg, told.flange_deg, coped=True)
    if not told.slants:
        if drawn.slants and not drawn.coped:
            notes.tell(
                Severity.WARNING,
                "nc-mitre-drawn",
                sentence(
                    "the header says the {name} is square but the contour slants by {drawn}; the "
                    "contour was taken",
                    name=Told(name),
                    drawn=_words(drawn),
                ),
                "Check the angle against the drawing before sawing",
                row=row,
                about="AK",
            )
        return drawn
    if not told.same(drawn):
        notes.tell(
            Severity.ERROR,
            "nc-mitre-disagrees",
            sentence(
                "the header says the {name} slants by {told}, the contour by {drawn}",
                name=Told(name),
                told=_words(told),
                drawn=_words(drawn),
            ),
            "Find out which is right and write the file out again",
            row=row,
            about="AK",
        )
    elif told.web_deg * drawn.web_deg < 0:
        notes.tell(
            Severity.WARNING,
            "nc-mitre-side",
            sentence(
                "the header's sign has the {name} slant the other way across the web than the contour; the "
                "contour was taken",
                name=Told(name),
            ),
            "Check against the drawing which side is the long one",
            row=row,
            about="AK",
        )
    return told.turned_to(drawn)


def _compare_sides(
    told: tuple[_Said, _Said], drawn: tuple[_Said | None, _Said | None], row: int | None, notes: Notebook
) -> None:
    """Parallelogram or trapezoid: header and contour must agree, whichever way each counts its sides."""
    start, end = drawn
    if start is None or end is None or notes.has_error or not (told[0].slants and told[1].slants):
        return
    for say, draw in (
        (told[0].web_deg * told[1].web_deg, start.web_deg * end.web_deg),
        (told[0].flange_deg * told[1].flange_deg, start.flange_deg * end.flange_deg),
    ):
        if say * draw < 0:
            kinds = (Told("ends that run parallel"), Told("ends that run towards each other"))
            one, other = kinds if say > 0 else kinds[::-1]
            notes.tell(
                Severity.ERROR,
                "nc-mitre-disagrees",
                sentence("the header's angles make {one}, the contour's {other}", one=one, other=other),
                "Find out which is right and write the file out again",
                row=row,
                about="AK",
            )


def _sawable(start: _Said, end: _Said, notes: Notebook) -> Ends:
    """Both ends as one setting of a head that swings in one plane can give them."""
    coped = start.coped or end.coped
    square = Ends(0.0, 0.0, None, coped)
    if not (start.slants or end.slants):
        return square
    webs = [abs(said.web_deg) > SAME_DEG for said in (start, end)]
    flanges = [abs(said.flange_deg) > SAME_DEG for said in (start, end)]
    if any(web and flange for web, flange in zip(webs, flanges, strict=True)):
        problem = Told(
            "an end slants across web and flange at once, which one setting of a swivelling head can't cut"
        )
    elif any(webs) and any(flanges):
        problem = Told(
            "one end slants across the web and the other across the flange: the bar would "
            "have to be turned over between its two cuts"
        )
    elif max(abs(start.web_deg), abs(start.flange_deg), abs(end.web_deg), abs(end.flange_deg)) >= LARGEST_DEG:
        problem = sentence(
            "an end slants by {largest} degrees or more from square, which no saw cuts",
            largest=f"{LARGEST_DEG:g}",
        )
    else:
        plane = Plane.WEB if any(webs) else Plane.FLANGE
        angles = [said.web_deg if plane is Plane.WEB else said.flange_deg for said in (start, end)]
        return Ends(angles[0], angles[1], plane, coped)
    notes.tell(
        Severity.WARNING,
        "nc-not-sawable",
        sentence("{problem}; the piece is sawn square to its overall length", problem=problem),
        "Cut the slant afterwards where the part can be set up for it",
    )
    return Ends(0.0, 0.0, None, coped=True)


def _words(said: _Said) -> str:
    told = [
        sentence("{angle} degrees across the {plane}", angle=f"{abs(angle):.3g}", plane=plane)
        for angle, plane in ((said.web_deg, Plane.WEB), (said.flange_deg, Plane.FLANGE))
        if abs(angle) > SAME_DEG
    ]
    return together(told) if told else Told("nothing")


def _compare_extent(part: NcPart, header: NcHeader, notes: Notebook) -> None:
    xs = [x for contour in part.contours for x, _, _ in contour.points]
    if not xs:
        return
    first, last = min(xs), max(xs)
    # An arc may reach further than the points between which it stands.
    rounded = any(radius for contour in part.contours for _, _, radius in contour.points)
    beyond = first < -0.5 or last > header.length_mm + 0.5
    if beyond or (not rounded and (first > 0.5 or last < header.length_mm - 0.5)):
        notes.tell(
            Severity.ERROR if beyond else Severity.WARNING,
            "nc-extent",
            sentence(
                "the contours reach from {first} to {last} mm, the header's length is {length} mm; {then}",
                first=f"{first:g}",
                last=f"{last:g}",
                length=f"{header.length_mm:g}",
                then=Told("the part would be sawn too short") if beyond else Told("the length was taken"),
            ),
            "Compare the length with the drawing" + (" and write the file out again" if beyond else ""),
            row=header.rows.get("length"),
            about="length",
        )


def _drawn(contours: Iterable[Contour], header: NcHeader, told: _Said, *, at_end: bool) -> _Said | None:
    """What the contours say of one end, of a plane without any what the header has ``told``; None where no
    face is drawn.
    """
    webs: list[float | None] = []
    flanges: list[float | None] = []
    for contour in contours:
        across = contour.face in "vh"
        # Some programs tell a plate's width where others tell its thickness.
        height_mm = max(header.height_mm, header.flange_width_mm if header.code == "B" else 0.0)
        width_mm = height_mm if across else header.flange_width_mm
        (webs if across else flanges).append(_slant(contour, width_mm, at_end=at_end))
    if not webs and not flanges:
        return None
    web = _one_of(webs) if webs else told.web_deg
    flange = _one_of(flanges) if flanges else told.flange_deg
    if web is None or flange is None:
        return _Said(coped=True)
    return _Said(web, flange)


def _one_of(slants: list[float | None]) -> float | None:
    """The slant that all faces of one plane share; None where one is coped or they differ."""
    if any(slant is None for slant in slants):
        return None
    angles = [slant for slant in slants if slant is not None]
    same = all(abs(abs(angle) - abs(angles[0])) <= SAME_DEG for angle in angles)
    return angles[0] if same else None


def _slant(contour: Contour, width_mm: float, *, at_end: bool) -> float | None:
    """Degrees by which one end of a face slants, None where it is more than one straight cut."""
    sign = -1.0 if at_end else 1.0
    points = [(sign * x, y, r) for x, y, r in contour.points]
    if points[0][:2] == points[-1][:2]:
        points = points[:-1]
    low, high = min(y for _, y, _ in points), max(y for _, y, _ in points)
    if high - low < width_mm * (1 - _SHARE) - _SLACK_MM or high - low <= 0:
        return None
    near = min(range(len(points)), key=lambda i: (abs(points[i][1] - low) > _SLACK_MM, points[i][0]))
    far = min(range(len(points)), key=lambda i: (abs(points[i][1] - high) > _SLACK_MM, points[i][0]))
    (x0, y0, r0), (x1, y1, r1) = points[near], points[far]
    joined = (near - far) % len(points) in (1, len(points) - 1)
    # The radius stands at the point where its arc begins.
    first_radius = r0 if (far - near) % len(points) == 1 else r1
    slope = (x1 - x0) / (y1 - y0) if y1 != y0 else math.inf
    outside = any(x < x0 + slope * (y - y0) - _SLACK_MM for x, y, _ in points)
    if not joined or outside or first_radius or not math.isfinite(slope):
        return None
    angle = math.degrees(math.atan(slope)) * sign * (-1.0 if contour.from_above else 1.0)
    return 0.0 if abs(angle) <= SAME_DEG else angle

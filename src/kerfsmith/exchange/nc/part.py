"""One NC file as values."""

from collections.abc import Mapping
from dataclasses import dataclass, field

from kerfsmith.errors import Finding, Severity

CODES = {
    "I": "I beam",
    "L": "angle",
    "U": "channel",
    "B": "plate or flat",
    "RU": "round bar",
    "RO": "round tube",
    "M": "rectangular tube",
    "C": "C profile",
    "T": "tee",
    "SO": "special profile",
}
"""Profile codes of the standard."""


@dataclass(frozen=True, slots=True)
class NcHeader:
    """The header's 24 lines: lengths in mm, angles in degrees from square, texts empty where ``-``.

    ``length_mm`` runs from long point to long point; ``saw_length_mm`` is None where none was given.
    ``weight`` is kg/m, for plates kg/m2; ``paint_m2_per_m`` likewise.
    """

    order: str
    drawing: str
    phase: str
    piece: str
    grade: str
    quantity: int
    profile: str
    code: str
    length_mm: float
    saw_length_mm: float | None
    height_mm: float
    flange_width_mm: float
    flange_thickness_mm: float
    web_thickness_mm: float
    radius_mm: float
    weight: float
    paint_m2_per_m: float
    web_start_deg: float
    web_end_deg: float
    flange_start_deg: float
    flange_end_deg: float
    texts: tuple[str, str, str, str] = ("", "", "", "")
    rows: Mapping[str, int] = field(default_factory=dict, compare=False)
    """The row of the file in which each field stands."""


@dataclass(frozen=True, slots=True)
class Contour:
    """One outer contour: its face (v front, o top, u bottom, h behind) and points (x, y, radius), mm.

    ``from_above`` tells that y counts from the upper edge; ``bevelled`` that an edge is prepared for welding.
    """

    face: str
    points: tuple[tuple[float, float, float], ...]
    row: int
    from_above: bool = False
    bevelled: bool = False


@dataclass(frozen=True, slots=True)
class NcPart:
    """One file: its header (None where it can't be used), contours, and how often other blocks' lines come.

    ``file`` is its name as findings call it. ``counts`` tells for each block how many holes, marks or
    outlines it gives.
    """

    file: str
    header: NcHeader | None
    contours: tuple[Contour, ...] = ()
    counts: Mapping[str, int] = field(default_factory=dict)
    findings: tuple[Finding, ...] = ()


@dataclass(frozen=True, slots=True)
class NcRemedies:
    """What a reader of the findings can do where he reads them: about a grade, about a section."""

    grade: str
    section: str


AT_COMMAND = NcRemedies("with --grade", "draw the section as DXF and name it with --section")
"""For who reads them at the command line."""
ON_PAGE = NcRemedies(
    "above, where it is asked", "draw the section in under Sections and send the files again"
)
"""For who reads them on the page of the upload."""
BY_PROGRAM = NcRemedies(
    'in the field "grade", as NAME=GRADE', "keep the section with POST /api/sections and send the files again"
)
"""For a program that sends the files."""


@dataclass(slots=True)
class Notebook:
    """Notes what is found in one file, for who reads it where ``remedies`` hold."""

    file: str
    findings: list[Finding] = field(default_factory=list)
    remedies: NcRemedies = AT_COMMAND

    def tell(
        self,
        severity: Severity,
        code: str,
        problem: str,
        remedy: str,
        *,
        row: int | None = None,
        about: str | None = None,
        read: str = "",
    ) -> None:
        """Note one finding; ``about`` is the field it speaks of."""
        self.findings.append(Finding(code, severity, self.file, row, about, read, problem, remedy))

    @property
    def has_error(self) -> bool:
        """Whether the part can't be used."""
        return any(finding.is_error for finding in self.findings)

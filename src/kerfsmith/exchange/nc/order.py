"""Many NC files as one order."""

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass, field

from kerfsmith.catalog.section import Section
from kerfsmith.errors import Finding, InvalidValue, Severity, UnknownName, UnreadableText
from kerfsmith.exchange.columns import ColumnMatch
from kerfsmith.exchange.grade_cells import GradeReader, GradeReading
from kerfsmith.exchange.nc.ends import Ends, Plane, ends_of
from kerfsmith.exchange.nc.lying import lie_for
from kerfsmith.exchange.nc.part import AT_COMMAND, NcHeader, NcPart, NcRemedies, Notebook
from kerfsmith.exchange.nc.profiles import section_of
from kerfsmith.exchange.nc.read import read_nc
from kerfsmith.exchange.order_file import OrderRead
from kerfsmith.exchange.section_cells import SectionReader, remembered
from kerfsmith.shop.order import OrderLine
from kerfsmith.units.length import mm_to_um
from kerfsmith.units.text import shown
from kerfsmith.units.told import Told, either, joined, sentence

NO_COLUMNS = ColumnMatch(None, (), {})
MOST_SAW_ALLOWANCE_MM = 100.0
"""By how much a saw length can pass the length: an allowance for machining, not another part's length."""
MOST_NOTED, MOST_NOTES = 200, 12
"""Letters of each text of a file that a note keeps, and texts."""
WORK = (
    ("BO", "holes"),
    ("IK", "cut-outs"),
    ("SC", "further cuts"),
    ("KA", "bends"),
    ("UE", "camber"),
    ("KO", "marks"),
    ("PU", "marks"),
    ("SI", "stamped text"),
)
_SAWN_SHORT_OF = ("holes", "cut-outs", "further cuts", "bends", "camber", "coped ends", "shaped edges")


@dataclass(frozen=True, slots=True)
class NcFile:
    """One file: its name as findings call it (with its place in a folder or archive), and its bytes."""

    name: str
    data: bytes


def read_nc_order(
    files: Iterable[NcFile],
    *,
    read_grade: GradeReader,
    read_section: SectionReader,
    findings: Iterable[Finding] = (),
    remedies: NcRemedies = AT_COMMAND,
) -> OrderRead:
    """All NC files of one delivery as one order, a line for each good file in the order of ``files``.

    ``findings`` are those made while the files were gathered. Each file counts as one row; a finding's row is
    the line of its file. What holds for many files (a grade's near name, a built section) is told at the
    first one. Never raises for anything in a file.
    """
    book = _Book(read_grade, remembered(read_section))
    lines: list[OrderLine] = []
    found = list(findings)
    count = 0
    for file in files:
        count += 1
        part = read_nc(file.name, file.data)
        notes = Notebook(file.name, list(part.findings), remedies)
        line = book.line(part, notes)
        found += notes.findings
        if line is not None and not notes.has_error:
            lines.append(line)
    found += book.left_to_others(count)
    return OrderRead(tuple(lines), tuple(found), NO_COLUMNS, count, count - len(lines), 0, 0, 0, ".", None)


@dataclass(slots=True)
class _Book:
    """What has been met so far in one delivery."""

    read_grade: GradeReader
    read_section: SectionReader
    grades: dict[str, GradeReading | Finding] = field(default_factory=dict)
    told: set[tuple[str, str]] = field(default_factory=set)
    marks: dict[tuple[str, str, str], str] = field(default_factory=dict)
    ids: set[str] = field(default_factory=set)
    work: Counter[str] = field(default_factory=Counter)
    first: dict[str, str] = field(default_factory=dict)

    def line(self, part: NcPart, notes: Notebook) -> OrderLine | None:
        """The line of one part, None (and told) where it can't be used."""
        header = part.header
        if header is None:
            return None
        grade = self._grade(header, notes)
        section = self._section(header, notes)
        length_um = _length_um(header, notes)
        ends = ends_of(part, header, notes)
        self._doubt_side(part, header, ends, notes)
        lie = ""
        if section is not None and ends.plane is not None:
            ends, lie = _laid(section, ends, ends.plane, header, notes)
        if grade is None or section is None or length_um is None or notes.has_error:
            return None
        work = self._work(part, ends)
        mark = header.piece or part.file
        if not header.piece:
            notes.tell(
                Severity.WARNING,
                "nc-mark-missing",
                sentence("names no piece and was called {mark}", mark=mark),
                "Give the part a mark",
                row=header.rows.get("piece"),
                about="piece",
            )
        try:
            return OrderLine(
                id=self._id(header, mark, notes),
                mark=mark,
                grade=grade,
                section=section,
                length_um=length_um,
                quantity=header.quantity,
                angle_a_deg=ends.start_deg,
                angle_b_deg=ends.end_deg,
                lie=lie,
                notes=_notes(header, ends, work),
                order=header.order,
            )
        except InvalidValue as fault:
            notes.tell(Severity.ERROR, "nc-invalid", fault.said, "Check the header's figures")
            return None

    def _doubt_side(self, part: NcPart, header: NcHeader, ends: Ends, notes: Notebook) -> None:
        """A word where the sign of the header alone tells which side of a flange is long (decision 0018)."""
        drawn = any(contour.face in "ou" for contour in part.contours)
        turns_over = header.code not in ("U", "L", "C")
        if ends.plane is Plane.FLANGE and not drawn and not turns_over and self._is_new("side", header.code):
            notes.tell(
                Severity.NOTE,
                "nc-flange-side",
                "slants across the flange by its header alone, whose sign programs count differently",
                "Check against the drawing which side is the long one, here and in every such file below",
                row=header.rows.get("flange cut start"),
                about="flange cut start",
            )

    def _grade(self, header: NcHeader, notes: Notebook) -> str | None:
        """The catalog's name of the grade."""
        text, row = header.grade, header.rows.get("grade")
        if text not in self.grades:
            try:
                self.grades[text] = self.read_grade(text)
            except (UnknownName, UnreadableText, InvalidValue) as fault:
                near = fault.near if isinstance(fault, UnknownName) else ()
                problem = (
                    "is no grade of the tables kept here" if text else "is empty where the grade belongs"
                )
                said = {"grade": notes.remedies.grade}
                remedy = sentence("Say which grade is meant, {grade}, or correct the files", **said)
                if near:
                    asked = "Say which grade is meant, such as {near}, {grade}, or correct the files"
                    remedy = sentence(asked, near=either(near), **said)
                self.grades[text] = Finding(
                    "nc-grade", Severity.ERROR, notes.file, row, "grade", shown(text), problem, remedy
                )
        found = self.grades[text]
        if isinstance(found, Finding):
            notes.tell(
                found.severity,
                found.code,
                found.problem,
                found.remedy,
                row=row,
                about="grade",
                read=found.read,
            )
            return None
        caution, note = found.caution, found.note
        if (caution or note) and self._is_new("grade", text):
            notes.tell(
                Severity.WARNING if caution else Severity.NOTE,
                "grade-nearest" if caution else "grade-words",
                caution or note,
                "Check that this grade will do, here and in every file below that names it",
                row=row,
                about="grade",
                read=text,
            )
        return found.name

    def _section(self, header: NcHeader, notes: Notebook) -> Section | None:
        """The section; a word about how it was found is kept for its first file."""
        apart = Notebook(notes.file, remedies=notes.remedies)
        section = section_of(header, self.read_section, apart)
        for finding in apart.findings:
            if finding.is_error or self._is_new(finding.code, section.key if section else header.profile):
                notes.findings.append(finding)
        return section

    def _is_new(self, kind: str, what: str) -> bool:
        new = (kind, what) not in self.told
        self.told.add((kind, what))
        return new

    def _id(self, header: NcHeader, mark: str, notes: Notebook) -> str:
        """An id of its own: order and mark, and the file where they come again in the same phase."""
        key = (header.order, header.phase, mark)
        first = self.marks.get(key)
        name = ((f"{header.order}/" if header.order else "") + mark)[:90]
        if first is None:
            self.marks[key] = notes.file
            return self._free(f"{name} phase {header.phase[:40]}" if name in self.ids else name)
        notes.tell(
            Severity.WARNING,
            "nc-mark-repeated",
            sentence("is the piece of {first} too; both are kept", first=first),
            "If it is the same part twice, take one file out",
            row=header.rows.get("piece"),
            about="piece",
            read=mark,
        )
        return self._free(f"{name[:40]} ({notes.file[-40:]})")

    def _free(self, wanted: str) -> str:
        """``wanted``, numbered where it has been given before."""
        name, count = wanted, 1
        while name in self.ids:
            count += 1
            name = f"{wanted} no. {count}"
        self.ids.add(name)
        return name

    def _work(self, part: NcPart, ends: Ends) -> tuple[Told, ...]:
        """What is done to the part beside sawing, counted for the word to the whole order."""
        counts = Counter[str]()
        for code, name in WORK:
            counts[name] += part.counts.get(code, 0)
        named = [
            Told(name)
            if name in ("camber", "stamped text")
            else sentence("{count} {work}", count=n, work=Told(name))
            for name, n in counts.items()
            if n
        ]
        kinds = [name for name, n in counts.items() if n]
        if ends.coped:
            named.insert(0, Told("coped ends"))
            kinds.append("coped ends")
        if any(contour.bevelled for contour in part.contours):
            named.append(Told("bevelled edges"))
            kinds.append("shaped edges")
        for kind in kinds:
            self.work[kind] += 1
            self.first.setdefault(kind, part.file)
        return tuple(named)

    def left_to_others(self, files: int) -> list[Finding]:
        """One word about everything that the saw leaves to other machines."""
        kinds = [kind for kind in _SAWN_SHORT_OF if self.work[kind]]
        if not kinds:
            return []
        told = joined(
            ", ", (sentence("{kind} in {files}", kind=kind, files=self.work[kind]) for kind in kinds)
        )
        return [
            Finding(
                "nc-other-work",
                Severity.NOTE,
                self.first[kinds[0]],
                None,
                None,
                "",
                sentence(
                    "of {files} files: {told}; these parts are sawn to their overall length and "
                    "drilled, coped or bent elsewhere, as the notes of their lines say",
                    files=files,
                    told=told,
                ),
                "Nothing at the saw",
            )
        ]


def _laid(section: Section, ends: Ends, plane: Plane, header: NcHeader, notes: Notebook) -> tuple[Ends, str]:
    """The ends with the lie that lets a head cut them; square ends where no lie does."""
    lie = lie_for(section.shape, plane, header)
    if lie is not None:
        return ends, lie
    notes.tell(
        Severity.WARNING,
        "nc-not-sawable",
        sentence(
            "slants across the {plane}, but no way to lay {section} has that face level; the "
            "piece is sawn square to its overall length",
            plane=plane,
            section=section.name,
        ),
        "Cut the slant afterwards where the part can be set up for it",
    )
    return Ends(0.0, 0.0, None, coped=True), ""


def _length_um(header: NcHeader, notes: Notebook) -> int | None:
    """The length to saw: the saw length where it is an allowance over the length, never where it isn't."""
    saw_mm = header.saw_length_mm
    if saw_mm is None or abs(saw_mm - header.length_mm) <= 0.05:
        return mm_to_um(header.length_mm)
    over = saw_mm - header.length_mm
    row = header.rows.get("length")
    read = f"{header.length_mm:g},{saw_mm:g}"
    if 0 < over <= MOST_SAW_ALLOWANCE_MM:
        notes.tell(
            Severity.WARNING,
            "nc-saw-length",
            sentence("has a saw length {over} mm over its length, and is sawn to that", over=f"{over:g}"),
            "Nothing, if the allowance is meant: a comma parts length and saw length, it marks no decimals",
            row=row,
            about="length",
            read=read,
        )
        return mm_to_um(saw_mm)
    notes.tell(
        Severity.ERROR,
        "nc-saw-length",
        sentence(
            "has a saw length of {saw} mm against a length of {length} mm, {over} mm {way}",
            saw=f"{saw_mm:g}",
            length=f"{header.length_mm:g}",
            over=f"{abs(over):g}",
            way=Told("more") if over > 0 else Told("less"),
        ),
        "Find out which is right and write the file out again",
        row=row,
        about="length",
        read=read,
    )
    return None


def _notes(header: NcHeader, ends: Ends, work: tuple[Told, ...]) -> Told:
    """What the order line notes of the file, its own words cut short."""
    told: list[str] = []
    if header.drawing:
        told.append(sentence("drawing {drawing}", drawing=header.drawing[:MOST_NOTED]))
    if header.phase:
        told.append(sentence("phase {phase}", phase=header.phase[:MOST_NOTED]))
    if ends.plane is not None:
        told.append(sentence("slants across the {plane}", plane=ends.plane))
    if work:
        told.append(sentence("then {work}", work=joined(", ", work)))
    told += [text[:MOST_NOTED] for text in header.texts if text]
    return joined("; ", told[:MOST_NOTES])

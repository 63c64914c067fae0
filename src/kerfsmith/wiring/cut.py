"""One cut asked in people's words."""

from kerfsmith.catalog.catalog import Catalog
from kerfsmith.catalog.reading import read_section
from kerfsmith.cutting.choose import set_cut
from kerfsmith.cutting.condition import Condition
from kerfsmith.cutting.setting import CannotCut, CutSetting, Misfit
from kerfsmith.errors import Finding, InvalidValue, Severity, UnknownName, UnreadableText
from kerfsmith.units.length import Unit
from kerfsmith.web.backstage import CutAnswer, CutQuestion


def answer_cut(question: CutQuestion, catalog: Catalog, *, bare: Unit | None = None) -> CutAnswer:
    """The best setting of each saw that takes the cut, best first; or why none does; or what was wrong."""
    findings: list[Finding] = []
    grade = section = None
    saws = catalog.saws
    try:
        grade = catalog.find_grade(question.grade)
    except UnknownName as error:
        findings.append(_unknown("grade", question.grade, error))
    try:
        section = read_section(question.section, catalog, bare=bare)
    except UnreadableText as error:
        findings.append(_finding("section", question.section, error.problem, error.remedy))
    except UnknownName as error:
        findings.append(_unknown("section", question.section, error))
    try:
        saws = (catalog.find_saw(question.saw),) if question.saw else catalog.saws
        if question.band:
            catalog.find_band(question.band)
    except UnknownName as error:
        findings.append(_unknown(error.kind, error.name, error))
    if findings or grade is None or section is None:
        return CutAnswer(findings=tuple(findings), grade=grade, section=section)
    found: list[CutSetting] = []
    misfits: list[tuple[str, tuple[Misfit, ...]]] = []
    for saw in saws:
        try:
            answer = set_cut(
                grade,
                section,
                saw,
                catalog.bands,
                catalog.corrections,
                angle_deg=question.angle_deg,
                bundle=question.bundle,
                condition=Condition(coolant=question.coolant),
                band_id=question.band or None,
                others=[other for other in catalog.saws if other is not saw],
                hazard_texts=catalog.hazard_texts,
            )
        except InvalidValue as error:
            fault = _finding("cut", question.section, str(error), "Change the angle or the number of pieces")
            return CutAnswer(findings=(fault,), grade=grade, section=section)
        if isinstance(answer, CutSetting):
            found.append(answer)
        else:
            misfits += answer.misfits
    cannot = None if found else CannotCut(tuple(misfits), "no saw of the shop takes this cut")
    best_first = tuple(sorted(found, key=lambda setting: (setting.cut_seconds, setting.saw)))
    return CutAnswer(grade=grade, section=section, alternatives=best_first, cannot=cannot)


def _unknown(field: str, read: str, error: UnknownName) -> Finding:
    near = " or ".join(error.near)
    remedy = f"Did you mean {near}?" if near else "See the catalog for the names known"
    return _finding(field, read, f"no {error.kind} of this name is known", remedy)


def _finding(field: str, read: str, problem: str, remedy: str) -> Finding:
    return Finding(f"{field}-unreadable", Severity.ERROR, "one cut", None, field, read, problem, remedy)

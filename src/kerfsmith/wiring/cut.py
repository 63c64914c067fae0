"""One cut asked in people's words."""

from collections.abc import Sequence
from dataclasses import replace

from kerfsmith.catalog.band import Band
from kerfsmith.catalog.catalog import Catalog
from kerfsmith.catalog.material import Grade
from kerfsmith.catalog.reading import read_section
from kerfsmith.catalog.saw import SawSheet
from kerfsmith.catalog.section import Section
from kerfsmith.cutting.choose import set_cut
from kerfsmith.cutting.condition import BandState, Condition
from kerfsmith.cutting.mechanics import band_report
from kerfsmith.cutting.models.teeth_in_cut import TeethClass
from kerfsmith.cutting.risk import near_rubbing
from kerfsmith.cutting.setting import CannotCut, CutSetting, Misfit
from kerfsmith.cutting.trade_off import TradeOff, alternatives, weigh
from kerfsmith.cutting.weighing import Alternative
from kerfsmith.errors import Finding, InvalidValue, Severity, UnknownName, UnreadableText
from kerfsmith.planning.factored import alternative_with_factors, with_factors
from kerfsmith.shop.factors import NO_FACTORS, Factors
from kerfsmith.units.length import Unit
from kerfsmith.units.told import Told, either, sentence
from kerfsmith.web.backstage import CutAnswer, CutQuestion

_Refusal = tuple[str, tuple[Misfit, ...]]
MOST_HB = 1000.0
NAMES = ("quickest", "cheapest", "safest")


def answer_cut(
    question: CutQuestion,
    catalog: Catalog,
    *,
    bare: Unit | None = None,
    drawn: Section | None = None,
    factors: Factors = NO_FACTORS,
) -> CutAnswer:
    """The best setting of each saw that takes the cut, best first; or why none does; or what was wrong.

    What ``question.choose`` asks for comes first: the quickest, cheapest or safest over all saws that are
    asked for, or a place on the front of the first one. ``drawn`` stands in for ``question.section``.
    ``factors`` are the shop's own.
    """
    findings: list[Finding] = []
    grade = section = None
    try:
        grade = catalog.find_grade(question.grade)
    except UnknownName as error:
        findings.append(_unknown("grade", question.grade, error))
    try:
        section = drawn or read_section(question.section, catalog, bare=bare)
    except UnreadableText as error:
        findings.append(_finding("section", question.section, error.problem, error.remedy))
    except UnknownName as error:
        findings.append(_unknown("section", question.section, error))
    saws, bands = catalog.saws, catalog.bands
    try:
        saws = (catalog.find_saw(question.saw),) if question.saw else saws
        bands = (catalog.find_band(question.band),) if question.band else bands
    except UnknownName as error:
        findings.append(_unknown(error.kind, error.name, error))
    if question.band_state and question.band_state not in list(BandState):
        told = sentence("Say {states}", states=", ".join(BandState))
        findings.append(_finding("band state", question.band_state, "is no state of a band", told))
    if question.hb is not None and not 0 < question.hb < MOST_HB:
        findings.append(_finding("hardness", f"{question.hb:g}", "is no Brinell hardness", "Write it in HB"))
    if question.choose and question.choose not in NAMES and not question.choose.isdecimal():
        findings.append(_not_chosen(question.choose, "is no name of a setting"))
    if findings or grade is None or section is None:
        return CutAnswer(findings=tuple(findings), grade=grade, section=section)
    try:
        return _CutDesk(question, catalog, grade, section, bands, factors).answer(saws)
    except InvalidValue as error:
        fault = _finding("cut", question.section, error.said, "Change the angle or the number of pieces")
        return CutAnswer(findings=(fault,), grade=grade, section=section)


class _CutDesk:
    """One question worked out: its names are known to the catalog. Raises InvalidValue for an angle or a
    count that no cut can have.
    """

    def __init__(
        self,
        question: CutQuestion,
        catalog: Catalog,
        grade: Grade,
        section: Section,
        bands: Sequence[Band],
        factors: Factors,
    ) -> None:
        self._factors = factors
        self._question, self._catalog = question, catalog
        self._grade, self._section, self._bands = grade, section, bands
        self._condition = Condition(
            coolant=question.coolant, band=BandState(question.band_state or BandState.SOUND), hb=question.hb
        )

    def answer(self, saws: Sequence[SawSheet]) -> CutAnswer:
        """Every saw's own setting, and on the first of them what there is to choose from."""
        found: list[tuple[CutSetting, SawSheet]] = []
        misfits: list[_Refusal] = []
        for saw in saws:
            answer = self._set(saw)
            if isinstance(answer, CutSetting):
                found.append((answer, saw))
            else:
                misfits += answer.misfits
        if not found:
            told = Told("no saw of the shop takes this cut")
            if self._question.saw:
                misfits = self._with_other_saws(saws[0], misfits)
                told = sentence("{saw} doesn't take this cut", saw=saws[0].name)
            cannot = CannotCut(tuple(misfits), told)
            return CutAnswer(grade=self._grade, section=self._section, cannot=cannot)
        # A saw with fewer than two teeth in a wall comes after those that have more, one on which chips may
        # burn by rubbing after those that keep clear of it.
        found.sort(
            key=lambda one: (
                one[0].teeth_class is TeethClass.TOO_FEW,
                near_rubbing(self._grade, one[0]),
                self._own(one[0]).cut_seconds,
                one[0].saw,
            )
        )
        if self._question.choose:
            return self._chosen(found)
        return self._shown(found, 1.0, self._offer(found[0][1]))

    def _chosen(self, found: list[tuple[CutSetting, SawSheet]]) -> CutAnswer:
        """The answer with what was chosen put first."""
        name = self._question.choose
        offers = [(saw, self._offer(saw)) for _, saw in (found if name in NAMES else found[:1])]
        places = [
            (saw, offer, place)
            for saw, offer in offers
            if offer is not None and (place := _place(offer, name)) is not None
        ]
        if not places:
            return self._faulty(sentence("has no setting on the front of {saw}", saw=found[0][1].name))
        saw, offer, place = min(places, key=lambda one: _weight(one[2], name))
        setting = self._set(saw, place)
        if isinstance(setting, CannotCut):
            return self._faulty(setting.text)
        others = [one for one in found if one[1] is not saw]
        return self._shown([(setting, saw), *others], place.feed_share, offer)

    def _shown(
        self, found: list[tuple[CutSetting, SawSheet]], feed_share: float, offer: TradeOff | None
    ) -> CutAnswer:
        (setting, saw), corrections = found[0], self._catalog.corrections
        return CutAnswer(
            grade=self._grade,
            section=self._section,
            alternatives=tuple(self._own(one) for one, _ in found),
            trade_off=offer,
            shown=self._own_place(
                weigh(
                    self._grade,
                    self._section,
                    saw,
                    setting,
                    corrections,
                    condition=self._condition,
                    feed_share=feed_share,
                ),
                saw,
            ),
            mechanics=band_report(self._grade, saw, setting, corrections),
        )

    def _faulty(self, problem: str) -> CutAnswer:
        fault = _not_chosen(self._question.choose, problem)
        return CutAnswer(findings=(fault,), grade=self._grade, section=self._section)

    def _with_other_saws(self, saw: SawSheet, misfits: list[_Refusal]) -> list[_Refusal]:
        """The misfits of the one saw asked for, naming those other saws that really cut it."""
        able = [
            other
            for other in self._catalog.saws
            if other is not saw and isinstance(self._set(other), CutSetting)
        ]
        again = self._set(saw, others=able) if able else None
        return list(again.misfits) if isinstance(again, CannotCut) else misfits

    def _set(
        self, saw: SawSheet, place: Alternative | None = None, others: Sequence[SawSheet] = ()
    ) -> CutSetting | CannotCut:
        """The saw's setting by the book, or the one at a place of the trade-off."""
        return set_cut(
            self._grade,
            self._section,
            saw,
            self._catalog.bands,
            self._catalog.corrections,
            angle_deg=self._question.angle_deg,
            bundle=self._question.bundle,
            condition=self._condition,
            band_id=place.band.id if place else self._question.band or None,
            speed_m_per_min=place.speed_m_per_min if place else None,
            feed_share=place.feed_share if place else 1.0,
            lie=place.lie if place else None,
            others=others,
            hazard_texts=self._catalog.hazard_texts,
        )

    def _offer(self, saw: SawSheet) -> TradeOff | None:
        offer = alternatives(
            self._grade,
            self._section,
            saw,
            self._bands,
            self._catalog.corrections,
            angle_deg=self._question.angle_deg,
            bundle=self._question.bundle,
            condition=self._condition,
        )
        if not isinstance(offer, TradeOff):
            return None
        if not self._factors.accepted:
            return offer
        return replace(
            offer,
            front=tuple(self._own_place(one, saw) for one in offer.front),
            by_band=tuple(self._own_place(one, saw) for one in offer.by_band),
        )

    def _own(self, setting: CutSetting) -> CutSetting:
        """A setting with what the shop's records put on it."""
        return with_factors(setting, self._grade, self._section, self._factors)

    def _own_place(self, one: Alternative, saw: SawSheet) -> Alternative:
        return alternative_with_factors(one, self._grade, self._section, saw.id, self._factors)


def _place(offer: TradeOff, name: str) -> Alternative | None:
    """The alternative of a name, or of a place on the front counted from 1."""
    if name in NAMES:
        return offer.named(name)
    at = int(name) - 1
    return offer.front[at] if 0 <= at < len(offer.front) else None


def _weight(place: Alternative, name: str) -> float:
    """What a name asks to be least."""
    return {"cheapest": place.price, "safest": place.risk.share}.get(name, place.seconds)


def _not_chosen(read: str, problem: str) -> Finding:
    return _finding(
        "choose", read, problem, "Choose quickest, cheapest or safest, or a place on the front, from 1"
    )


def _unknown(field: str, read: str, error: UnknownName) -> Finding:
    remedy = Told("See the catalog for the names known")
    if error.near:
        remedy = sentence("Did you mean {near}?", near=either(error.near))
    return _finding(field, read, sentence("no {kind} of this name is known", kind=Told(error.kind)), remedy)


def _finding(field: str, read: str, problem: str, remedy: str) -> Finding:
    return Finding(f"{field}-unreadable", Severity.ERROR, "one cut", None, field, read, problem, remedy)

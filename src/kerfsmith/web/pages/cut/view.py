"""What the page of one cut shows."""

from collections.abc import Sequence
from dataclasses import dataclass

from markupsafe import Markup

from kerfsmith.catalog.catalog import Catalog
from kerfsmith.catalog.material import Grade, Hazard
from kerfsmith.catalog.saw import SawSheet
from kerfsmith.catalog.section import Section
from kerfsmith.cutting.condition import BandState
from kerfsmith.cutting.setting import CannotCut, CutSetting
from kerfsmith.web.backstage import CutAnswer
from kerfsmith.web.drawing.section import section_drawing
from kerfsmith.web.findings import FindingRow, finding_rows
from kerfsmith.web.naming import band_words, edge_words, pitch_words
from kerfsmith.web.pages.cut.answerable import Answerable
from kerfsmith.web.pages.cut.ask import Asked
from kerfsmith.web.pages.cut.mechanics import mechanics_view
from kerfsmith.web.pages.cut.trade_off import TradeOffView, trade_off_view
from kerfsmith.web.reading import Reading, seconds
from kerfsmith.web.reasons import ReasonLine, reason_line
from kerfsmith.web.settings import (
    AnglePicture,
    Dial,
    angle_picture,
    angle_words,
    further_dials,
    main_dials,
    misfit_words,
    peak_power,
)
from kerfsmith.web.sheet import link
from kerfsmith.web.words import say

_WHY: dict[str, tuple[str, ...]] = {
    "Band": ("pitch", "kerf"),
    "Pitch": ("pitch", "teeth in the cut", "gullet"),
    "Band speed": ("band speed",),
    "Feed, mean": ("feed", "chip", "cutting rate"),
    "Feed, if held steady": ("feed control",),
    "Area of the cut": ("cut time",),
    "One cut": ("cut time",),
    "Kerf": ("kerf",),
    "Teeth in the cut": ("teeth in the cut", "pitch"),
    "Power": ("power",),
    "Cuts of a band's life": ("band life",),
    "Feed force": ("feed force", "band force", "straightness"),
}
"""Which reasons speak of which figure."""

_AT_DEPTH = (
    "feed", "chip", "cutting rate", "teeth in the cut", "gullet", "power", "feed force", "band force",
)  # fmt: skip
"""What the readings at each depth rest on."""

_WEIGHED = ("cut time", "band life", "kerf")
"""What time, cost and risk of the settings to choose from rest on."""


@dataclass(frozen=True, slots=True)
class Alternative:
    """Another band or saw for the same cut."""

    band: str
    pitch: str
    saw: str
    lie: str
    speed: str
    feed: str
    time: str
    span: str
    power: str
    ruled_by: str
    href: str
    chosen: bool


@dataclass(frozen=True, slots=True)
class RefusingSaw:
    """A saw that can't make the cut, and what fails."""

    name: str
    misfits: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class AnswerView:
    """The answer; which of its parts are filled tells what it is."""

    heading: str
    grade_href: str
    section_href: str
    findings: tuple[FindingRow, ...]
    cannot: str
    refusing: tuple[RefusingSaw, ...]
    refused: Markup | None
    coolant: str
    hazards: tuple[str, ...]
    main: tuple[Answerable, ...]
    at_depth: tuple[ReasonLine, ...]
    controls: tuple[ReasonLine, ...]
    weighed: tuple[ReasonLine, ...]
    further: tuple[Answerable, ...]
    cut: AnglePicture | None
    alternatives: tuple[Alternative, ...]
    cautions: tuple[str, ...]
    trade_off: TradeOffView | None
    mechanics: tuple[Answerable, ...]


@dataclass(frozen=True, slots=True)
class Choice:
    """One entry of a list to choose from."""

    value: str
    words: str


@dataclass(frozen=True, slots=True)
class CutPage:
    """The form with its lists, and the answer."""

    texts: dict[str, str]
    grades: tuple[str, ...]
    saws: tuple[Choice, ...]
    bands: tuple[Choice, ...]
    states: tuple[Choice, ...]
    answer: AnswerView


def cut_page(asked: Asked, answer: CutAnswer, catalog: Catalog, reading: Reading, currency: str) -> CutPage:
    """The page of one question; costs are in ``currency``."""
    return CutPage(
        texts=asked.texts,
        grades=tuple(grade.name for grade in catalog.grades),
        saws=tuple(Choice(saw.id, saw.name) for saw in catalog.saws),
        bands=tuple(
            Choice(
                band.id,
                say(
                    "{size}, {pitch}, {edge}",
                    size=reading.band_size(band.width_mm, band.thickness_mm),
                    pitch=band.pitch or say("grit"),
                    edge=edge_words(band),
                ),
            )
            for band in catalog.bands
        ),
        states=tuple(Choice(state, say(str(state))) for state in (BandState.BREAK_IN, BandState.WORN)),
        answer=answer_view(asked, answer, catalog, reading, currency),
    )


def answer_view(
    asked: Asked, answer: CutAnswer, catalog: Catalog, reading: Reading, currency: str
) -> AnswerView:
    """The answer in the reader's measure."""
    setting, section = answer.setting, answer.section
    saws = {saw.id: saw for saw in catalog.saws}
    names = {key: saw.name for key, saw in saws.items()}
    reasons = tuple(reason_line(reason, reading) for reason in setting.reasons) if setting else ()
    picture = None
    if setting and section:
        picture = angle_picture(section, setting, saws.get(setting.saw), reading, "cut")
    return AnswerView(
        heading=_heading(answer, names),
        grade_href=link("grades", answer.grade.name) if answer.grade else "",
        section_href=link("sections", section.name)
        if section and catalog.section_called(section.name)
        else "",
        findings=finding_rows((*asked.findings, *answer.findings)),
        cannot=_sentence(reading.told(answer.cannot.text)) if answer.cannot else "",
        refusing=_refusing(answer.cannot, names, reading),
        refused=section_drawing(
            section.shape.outline(),
            name=_title(section),
            reading=reading,
            key="refused",
            width=330,
            height=280,
        )
        if section and answer.cannot
        else None,
        coolant=_coolant(answer.grade, saws.get(setting.saw), asked) if setting and answer.grade else "",
        hazards=_hazards(catalog, answer.grade) if answer.grade else (),
        at_depth=_speaking_of(reasons, _AT_DEPTH),
        controls=_speaking_of(reasons, ("feed control",)),
        weighed=_speaking_of(reasons, _WEIGHED),
        main=_answerable(main_dials(setting, reading), reasons) if setting else (),
        further=_answerable(further_dials(setting, reading), reasons) if setting else (),
        cut=picture,
        alternatives=_alternatives(asked, answer.alternatives, names, reading),
        cautions=tuple(map(reading.told, setting.cautions)) if setting else (),
        trade_off=trade_off_view(asked, answer.trade_off, answer.shown, setting.area_cm2, reading, currency)
        if setting and answer.trade_off and answer.shown
        else None,
        mechanics=mechanics_view(answer.mechanics, setting, reading) if setting and answer.mechanics else (),
    )


def _speaking_of(reasons: Sequence[ReasonLine], abouts: tuple[str, ...]) -> tuple[ReasonLine, ...]:
    return tuple(reason for about in map(say, abouts) for reason in reasons if reason.about == about)


def _coolant(grade: Grade, saw: SawSheet | None, asked: Asked) -> str:
    """What runs at the cut, in a few words."""
    if grade.coolant == "flood":
        runs = asked.question.coolant and (saw is None or saw.coolant)
        return say("flood") if runs else say("none: cut dry, and slower for it")
    return say("air or mist") if grade.coolant == "mist" else say("none: this is cut dry")


def _hazards(catalog: Catalog, grade: Grade) -> tuple[str, ...]:
    """The first word on each hazard of the grade itself; hot chips go with every cut."""
    return tuple(
        say(catalog.hazard_texts[hazard][0].text)
        for hazard in grade.hazards
        if hazard is not Hazard.HOT_CHIPS and hazard in catalog.hazard_texts
    )


def _heading(answer: CutAnswer, names: dict[str, str]) -> str:
    if answer.grade is None or answer.section is None:
        return say("No answer yet")
    named = f"{answer.grade.name} · {_title(answer.section)}"
    if answer.setting is None:
        return say("{named} can't be cut so", named=named)
    saw = names.get(answer.setting.saw, answer.setting.saw)
    return say(
        "{named}, {angle_deg} on the {saw}",
        named=named,
        angle_deg=angle_words(answer.setting.angle_deg),
        saw=saw,
    )


def _sentence(text: str) -> str:
    return text[:1].upper() + text[1:]


def _title(section: Section) -> str:
    return section.name or section.key


def _answerable(dials: Sequence[Dial], reasons: Sequence[ReasonLine]) -> tuple[Answerable, ...]:
    why = {say(label): tuple(map(say, abouts)) for label, abouts in _WHY.items()}
    return tuple(
        Answerable(dial, tuple(reason for reason in reasons if reason.about in why.get(dial.label, ())))
        for dial in dials
    )


def _refusing(cannot: CannotCut | None, names: dict[str, str], reading: Reading) -> tuple[RefusingSaw, ...]:
    if cannot is None:
        return ()
    return tuple(
        RefusingSaw(names.get(saw, saw), tuple(misfit_words(misfit, reading) for misfit in misfits))
        for saw, misfits in cannot.misfits
    )


def _alternatives(
    asked: Asked, settings: Sequence[CutSetting], names: dict[str, str], reading: Reading
) -> tuple[Alternative, ...]:
    return tuple(
        Alternative(
            band=band_words(one.band, reading),
            pitch=pitch_words(one.band),
            saw=names.get(one.saw, one.saw),
            lie=say(one.lie),
            speed=reading.speed(one.band_speed_m_per_min),
            feed=reading.feed(one.mean_feed_mm_per_min),
            time=seconds(one.cut_seconds),
            span=say("{low} to {high}", low=seconds(one.cut_seconds_low), high=seconds(one.cut_seconds_high)),
            power=peak_power(one, reading),
            ruled_by=say(str(one.ruling_limit)),
            href=asked.link(saw=one.saw, band=one.band.id, choose=""),
            chosen=at == 0,
        )
        for at, one in enumerate(settings)
    )

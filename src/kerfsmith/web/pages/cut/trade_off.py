"""The trade-off on the page of one cut: its picture, a walk along it, and the settings side by side."""

from dataclasses import dataclass
from decimal import Decimal

from markupsafe import Markup

from kerfsmith.cutting.trade_off import TradeOff
from kerfsmith.cutting.weighing import Alternative
from kerfsmith.units.money import Money
from kerfsmith.units.show import show_money
from kerfsmith.web.drawing.trade_off import Mark, trade_off_picture
from kerfsmith.web.naming import band_words, edge_words, pitch_words
from kerfsmith.web.pages.cut.ask import Asked
from kerfsmith.web.reading import Reading, seconds, share
from kerfsmith.web.words import say, to_say

BY_THE_BOOK = to_say("by the book")
RISK_WORDS = {
    "strain": to_say("by what tooth, gullet, band and motor bear"),
    "rubbing": to_say("by a chip so thin that the band may rub"),
    "teeth": to_say("by few teeth in the thinnest wall"),
    "fire": to_say("by a speed near that at which chips burn"),
}
"""What a risk is of."""
_NAMES = (to_say("quickest"), to_say("cheapest"), to_say("safest"))


@dataclass(frozen=True, slots=True)
class Column:
    """One setting of the side by side: its names, and its figures each with a small line below."""

    heading: str
    href: str
    shown: bool
    cells: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class BandRow:
    """One band at its quickest."""

    band: str
    pitch: str
    href: str
    speed: str
    time: str
    span: str
    cost: str
    cost_span: str
    risk: str


@dataclass(frozen=True, slots=True)
class Walk:
    """Where on the front the page stands: ``at`` of ``most``, and the ways on from there."""

    at: int
    most: int
    told: str
    kept: tuple[tuple[str, str], ...]
    quicker: str
    slower: str
    by_the_book: str


@dataclass(frozen=True, slots=True)
class TradeOffView:
    """The whole block."""

    lead: str
    picture: Markup
    walk: Walk | None
    rows: tuple[str, ...]
    columns: tuple[Column, ...]
    bands: tuple[BandRow, ...]


def trade_off_view(
    asked: Asked, offer: TradeOff, shown: Alternative, area_cm2: float, reading: Reading, currency: str
) -> TradeOffView:
    """What there is to choose from for the saw of the setting shown, which cuts ``area_cm2``."""
    desk = _Desk(asked, offer, shown, area_cm2, reading, currency)
    return TradeOffView(
        lead=desk.lead(),
        picture=trade_off_picture(desk.marks(), currency, "trade-off-picture"),
        walk=desk.walk() if len(offer.front) > 1 else None,
        rows=(
            say("One cut"),
            say("Cost of a cut"),
            say("Risk"),
            say("Band"),
            say("Band speed"),
            say("Feed"),
            say("Against the quickest"),
        ),
        columns=desk.columns(),
        bands=tuple(desk.band_row(one) for one in offer.by_band),
    )


@dataclass(frozen=True)
class _Desk:
    asked: Asked
    offer: TradeOff
    shown: Alternative
    area_cm2: float
    reading: Reading
    currency: str

    @property
    def place(self) -> int | None:
        """The place on the front of the setting shown, from 0; None where it isn't on it."""
        return next((at for at, one in enumerate(self.offer.front) if _same(one, self.shown)), None)

    def lead(self) -> str:
        front = len(self.offer.front)
        which = say("is the one") if front == 1 else say("are the {front}", front=front)
        return say(
            "{tried} settings of band, speed and feed were weighed on this saw; here {which} "
            "that nothing beats in time, cost and risk at once.",
            tried=self.offer.tried,
            which=which,
        )

    def marks(self) -> list[Mark]:
        """The front, and the setting shown where it stands off it."""
        place = self.place
        found = [
            self._mark(str(at + 1), say(" and ").join(map(say, one.names)), one, at == place)
            for at, one in enumerate(self.offer.front)
        ]
        return found if place is not None else [*found, self._mark("", self._off_words(), self.shown, True)]

    def _off_words(self) -> str:
        return say("shown") if self.asked.question.choose else say(BY_THE_BOOK)

    def _mark(self, number: str, words: str, one: Alternative, shown: bool) -> Mark:
        named = ", ".join(part for part in (number and say("place {number}", number=number), words) if part)
        return Mark(
            number,
            words,
            one.seconds,
            one.cost.total if one.cost else None,
            one.risk.share,
            self._href(number),
            shown,
            say("{setting}: {told}", setting=named, told=self._told(one)),
        )

    def _told(self, one: Alternative) -> str:
        time, risk = seconds(one.seconds), share(one.risk.share, 0)
        if one.cost is None:
            return say("{time}, risk {risk}", time=time, risk=risk)
        return say("{time}, {cost}, risk {risk}", time=time, cost=self._cost(one), risk=risk)

    def _href(self, choose: str) -> str:
        return self.asked.link(saw=self.offer.saw, choose=choose) + "#trade-off"

    def walk(self) -> Walk:
        """The slider's place: the setting shown, or the one on the front nearest to it in time."""
        front, place = self.offer.front, self.place
        near = min(range(len(front)), key=lambda at: abs(front[at].seconds - self.shown.seconds))
        at = near if place is None else place
        before = at - 1 if place is not None else at
        kept = {**self.asked.texts, "saw": self.offer.saw}
        return Walk(
            at=at + 1,
            most=len(front),
            told=say(
                "place {at} of {front}: {front_2}", at=at + 1, front=len(front), front_2=self._told(front[at])
            )
            if place is not None
            else say("{setting}: {told}", setting=self._off_words(), told=self._told(self.shown)),
            kept=tuple((name, text) for name, text in kept.items() if name != "choose"),
            quicker=self._href(str(before + 1)) if before >= 0 else "",
            slower=self._href(str(at + 2)) if at + 1 < len(front) else "",
            by_the_book=self._href("") if self.asked.question.choose else "",
        )

    def columns(self) -> tuple[Column, ...]:
        """The named ends of the front, and the setting shown where it is none of them."""
        place = self.place
        found = [
            self._column(say(" and ").join(map(say, one.names)).capitalize(), str(at + 1), one, at == place)
            for name in _NAMES
            for at, one in enumerate(self.offer.front)
            if one.names and one.names[0] == name
        ]
        if any(column.shown for column in found):
            return tuple(found)
        heading = self._off_words().capitalize() if place is None else say("Place {place}", place=place + 1)
        own = self._column(heading, "" if place is None else str(place + 1), self.shown, True)
        return (*found, own)

    def _column(self, heading: str, choose: str, one: Alternative, shown: bool) -> Column:
        band, reading = one.band, self.reading
        life = ""
        if one.life:
            low, usual, high = (round(area / self.area_cm2) for area in one.life.as_tuple())
            life = say("a band lasts about {usual} cuts, {low} to {high}", usual=usual, low=low, high=high)
        return Column(
            heading,
            self._href(choose),
            shown,
            (
                (
                    seconds(one.seconds),
                    say("{low} to {high}", low=seconds(one.seconds_low), high=seconds(one.seconds_high)),
                ),
                (self._cost(one), self._cost_span(one)),
                (share(one.risk.share, 0), say(RISK_WORDS[one.risk.by])),
                (
                    reading.band_size(band.width_mm, band.thickness_mm),
                    say("{pitch}, {edge}", pitch=pitch_words(band), edge=edge_words(band)),
                ),
                (reading.speed(one.speed_m_per_min), life),
                (
                    say("all") if one.feed_share == 1 else f"{one.feed_share:.0%}",
                    say("of what every limit allows"),
                ),
                (self._against(one), ""),
            ),
        )

    def _cost(self, one: Alternative) -> str:
        return self._money(one.cost.total) if one.cost else say("not known")

    def _cost_span(self, one: Alternative) -> str:
        if one.cost is None:
            return say("no life of this band is known")
        return say("{low} to {high}", low=f"{one.cost.low:.2f}", high=self._money(one.cost.high))

    def _money(self, amount: float) -> str:
        return show_money(Money(Decimal(repr(amount)), self.currency))

    def _against(self, one: Alternative) -> str:
        quickest = self.offer.named("quickest")
        slower = one.seconds - quickest.seconds
        if slower < 0.05 and _same(one, quickest):
            return say("the quickest itself")
        time = seconds(abs(slower))
        told = [say("{time} slower", time=time) if slower > 0 else say("{time} quicker", time=time)]
        if abs(slower) < 0.05:
            told = [say("as quick")]
        if one.cost and quickest.cost:
            dearer = one.cost.total - quickest.cost.total
            money = self._money(abs(dearer))
            told.append(
                say("{money} dearer", money=money) if dearer > 0 else say("{money} cheaper", money=money)
            )
        return ", ".join(told)

    def band_row(self, one: Alternative) -> BandRow:
        """A band at its quickest."""
        reading, band = self.reading, one.band
        return BandRow(
            band=band_words(band, reading),
            pitch=pitch_words(band),
            href=self.asked.link(saw=self.offer.saw, band=band.id, choose="quickest"),
            speed=reading.speed(one.speed_m_per_min),
            time=seconds(one.seconds),
            span=say("{low} to {high}", low=seconds(one.seconds_low), high=seconds(one.seconds_high)),
            cost=self._cost(one),
            cost_span=self._cost_span(one),
            risk=share(one.risk.share, 0),
        )


def _same(one: Alternative, other: Alternative) -> bool:
    """Whether two settings are one: the same band at the same speed and share of the feed."""
    return (one.band.id, one.lie) == (other.band.id, other.lie) and all(
        abs(a - b) <= 1e-6 * b
        for a, b in ((one.speed_m_per_min, other.speed_m_per_min), (one.feed_share, other.feed_share))
    )

"""What a cut wears off its band, and its share of changing it."""

from decimal import Decimal

from kerfsmith.catalog.figure import Confidence
from kerfsmith.catalog.saw import SawSheet
from kerfsmith.costing.rates import Rates
from kerfsmith.costing.reckoning import Basis, Cause, Cost, Driver, Kind, Reckoning, Sway, exact, reckoned
from kerfsmith.cutting.setting import CutSetting
from kerfsmith.units.told import Told, quantity, sentence

_S_PER_H = Decimal(3600)


def wear_costs(
    setting: CutSetting, saw: SawSheet, rates: Rates, cuts: Decimal | int, share: Decimal, share_text: Told
) -> list[Cost]:
    """Band used up by ``cuts`` cuts, and the saw's and the person's time to change it, area over life.

    cost = (P L + t_change (r_saw + r_people)) A / A_life (derived: a band is used up in proportion to the
    area it has cut). Nothing where no life is known: :func:`wear_unknown` says so.
    """
    if setting.life_area_cm2 is None or not cuts:
        return []
    low, usual, high = (exact(life) for life in setting.life_area_cm2)
    area = exact(setting.area_cm2) * cuts
    bands = area / usual
    metres = exact(saw.band_length_mm) / 1000
    price = rates.band_per_m(setting.band)
    life = Basis(
        sentence(
            "{area} cut; a band cuts {usual} here, between {low} and {high}",
            area=_area(area),
            usual=_area(usual),
            low=_area(low),
            high=_area(high),
        ),
        "house",
        Confidence.MEMORY_LOW,
    )
    paid = setting.band.id in rates.band_price_per_m
    bought = Basis(
        sentence(
            "{metres} m of {band} at {price} a metre",
            metres=f"{metres.normalize():f}",
            band=setting.band.id,
            price=price.value,
        ),
        "shop" if paid else setting.band.price_per_m.source,
        Confidence.SHOP if paid else setting.band.price_per_m.confidence,
    )
    worn = reckoned(
        sentence("wear of {band}", band=setting.band.id),
        Kind.BAND,
        Reckoning(
            bands,
            Told("band"),
            rates.money(price.value * metres),
            Driver.BAND,
            (life, bought),
            share,
            share_text,
        ),
        [
            *_by_life(area, (low, usual, high), price.value * metres * share),
            Sway(
                Cause.BAND_PRICE,
                (price.value - price.low) * metres * bands * share,
                (price.high - price.value) * metres * bands * share,
            ),
        ],
    )
    return [worn, *_changes(setting, saw, rates, area, (low, usual, high), life, share, share_text)]


def _changes(
    setting: CutSetting,
    saw: SawSheet,
    rates: Rates,
    area: Decimal,
    lives: tuple[Decimal, Decimal, Decimal],
    life: Basis,
    share: Decimal,
    share_text: Told,
) -> list[Cost]:
    hours = area / lives[1] * exact(saw.cycle.band_change_s) / _S_PER_H
    each = Basis(
        sentence("{seconds} s a change", seconds=f"{saw.cycle.band_change_s:g}"), "saw sheet", Confidence.SHOP
    )
    found = []
    for name, rate, driver in (
        (sentence("changing {band}: saw", band=setting.band.id), rates.hour_of(saw), Driver.SAW_HOUR),
        (
            sentence("changing {band}: person", band=setting.band.id),
            rates.people_hour * rates.hands_on,
            Driver.PEOPLE_HOUR,
        ),
    ):
        how = Reckoning(hours, Told("h"), rates.money(rate), driver, (life, each), share, share_text)
        one = rate * exact(saw.cycle.band_change_s) / _S_PER_H * share
        found.append(reckoned(name, Kind.BAND, how, _by_life(area, lives, one)))
    return found


def _area(area_cm2: Decimal) -> str:
    return quantity(float(area_cm2), "cm2")


def _by_life(area: Decimal, lives: tuple[Decimal, Decimal, Decimal], one: Decimal) -> list[Sway]:
    """What the span of life does to bands that cost ``one`` each: the longest life is the cheap end."""
    low, usual, high = lives
    return [Sway(Cause.BAND_LIFE, one * (area / usual - area / high), one * (area / low - area / usual))]


def wear_unknown(setting: CutSetting) -> Told | None:
    """What to say where no life is known, so that the price has no wear of the band in it."""
    if setting.life_area_cm2 is not None:
        return None
    return sentence(
        "no life of {band} is known in this grade: wear of the band isn't in the price", band=setting.band.id
    )

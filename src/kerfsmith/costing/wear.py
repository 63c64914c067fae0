"""What a cut wears off its band, and its share of changing it."""

from decimal import Decimal

from kerfsmith.catalog.figure import Confidence
from kerfsmith.catalog.saw import SawSheet
from kerfsmith.costing.rates import Rates
from kerfsmith.costing.reckoning import Basis, Cause, Cost, Driver, Kind, Reckoning, Sway, exact, reckoned
from kerfsmith.cutting.setting import CutSetting

_S_PER_H = Decimal(3600)


def wear_costs(
    setting: CutSetting, saw: SawSheet, rates: Rates, cuts: Decimal | int, share: Decimal, share_text: str
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
        f"{area:.0f} cm2 cut; a band cuts {usual:.0f} cm2 here, between {low:.0f} and {high:.0f}",
        "house",
        Confidence.MEMORY_LOW,
    )
    paid = setting.band.id in rates.band_price_per_m
    bought = Basis(
        f"{metres.normalize():f} m of {setting.band.id} at {price.value} a metre",
        "shop" if paid else setting.band.price_per_m.source,
        Confidence.SHOP if paid else setting.band.price_per_m.confidence,
    )
    worn = reckoned(
        f"wear of {setting.band.id}",
        Kind.BAND,
        Reckoning(
            bands, "band", rates.money(price.value * metres), Driver.BAND, (life, bought), share, share_text
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
    share_text: str,
) -> list[Cost]:
    hours = area / lives[1] * exact(saw.cycle.band_change_s) / _S_PER_H
    each = Basis(f"{saw.cycle.band_change_s:g} s a change", "saw sheet", Confidence.SHOP)
    found = []
    for name, rate, driver in (
        (f"changing {setting.band.id}: saw", rates.hour_of(saw), Driver.SAW_HOUR),
        (f"changing {setting.band.id}: person", rates.people_hour * rates.hands_on, Driver.PEOPLE_HOUR),
    ):
        how = Reckoning(hours, "h", rates.money(rate), driver, (life, each), share, share_text)
        one = rate * exact(saw.cycle.band_change_s) / _S_PER_H * share
        found.append(reckoned(name, Kind.BAND, how, _by_life(area, lives, one)))
    return found


def _by_life(area: Decimal, lives: tuple[Decimal, Decimal, Decimal], one: Decimal) -> list[Sway]:
    """What the span of life does to bands that cost ``one`` each: the longest life is the cheap end."""
    low, usual, high = lives
    return [Sway(Cause.BAND_LIFE, one * (area / usual - area / high), one * (area / low - area / usual))]


def wear_unknown(setting: CutSetting) -> str | None:
    """What to say where no life is known, so that the price has no wear of the band in it."""
    if setting.life_area_cm2 is not None:
        return None
    return f"no life of {setting.band.id} is known in this grade: wear of the band isn't in the price"

"""A trade-off and a band report made by hand: figures of a likely size, nothing reckoned."""

from dataclasses import replace

from tests.web import sample

from kerfsmith.catalog.figure import Confidence
from kerfsmith.cutting.life import CutCost, LifeSpan
from kerfsmith.cutting.mechanics import BandReport
from kerfsmith.cutting.risk import Risk
from kerfsmith.cutting.setting import CutSetting, Reason
from kerfsmith.cutting.trade_off import TradeOff
from kerfsmith.cutting.weighing import Alternative
from kerfsmith.units.told import Told, quantity


def alternative(
    seconds: float, cost: float | None, strain: float, *names: str, speed: float = 90.0
) -> Alternative:
    """A place of a trade-off; its ranges are a fifth about it."""
    band = next(one for one in sample.catalog().bands if one.id == "B34-3/4")
    return Alternative(
        band=band,
        lie="as drawn",
        speed_m_per_min=speed,
        feed_share=1.0,
        seconds=seconds,
        seconds_low=seconds * 0.8,
        seconds_high=seconds * 1.2,
        strain=strain,
        risk=Risk(strain, "strain", (strain, 0.2, 0.3, 0.0)),
        life=LifeSpan(20_000, 40_000, 60_000),
        cost=None if cost is None else CutCost(cost * 0.7, cost * 0.2, cost * 0.1, cost * 0.8, cost * 1.2),
        names=names,
    )


def offer(*front: Alternative) -> TradeOff:
    """A trade-off on the north saw, of three named places and one between where none are given."""
    found = front or (
        alternative(46, 0.99, 1.0, "quickest", speed=115),
        alternative(54, 0.93, 0.85, "cheapest", speed=100),
        alternative(65, 1.33, 0.7, speed=95),
        alternative(91, 1.78, 0.5, "safest", speed=85),
    )
    return TradeOff("north", found, 2200, (replace(found[0], names=()),))


def shown(setting: CutSetting) -> Alternative:
    """A setting weighed."""
    return alternative(setting.cut_seconds, 1.8, 1.0, speed=setting.band_speed_m_per_min)


def report() -> BandReport:
    """What a band of 34 x 1.1 mm goes through."""
    reason = Reason(
        "bending",
        Told(f"a band {quantity(1.1, 'mm')} thick bent round a wheel of {quantity(495, 'mm')}"),
        "σb = E t / (D + t)",
        "derived",
        "",
        Confidence.DERIVED,
    )
    return BandReport(
        455.0, 200.0, (172.0, 241.0), 7480.0, 230.0, 135.0, 0.01, 450.0, 450.0, 33.0, 507.0, 0.73, 8586.0,
        0.07, 175.0, (1.8, 1.7), 0.5, 484.0, (reason,),
    )  # fmt: skip

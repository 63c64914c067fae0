"""What one cut costs: the same tree as an order line's, without metal and papers."""

from decimal import Decimal

from kerfsmith.catalog.saw import SawSheet
from kerfsmith.costing.hours import Stretch, people_costs, saw_costs
from kerfsmith.costing.rates import Rates
from kerfsmith.costing.reckoning import Basis, Cost, Kind, summed
from kerfsmith.costing.wear import wear_costs
from kerfsmith.cutting.setting import CutSetting
from kerfsmith.planning.times import idle_seconds_per_cut

_ONE = Decimal(1)


def cost_cut(setting: CutSetting, saw: SawSheet, rates: Rates) -> Cost:
    """Saw time, people and band of one cut with ``setting``, feeding and metal left out.

    A bundle's cut is one cut: divide by ``setting.bundle`` for a piece.
    """
    idle = idle_seconds_per_cut(saw)
    sawing = (setting.cut_seconds_low, setting.cut_seconds, setting.cut_seconds_high)
    found = (
        Stretch("sawing", sawing, rates.attendance, _ONE, "", Basis("cut slice by slice"), is_sawing=True),
        Stretch("head down and back", (idle, idle, idle), rates.attendance, _ONE, "", Basis("saw's cycle")),
    )
    parts = (
        summed(Kind.SAW.value, Kind.SAW, saw_costs(found, saw, rates), rates.currency),
        summed(Kind.PEOPLE.value, Kind.PEOPLE, people_costs(found, rates), rates.currency),
        summed(Kind.BAND.value, Kind.BAND, wear_costs(setting, saw, rates, 1, _ONE, ""), rates.currency),
    )
    return summed("one cut", Kind.SAW, parts, rates.currency)

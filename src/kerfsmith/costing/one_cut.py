"""What one cut costs: the same tree as an order line's, without metal and papers."""

from decimal import Decimal

from kerfsmith.catalog.saw import SawSheet
from kerfsmith.costing.hours import Stretch, people_costs, saw_costs
from kerfsmith.costing.rates import Rates
from kerfsmith.costing.reckoning import Basis, Cost, Kind, of_kind, summed
from kerfsmith.costing.wear import wear_costs
from kerfsmith.cutting.setting import CutSetting
from kerfsmith.planning.times import idle_seconds_per_cut
from kerfsmith.units.told import NOTHING, Told

_ONE = Decimal(1)


def cost_cut(setting: CutSetting, saw: SawSheet, rates: Rates) -> Cost:
    """Saw time, people and band of one cut with ``setting``, feeding and metal left out.

    A bundle's cut is one cut: divide by ``setting.bundle`` for a piece.
    """
    idle = idle_seconds_per_cut(saw)
    sawing = (setting.cut_seconds_low, setting.cut_seconds, setting.cut_seconds_high)
    slices, cycle = Basis(Told("cut slice by slice")), Basis(Told("saw's cycle"))
    found = (
        Stretch(Told("sawing"), sawing, rates.attendance, _ONE, NOTHING, slices, is_sawing=True),
        Stretch(Told("head down and back"), (idle, idle, idle), rates.attendance, _ONE, NOTHING, cycle),
    )
    parts = (
        of_kind(Kind.SAW, saw_costs(found, saw, rates), rates.currency),
        of_kind(Kind.PEOPLE, people_costs(found, rates), rates.currency),
        of_kind(Kind.BAND, wear_costs(setting, saw, rates, 1, _ONE, NOTHING), rates.currency),
    )
    return summed(Told("one cut"), Kind.SAW, parts, rates.currency)

"""Values as text in the measure a person reads; the only place where figures are rounded.

Conversion factors: NIST SP 811, appendix B (inch, foot, pound and pound-force exact; horsepower of
550 ft·lbf/s; psi from these). Every function raises InvalidValue for a figure that is not finite.
"""

import math
from decimal import ROUND_HALF_UP
from fractions import Fraction

from kerfsmith.errors import InvalidValue
from kerfsmith.units.length import UM_PER_FOOT, UM_PER_INCH, UM_PER_MM, Measure, mm_to_um, nearest
from kerfsmith.units.money import Money, smallest_part

M_PER_FOOT = 0.3048
MM_PER_INCH = 25.4
KG_PER_LB = 0.45359237
N_PER_LBF = 4.4482216152605
KW_PER_HP = 0.74569987158227022
CM2_PER_IN2 = 6.4516
MPA_PER_PSI = 0.006894757293168361
UM_PER_THOU = Fraction(254, 10)


def show_length(length_um: int, measure: Measure, *, denominator: int = 64, decimals: int = 1) -> str:
    """``1190.6 mm`` (to ``decimals``) or ``46 7/8 in``.

    Inches show a fraction, down to 1/``denominator``, only where it is the length within half a micrometre;
    otherwise decimals to 0.001 in.
    """
    if measure is Measure.METRIC:
        return f"{_decimals(Fraction(length_um, UM_PER_MM), decimals)} mm"
    return f"{_inches(length_um, denominator)} in"


def show_size(size_mm: float, measure: Measure) -> str:
    """A dimension of work or tool, finer the smaller it is: ``101.6 mm``, ``3.25 mm`` or ``0.128 in``.

    Inches as `show_length` shows them.
    """
    _finite(size_mm)
    size = abs(size_mm)
    if measure is Measure.INCH and size >= MM_PER_INCH / 100:
        return f"{_inches(mm_to_um(size_mm), 64)} in"
    if measure is Measure.INCH:
        return f"{_decimals(Fraction(size_mm) / Fraction(254, 10), 5)} in"
    return f"{_decimals(Fraction(size_mm), 1 if size >= 9.995 else 2 if size >= 0.0995 else 3)} mm"


def show_chip(chip_um: float, measure: Measure) -> str:
    """Thickness of a chip: ``24 µm`` or ``0.94 thou``."""
    _finite(chip_um)
    if measure is Measure.METRIC:
        return f"{_decimals(Fraction(chip_um), 0 if abs(chip_um) >= 9.5 else 1)} µm"
    thou = Fraction(chip_um) / UM_PER_THOU
    return f"{_decimals(thou, 1 if abs(thou) >= 0.995 else 2, strip=False)} thou"


def show_feet_inches(length_um: int, *, denominator: int = 64) -> str:
    """``12'-6 3/8"``; a length without such a fraction has its inches in decimals, ``12'-6.381"``."""
    sign, size = ("-" if length_um < 0 else ""), abs(length_um)
    feet, rest = divmod(size, UM_PER_FOOT)
    inches = _inches(rest, denominator)
    if inches in ("12", "12.000"):
        feet, inches = feet + 1, "0"
    return f"{sign}{feet}'-{inches}\""


def show_speed(speed_m_per_min: float, measure: Measure) -> str:
    """Band speed: ``76 m/min`` or ``250 ft/min``."""
    if measure is Measure.METRIC:
        return f"{_whole_from_ten(speed_m_per_min)} m/min"
    return f"{_whole_from_ten(speed_m_per_min / M_PER_FOOT)} ft/min"


def show_feed(feed_mm_per_min: float, measure: Measure) -> str:
    """Feed of the head in three figures: ``36.5 mm/min`` or ``1.44 in/min``."""
    if measure is Measure.METRIC:
        return f"{_three_figures(feed_mm_per_min)} mm/min"
    return f"{_three_figures(feed_mm_per_min / MM_PER_INCH)} in/min"


def show_area(area_cm2: float, measure: Measure) -> str:
    """Area, of a cut or of all a band cuts, in three figures: ``81.1 cm²``, ``64500 cm²``, ``12.6 in²``."""
    area, unit = (area_cm2, "cm²") if measure is Measure.METRIC else (area_cm2 / CM2_PER_IN2, "in²")
    return f"{_three_figures(float(f'{area:.3g}') if area >= 1000 else area)} {unit}"


def show_area_rate(rate_cm2_per_min: float, measure: Measure) -> str:
    """Cutting rate in three figures: ``64.5 cm²/min`` or ``10.0 in²/min``."""
    if measure is Measure.METRIC:
        return f"{_three_figures(rate_cm2_per_min)} cm²/min"
    return f"{_three_figures(rate_cm2_per_min / CM2_PER_IN2)} in²/min"


def show_mass(mass_kg: float, measure: Measure) -> str:
    """Mass in three figures: ``16.1 kg`` or ``35.5 lb``."""
    if measure is Measure.METRIC:
        return f"{_three_figures(mass_kg)} kg"
    return f"{_three_figures(mass_kg / KG_PER_LB)} lb"


def show_power(power_kw: float, measure: Measure) -> str:
    """Power in three figures: ``7.46 kW`` or ``10.0 hp``."""
    if measure is Measure.METRIC:
        return f"{_three_figures(power_kw)} kW"
    return f"{_three_figures(power_kw / KW_PER_HP)} hp"


def show_force(force_n: float, measure: Measure) -> str:
    """Force in three figures: ``850 N``, ``1.20 kN`` from a thousand newtons, or ``270 lbf``."""
    if measure is Measure.INCH:
        return f"{_three_figures(force_n / N_PER_LBF)} lbf"
    if abs(force_n) >= 999.5:
        return f"{_three_figures(force_n / 1000)} kN"
    return f"{_three_figures(force_n)} N"


def show_stress(stress_mpa: float, measure: Measure) -> str:
    """Stress: ``200 MPa``, or ``29 000 psi`` to the nearest hundred, as the trade has it."""
    _finite(stress_mpa)
    if measure is Measure.METRIC:
        return f"{_three_figures(stress_mpa)} MPa"
    psi = stress_mpa / MPA_PER_PSI
    if abs(psi) < 1000:
        return f"{_three_figures(psi)} psi"
    return f"{nearest(Fraction(psi) / 100) * 100:,} psi".replace(",", "\u00a0")


def show_specific_force(force_n_per_mm2: float, measure: Measure) -> str:
    """Cutting force on each square of chip: ``1500 N/mm²``, or ``218 000 psi``."""
    if measure is Measure.METRIC:
        return f"{_three_figures(force_n_per_mm2)} N/mm²"
    return show_stress(force_n_per_mm2, measure)


def show_stiffness(stiffness_n_per_mm: float, measure: Measure) -> str:
    """Stiffness in three figures: ``850 N/mm`` or ``4850 lbf/in``."""
    if measure is Measure.METRIC:
        return f"{_three_figures(stiffness_n_per_mm)} N/mm"
    return f"{_three_figures(stiffness_n_per_mm / N_PER_LBF * MM_PER_INCH)} lbf/in"


def show_unit_power(power_kw_s_per_cm3: float, measure: Measure) -> str:
    """Power for a rate of removal: ``2.46 kW/(cm³/s)`` or ``0.901 hp/(in³/min)``."""
    if measure is Measure.METRIC:
        return f"{_three_figures(power_kw_s_per_cm3)} kW/(cm³/s)"
    hp_min_per_in3 = power_kw_s_per_cm3 / KW_PER_HP * (MM_PER_INCH / 10) ** 3 / 60
    return f"{_three_figures(hp_min_per_in3)} hp/(in³/min)"


def show_seconds(seconds: float) -> str:
    """``8.5 s``, ``34 s``, ``1 min 34 s``, ``2 h 05 min``."""
    _finite(seconds)
    sign, size = ("-" if seconds < 0 else ""), abs(seconds)
    if size < 9.95:
        return f"{sign}{_decimals(Fraction(size), 1)} s"
    whole = nearest(Fraction(size))
    if whole < 60:
        return f"{sign}{whole} s"
    if whole < 3600:
        return f"{sign}{whole // 60} min {whole % 60:02d} s"
    minutes = nearest(Fraction(size) / 60)
    return f"{sign}{minutes // 60} h {minutes % 60:02d} min"


def show_money(money: Money) -> str:
    """``1234.50 EUR``, rounded half up to the currency's own parts; from 10 000 on the digits are grouped."""
    rounded = money.amount.quantize(smallest_part(money.currency), rounding=ROUND_HALF_UP)
    digits = f"{abs(rounded):,}".replace(",", "\u00a0" if abs(rounded) >= 10_000 else "")
    return f"{'-' if rounded < 0 else ''}{digits} {money.currency}"


def _inches(length_um: int, denominator: int) -> str:
    """Inches as whole, whole and fraction, or decimals to 0.001."""
    if denominator < 1 or denominator & (denominator - 1):
        raise InvalidValue(f"a rule is divided in halves: 1/{denominator} in is on none")
    sign, size = ("-" if length_um < 0 else ""), abs(length_um)
    parts = nearest(Fraction(size * denominator, UM_PER_INCH))
    if abs(Fraction(parts * UM_PER_INCH, denominator) - size) > Fraction(1, 2) or (parts == 0 and size):
        return sign + _decimals(Fraction(size, UM_PER_INCH), 3, strip=False)
    whole, rest = divmod(parts, denominator)
    if not rest:
        return f"{sign}{whole}"
    fraction = Fraction(rest, denominator)
    return f"{sign}{f'{whole} ' if whole else ''}{fraction.numerator}/{fraction.denominator}"


def _finite(figure: float) -> None:
    if not math.isfinite(figure):
        raise InvalidValue(f"{figure} cannot be shown as a figure")


def _decimals(value: Fraction, decimals: int, *, strip: bool = True) -> str:
    """``value`` to ``decimals`` places, half away from zero; ``strip`` takes a part that is all zeros off."""
    scaled = nearest(value * 10**decimals)
    whole, part = divmod(abs(scaled), 10**decimals)
    sign = "-" if scaled < 0 else ""
    if decimals == 0 or (strip and part == 0):
        return f"{sign}{whole}"
    digits = f"{part:0{decimals}d}"
    return f"{sign}{whole}.{digits.rstrip('0') if strip else digits}"


def _whole_from_ten(figure: float) -> str:
    _finite(figure)
    return _decimals(Fraction(figure), 0 if abs(figure) >= 9.95 else 1)


def _three_figures(figure: float) -> str:
    """Three significant figures from 0.1 up, whole figures from a hundred up, at most three decimals."""
    _finite(figure)
    size = abs(figure)
    decimals = 0 if size >= 99.95 else 1 if size >= 9.995 else 2 if size >= 0.9995 else 3
    return _decimals(Fraction(figure), decimals, strip=size == 0)

"""Each published model against its printed table, and every model's docstring against its own signature."""

import doctest
import importlib
import inspect
import pkgutil
import re

import numpy as np
import pint
import pytest
from tests.cutting.rig import FOOT_PER_MIN, INCH

import kerfsmith.cutting.models as models
from kerfsmith.catalog.catalog import Catalog
from kerfsmith.cutting.models import (
    band_stress,
    dingler_1887,
    handbook_2020,
    navedtra_14043,
    taylor_1907,
    timoshenko_gere_1961,
    vdi_3323,
)
from kerfsmith.cutting.models.validity import Span
from kerfsmith.cutting.set_up import unit_power_bin

MODULES = sorted(
    name
    for _, name, _ in pkgutil.iter_modules(models.__path__, "kerfsmith.cutting.models.")
    if "validity" not in name
)
UNITS: pint.UnitRegistry[float] = pint.UnitRegistry()
UNIT_OF_SUFFIX = {
    "_mm": "mm",
    "_um": "um",
    "_mm2": "mm^2",
    "_mm3_per_s": "mm^3/s",
    "_n": "N",
    "_n_per_mm2": "N/mm^2",
    "_mpa": "MPa",
    "_kw": "kW",
    "_deg": "deg",
    "_min": "min",
    "_m_per_min": "m/min",
    "_mm_per_min": "mm/min",
    "_cm2": "cm^2",
    "_cm2_per_min": "cm^2/min",
    "_kw_per_cm3_per_s": "kW/(cm^3/s)",
    "_hz": "Hz",
    "_n_per_mm": "N/mm",
}


def _functions() -> list[tuple[str, object]]:
    found: list[tuple[str, object]] = []
    for name in MODULES:
        module = importlib.import_module(name)
        for label, value in inspect.getmembers(module, inspect.isfunction):
            if value.__module__ == name and not label.startswith("_"):
                found.append((f"{name.rsplit('.', 1)[1]}.{label}", value))
    return found


@pytest.mark.parametrize(
    ("label", "function"), _functions(), ids=lambda value: value if isinstance(value, str) else ""
)
def test_every_argument_states_a_unit_that_its_name_bears_out(label: str, function: object) -> None:
    text = inspect.getdoc(function) or ""
    section = text.split("Parameters")[1].split("Returns")[0]
    stated = dict(re.findall(r"^(\w+) : .*?\[([^\]]+)\]$", section, re.DOTALL | re.MULTILINE))
    assert list(stated) == list(inspect.signature(function).parameters), label  # type: ignore[arg-type]
    for name, unit in stated.items():
        _readable(unit)
        suffix = max((end for end in UNIT_OF_SUFFIX if name.endswith(end)), key=len, default=None)
        if suffix is not None and unit != "currency/min":
            assert UNITS(unit) == UNITS(UNIT_OF_SUFFIX[suffix]), f"{label}: {name} [{unit}]"
    assert re.search(r"\[[^\]]+\]", text.split("Returns")[1]) or "TeethClass" in text
    assert "References: " in text


def _readable(unit: str) -> None:
    if unit not in ("-", "currency", "currency/min"):
        UNITS(unit)


@pytest.mark.parametrize("name", MODULES)
def test_every_model_has_a_known_source_ranges_and_references(name: str, catalog: Catalog) -> None:
    module = importlib.import_module(name)
    known = {source.key for source in catalog.sources}
    assert module.SOURCE in known
    assert ".. [1]" in (module.__doc__ or "")
    for span in module.RANGE:
        assert isinstance(span, Span)
        assert span.low < span.high
        assert span.source in known
    assert doctest.testmod(module).failed == 0


# VDI 3323 groups 1, 2, 14, 22 and 33 at h = 0.01 mm: kc1.1 and mc as reprinted, powers of ten by hand.
@pytest.mark.parametrize(
    ("kc11", "mc", "force"),
    [(1350, 0.21, 3551), (1500, 0.22, 4131), (2150, 0.20, 5401), (800, 0.25, 2530), (3300, 0.24, 9966)],
)
def test_specific_force_at_ten_micrometres(kc11: float, mc: float, force: float) -> None:
    found = vdi_3323.specific_force(0.01, kc11, mc)
    assert found.value == pytest.approx(force, rel=1e-3)
    assert not found.in_range
    assert "extrapolated" in found.note
    assert vdi_3323.specific_force(0.4, kc11, mc).in_range


# The catalog's own lines of those groups give the same.
@pytest.mark.parametrize(
    ("grade", "force"), [("1018", 3551), ("1045", 4131), ("304", 5401), ("6061", 2530), ("N06625", 9966)]
)
def test_specific_force_from_the_catalog(catalog: Catalog, grade: str, force: float) -> None:
    source = catalog.find_grade(grade).kienzle[-1]
    found = vdi_3323.specific_force(0.01, source.kc11.value, source.mc).value
    assert found == pytest.approx(force, rel=1e-3)


def test_specific_force_is_held_below_two_micrometres() -> None:
    assert (
        vdi_3323.specific_force(0.0005, 1500, 0.22).value == vdi_3323.specific_force(0.002, 1500, 0.22).value
    )
    many = vdi_3323.specific_forces(np.array([0.0005, 0.01]), 1350, 0.21)
    assert many[1] == pytest.approx(3551, rel=1e-3)


# Machinery's Handbook 31, p. 1147, Table 1b: both units are printed.
@pytest.mark.parametrize(
    ("hp_per_in3_per_min", "printed"), [(0.63, 1.72), (0.82, 2.24), (1.00, 2.73), (1.14, 3.11), (0.41, 1.12)]
)
def test_unit_power_in_both_printed_units(hp_per_in3_per_min: float, printed: float) -> None:
    watts = float(UNITS.Quantity(hp_per_in3_per_min, "hp*min/inch**3").to("kW*s/cm**3").magnitude)
    assert watts == pytest.approx(printed, abs=0.01)


# Machinery's Handbook 31, p. 1147, Table 1b: plain carbon 180-200 HB, alloy A 240-260, B 180-200, C 200-220.
@pytest.mark.parametrize(
    ("grade", "hb", "printed"),
    [("1045", 190, 0.82), ("4140", 250, 0.80), ("8620", 190, 0.62), ("E52100", 210, 0.87)],
)
def test_unit_power_by_hardness(catalog: Catalog, grade: str, hb: float, printed: float) -> None:
    found = unit_power_bin(catalog.find_grade(grade), hb)
    assert found is not None
    row, inside = found
    assert inside
    to_hp = float(UNITS.Quantity(1, "kW*s/cm**3").to("hp*min/inch**3").magnitude)
    assert row.figure.value * to_hp == pytest.approx(printed, rel=1e-6)


def test_unit_power_outside_its_table_takes_the_nearest_row_and_says_so(catalog: Catalog) -> None:
    found = unit_power_bin(catalog.find_grade("1045"), 500)
    assert found is not None
    assert not found[1]
    assert found[0].hb_high == max(row.hb_high for row in catalog.find_grade("1045").unit_power)


# Machinery's Handbook 31, p. 1146 as remembered: feed in inch a tooth against factor.
def test_feed_factor_at_its_printed_points_and_backwards() -> None:
    feeds = np.array([0.001, 0.002, 0.005, 0.010, 0.012]) * INCH
    factors = handbook_2020.feed_factor(feeds)
    assert factors == pytest.approx([1.60, 1.40, 1.19, 1.04, 1.00])
    wide = np.geomspace(1e-4, 2, 400)
    back = handbook_2020.chip_for_load(handbook_2020.feed_factor(wide) * wide)
    assert back == pytest.approx(wide, rel=1e-12)
    thin = handbook_2020.cutting_power_kw(2.24, 0.007, 135.5, 1.0)
    assert not thin.in_range


# Elementary beam theory and Timoshenko & Gere ch. 6, each worked by hand for these bands.
@pytest.mark.parametrize(
    ("found", "expected", "within"),
    [
        (band_stress.wheel_bending_mpa(0.035, 18, 30e6), 58_220, 60),
        (band_stress.wheel_bending_mpa(0.9, 450), 409.2, 0.4),
        (band_stress.wheel_bending_mpa(1.1, 520), 433, 0.5),
        (band_stress.wheel_bending_mpa(1.6, 800), 409, 0.5),
        (band_stress.twist_shear_mpa(0.9, 45, 300), 188, 0.6),
        (band_stress.twist_shear_mpa(0.9, 90, 300), 377, 0.6),
        (band_stress.twist_edge_mpa(27, 45, 300), 85, 0.6),
        (band_stress.twist_edge_mpa(27, 90, 300), 341, 0.6),
        (band_stress.tension_n(200, 27, 0.9), 4860, 0.5),
        (band_stress.tension_n(25_000, 1, 0.035), 875, 0.5),
        (timoshenko_gere_1961.slack_load_n(27, 0.9, 250), 114, 0.6),
        (timoshenko_gere_1961.tensioned_load_n(27, 0.9, 250, 0), 114, 0.6),
        (timoshenko_gere_1961.tensioned_load_n(27, 0.9, 250, 4860), 1370, 6),
        (band_stress.bends_per_min(80, 4500), 35.6, 0.06),
        (1e6 / band_stress.bends_per_min(80, 4500) / 60, 469, 0.6),
        (band_stress.centrifugal_mpa(90), 0.018, 0.0005),
    ],
)
def test_band_mechanics(found: float, expected: float, within: float) -> None:
    assert found == pytest.approx(expected, abs=within)


# NAVEDTRA 14043, ch. 3: equal wheels of 18 in, centres 40 in apart.
def test_band_length() -> None:
    assert navedtra_14043.band_length_mm(18 * INCH, 18 * INCH, 40 * INCH) / INCH == pytest.approx(
        136.55, abs=0.01
    )
    # The exact open belt, walked round: two tangents and two arcs.
    big, small, centres = 300.0, 260.0, 900.0
    lean = np.arcsin((big - small) / 2 / centres)
    exact = 2 * centres * np.cos(lean) + big / 2 * (np.pi + 2 * lean) + small / 2 * (np.pi - 2 * lean)
    assert navedtra_14043.band_length_mm(big, small, centres) == pytest.approx(exact, rel=1e-6)


# Taylor's law as taught: half the speed at n = 0.25 gives 16 times the life; least cost by Gilbert's form.
def test_taylor_life_and_the_life_of_least_cost() -> None:
    assert taylor_1907.life_min(40, 200, 0.25) / taylor_1907.life_min(80, 200, 0.25) == pytest.approx(16)
    assert taylor_1907.life_factor(1.1, 0.125) == pytest.approx(0.47, abs=0.005)
    assert taylor_1907.life_factor(1.1, 0.25) == pytest.approx(0.68, abs=0.005)
    assert taylor_1907.least_cost_life_min(0.125, 15, 80, 1.25) == pytest.approx(553)


def test_the_life_of_least_cost_is_where_cost_is_least() -> None:
    n, change, price, rate = 0.2, 10.0, 60.0, 1.5
    speeds = np.linspace(20, 120, 200_001)
    life = (200.0 / speeds) ** (1 / n)
    cost = (rate + (price + change * rate) / life) / speeds
    best = float(life[cost.argmin()])
    assert taylor_1907.least_cost_life_min(n, change, price, rate) == pytest.approx(best, rel=1e-3)
    time = (1 + change / life) / speeds
    assert taylor_1907.least_time_life_min(n, change) == pytest.approx(float(life[time.argmin()]), rel=1e-3)


# Groover, machining chapter (from memory): 160 m/min lasted 5 min, 100 m/min 41 min; two points give n and C.
def test_taylor_reads_back_two_measured_lives() -> None:
    n = np.log(160 / 100) / np.log(41 / 5)
    constant = 160 * 5**n
    assert (n, constant) == pytest.approx((0.2234, 229.22), rel=1e-3)
    assert taylor_1907.life_min(80, constant, n) == pytest.approx(111.3, rel=2e-3)


# Dingler 1887, p. 154: carbon bands in steel at 0.75 m/s, near half of what is printed for bimetal today.
def test_old_carbon_bands_ran_at_half_the_speed_of_bimetal(catalog: Catalog) -> None:
    old = dingler_1887.carbon_band_m_per_min("cast iron and steel")
    today = catalog.find_grade("1018").band_speed.value * catalog.corrections.carbon_edge.value
    assert old == pytest.approx(45)
    assert today == pytest.approx(old, rel=0.10)
    assert catalog.find_grade("1018").band_speed.value == pytest.approx(300 * FOOT_PER_MIN)

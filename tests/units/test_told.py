"""Sentences with quantities: told in either measure, kept whole by records and processes."""

import copy
import pickle

import pytest

from kerfsmith.errors import InvalidValue
from kerfsmith.units.length import Measure
from kerfsmith.units.told import Told, has_measures, in_measure, joined, marked, quantity

# Factors from NIST SP 811, appendix B: 1 in = 25.4 mm, 1 ft = 0.3048 m, 1 lbf = 4.448222 N,
# 1 hp = 0.7456999 kW, 1 psi = 6894.757 Pa, 1 lb = 0.45359237 kg. The inch column is worked by hand from them.
BOTH = [
    (101.6, "mm", "101.6 mm", "4 in"),
    (3.2, "mm", "3.2 mm", "0.126 in"),
    (0.003, "mm", "0.003 mm", "0.00012 in"),
    (25.4, "um", "25 µm", "1.0 thou"),
    (76.2, "m/min", "76 m/min", "250 ft/min"),
    (36.5, "mm/min", "36.5 mm/min", "1.44 in/min"),
    (64.516, "cm2", "64.5 cm²", "10.0 in²"),
    (64.516, "cm2/min", "64.5 cm²/min", "10.0 in²/min"),
    (7.457, "kW", "7.46 kW", "10.0 hp"),
    (1000.0, "N", "1.00 kN", "225 lbf"),
    (206.843, "MPa", "207 MPa", "30\u00a0000 psi"),
    # 1 kW/(cm3/s) = 1.341022 hp / (60/16.387064 in3/min) = 0.366259 hp/(in3/min).
    (2.73031, "kW/(cm3/s)", "2.73 kW/(cm³/s)", "1.00 hp/(in³/min)"),
    (1.75127, "N/mm", "1.75 N/mm", "10.0 lbf/in"),
    (45.359237, "kg", "45.4 kg", "100 lb"),
]


@pytest.mark.parametrize(("value", "unit", "metric", "inch"), BOTH)
def test_a_quantity_is_told_in_each_measure(value: float, unit: str, metric: str, inch: str) -> None:
    text = Told(f"it is {quantity(value, unit)} here")
    assert text == f"it is {metric} here"
    assert text.in_measure(Measure.INCH) == f"it is {inch} here"
    assert text.in_measure(Measure.METRIC) == text


def test_a_span_names_its_unit_once_where_both_ends_share_it() -> None:
    assert Told(quantity(45, "cm2/min", 64)) == "45.0 to 64.0 cm²/min"
    assert Told(quantity(850, "N", 1200)) == "850 N to 1.20 kN"
    assert Told(quantity(0.15, "mm", 0.15)) == "0.15 mm"


def test_a_sentence_stays_whole_through_records_processes_and_copies() -> None:
    text = Told(f"a wall of {quantity(1 / 3, 'mm')}")
    for same in (pickle.loads(pickle.dumps(text)), copy.deepcopy(text), Told(text.marked), Told(text)):
        assert (same, same.marked) == (text, text.marked)
    assert repr(1 / 3) in text.marked


def test_sentences_are_joined_with_their_quantities() -> None:
    both = joined("; ", ["plain", Told(f"over by {quantity(25.4, 'mm')}")])
    assert both == "plain; over by 25.4 mm"
    assert both.in_measure(Measure.INCH) == "plain; over by 1 in"
    assert marked("plain") == in_measure("plain", Measure.INCH) == "plain"


def test_what_a_person_wrote_between_marks_is_left_alone() -> None:
    assert Told("⟨a⟩ ⟨12 furlong⟩ ⟨mm⟩").in_measure(Measure.INCH) == "⟨a⟩ ⟨12 furlong⟩ ⟨mm⟩"


def test_a_unit_without_two_forms_is_refused() -> None:
    assert not has_measures("deg")
    with pytest.raises(InvalidValue):
        quantity(1.0, "deg")

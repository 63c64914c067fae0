"""Sentences with quantities: told in either measure, kept whole by records and processes."""

import copy
import pickle
from enum import StrEnum
from gettext import NullTranslations

import pytest

from kerfsmith.errors import InvalidValue
from kerfsmith.units.length import Measure
from kerfsmith.units.told import (
    Told,
    either,
    has_measures,
    how_many,
    in_language,
    in_measure,
    joined,
    marked,
    quantity,
    sentence,
    together,
    with_capital,
)

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


KNOWN = {
    "{saw} takes no less than {least}": "no less than {least}, {saw} takes",
    "the {saw}'s vise": "the vise of {saw}",
    "too short": "short, too",
    "one bar": "bar, one",
    "{count} bars of {name}": "bars of {name}, {count}",
    "motor power": "power, motor",
    "{limit} rules": "rules, {limit}",
    "{these} or {one}": "{these} ou {one}",
    "{these} and {one}": "{these} et {one}",
    "a wall of ⟨3.2 mm⟩": "a wall, of ⟨3.2 mm⟩",
}


class Turned(NullTranslations):
    """A made-up language that puts the end of a sentence first and marks every wording it knows."""

    def gettext(self, message: str) -> str:
        return KNOWN.get(message, message)

    def ngettext(self, msgid1: str, msgid2: str, n: int) -> str:
        return self.gettext(msgid1 if n == 1 else msgid2)


class Limit(StrEnum):
    MOTOR = "motor power"


def both(text: str) -> tuple[str, str, str]:
    """What readers of the made-up language are told in either measure, and what an English one is."""
    metric, inch = (in_language(text, measure, Turned()) for measure in (Measure.METRIC, Measure.INCH))
    return str(text), metric, inch


def test_a_language_may_turn_the_order_of_fields_around() -> None:
    told = sentence("{saw} takes no less than {least}", saw="HBE", least=quantity(25.4, "mm"))
    assert both(told) == (
        "HBE takes no less than 25.4 mm",
        "no less than 25.4 mm, HBE takes",
        "no less than 1 in, HBE takes",
    )
    assert told.in_measure(Measure.INCH) == "HBE takes no less than 1 in"


def test_a_field_may_be_a_sentence_or_a_name_of_ours() -> None:
    vise = sentence("the {saw}'s vise", saw="too short")
    told = sentence("{saw} takes no less than {least}", saw=vise, least=Told("too short"))
    assert both(told)[1] == "no less than short, too, the vise of too short takes"
    assert both(sentence("{limit} rules", limit=Limit.MOTOR))[:2] == (
        "motor power rules",
        "rules, power, motor",
    )


def test_a_count_has_its_form() -> None:
    told = [how_many("one bar", "{count} bars of {name}", count, name="S355") for count in (1, 3)]
    assert told == ["one bar", "3 bars of S355"]
    assert [both(one)[1] for one in told] == ["bar, one", "bars of S355, 3"]


def test_joined_sentences_and_those_within_plain_text_are_told_each() -> None:
    parts = [Told("too short"), sentence("the {saw}'s vise", saw="A"), "plain {saw}"]
    assert both(joined("; ", parts))[:2] == (
        "too short; the A's vise; plain {saw}",
        "short, too; the vise of A; plain {saw}",
    )
    assert both(Told(f"A: {marked(parts[0])}"))[:2] == ("A: too short", "A: short, too")


def test_a_sentence_without_fields_is_looked_up_whole_also_when_it_is_plain_text() -> None:
    assert both(Told("too short"))[1] == both("too short")[1] == "short, too"
    assert both(Told(f"a wall of {quantity(3.2, 'mm')}"))[2] == "a wall, of 0.126 in"
    assert both(Told())[1] == both("")[1] == ""


def test_fields_stay_through_records_processes_and_copies() -> None:
    text = joined("; ", [sentence("the {saw}'s vise", saw=Told("too short")), how_many("one bar", "bars", 1)])
    for same in (pickle.loads(pickle.dumps(text)), copy.deepcopy(text), Told(text.marked), Told(text)):
        assert both(same) == both(text)
        assert both(same)[1] == "the vise of short, too; bar, one"


@pytest.mark.parametrize("typed", ["⟦", "a ⟧ b", "⟬name⟭", "⟦⟬#2⟭⟧", "{saw} {0} {"])
def test_what_a_person_typed_of_our_marks_breaks_nothing(typed: str) -> None:
    assert isinstance(in_language(Told(typed), Measure.INCH, Turned()), str)
    assert "vise" in sentence("the {saw}'s vise", saw=typed)
    assert Told("⟬a⟭ b ⟧") == "⟬a⟭ b ⟧"


def test_a_unit_without_two_forms_is_refused() -> None:
    assert not has_measures("deg")
    with pytest.raises(InvalidValue):
        quantity(1.0, "deg")


def test_alternatives_and_what_holds_at_once_are_told_in_the_language() -> None:
    assert either(["A"]) == "A"
    assert both(either(["A", "B", Told("too short")]))[:2] == ("A or B or too short", "A ou B ou short, too")
    assert both(together(["A", "too short"]))[:2] == ("A and too short", "A et too short")


def test_a_sentence_begins_with_a_capital_in_each_language() -> None:
    told = with_capital(sentence("{saw} takes no less than {least}", saw="hBE", least=quantity(25.4, "mm")))
    assert both(told)[:2] == ("HBE takes no less than 25.4 mm", "No less than 25.4 mm, hBE takes")
    assert with_capital("") == ""

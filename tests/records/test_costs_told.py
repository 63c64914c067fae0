"""A kept cost is read in any language; one kept before, as plain text, is read as it is."""

import json
from decimal import Decimal

from tests.wiring.made_up import MadeUp

from kerfsmith.costing.reckoning import Basis, Cost, Driver, Kind, Reckoning, reckoned
from kerfsmith.records.codec import from_document, to_document
from kerfsmith.units.length import Measure
from kerfsmith.units.money import Money
from kerfsmith.units.told import Told, in_language, joined, kept, marked, quantity, sentence

RATE = Money(Decimal("62"), "EUR")


def a_cost() -> Cost:
    basis = Basis(sentence("{area} cut; a band cuts {usual} here, between {low} and {high}",
                           area=quantity(645.16, "cm2"), usual="9", low="8", high="10"))  # fmt: skip
    how = Reckoning(Decimal(3), Told("h"), RATE, Driver.BAND, (basis,), Decimal("0.5"), Told("flat rate"))
    return reckoned(sentence("wear of {band}", band="B34"), Kind.BAND, how)


def told(text: Told, measure: Measure = Measure.METRIC) -> str:
    return in_language(text, measure, MadeUp())


def test_a_kept_cost_keeps_its_wording_and_its_figures() -> None:
    cost = a_cost()
    read = from_document(json.loads(json.dumps(to_document(cost, Cost))), Cost)
    assert read == cost
    assert read.how is not None
    assert read.name == "wear of B34"
    assert told(read.name) == "xxxx xx B34"
    assert [told(one) for one in (read.how.unit, read.how.share_text)] == ["x", "xxxx xxxx"]
    # 645.16 cm2 are exactly 100 square inches.
    assert "100" in read.how.basis[0].text.in_measure(Measure.INCH)
    assert "645" in read.how.basis[0].text


def test_a_cost_kept_as_plain_text_is_read_as_it_is() -> None:
    document = to_document(a_cost(), Cost)
    document["name"] = "wear of B34-3/4"
    document["how"]["basis"] = [{"text": "flat rate"}]
    read = from_document(json.loads(json.dumps(document)), Cost)
    assert read.how is not None
    assert told(read.name) == "wear of B34-3/4"
    assert told(read.how.basis[0].text) == "xxxx xxxx"


def test_a_persons_own_note_is_no_sentence_and_a_files_is() -> None:
    made = joined("; ", (sentence("phase {phase}", phase="1"), "worn"))
    assert kept(marked("worn")) == "worn"
    assert not isinstance(kept(marked("worn")), Told)
    assert told(Told(kept(marked(made)))) == "xxxxx 1; worn"

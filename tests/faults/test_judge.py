"""Causes in order: shares, the shop's own record, and the table that a search starts from."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.faults.world import Planted, case_of
from tests.tables import package_tables

from kerfsmith.errors import InvalidValue, UnknownName
from kerfsmith.faults.circumstances import Circumstances, Seen
from kerfsmith.faults.judge import likely_causes
from kerfsmith.faults.table import FaultTable, Symptom
from kerfsmith.library.faults import load_faults

TABLE = load_faults()
CATALOG = package_tables()
SOUND = case_of(Planted(Symptom.CROOKED, ""), CATALOG)
BARE = replace(SOUND, band=None, report=None, moved=(), seen=Seen(), cuts_since_mounted=None)


def _share(cause: str, symptom: Symptom, case: Circumstances, found: dict[str, int] | None = None) -> float:
    return next(one.share for one in likely_causes(symptom, case, TABLE, found) if one.cause.name == cause)


def test_every_source_is_in_the_bibliography() -> None:
    keys = {source.key for source in CATALOG.sources}
    assert {usual.source for row in TABLE.usual.values() for usual in row} <= keys
    clues = [
        clue for symptom in Symptom for one in likely_causes(symptom, SOUND, TABLE) for clue in one.clues
    ]
    assert clues
    assert {clue.source for clue in clues if clue.source} <= keys


@pytest.mark.parametrize("symptom", list(Symptom))
def test_shares_add_up_and_every_cause_has_check_and_cure(symptom: Symptom) -> None:
    named = likely_causes(symptom, SOUND, TABLE)
    assert sum(one.share for one in named) == pytest.approx(1.0)
    assert [one.share for one in named] == sorted((one.share for one in named), reverse=True)
    assert all(one.cause.check and one.cause.cure for one in named)


def test_crooked_cuts_begin_as_the_textbook_lists_them() -> None:
    """GW2019 p. 164 for crooked cuts: worn blade, loose band, too much feed force, worn guides."""
    first = [usual.cause for usual in TABLE.usual[Symptom.CROOKED][:4]]
    assert first == ["worn band", "band too loose", "feed too heavy", "worn guides"]


@given(count=st.integers(1, 200), symptom=st.sampled_from(list(Symptom)), rank=st.integers(0, 4))
def test_what_the_shop_found_before_counts(count: int, symptom: Symptom, rank: int) -> None:
    cause = TABLE.usual[symptom][rank].cause
    assert _share(cause, symptom, BARE, {cause: count}) > _share(cause, symptom, BARE)


def test_a_cause_found_here_that_the_table_does_not_name_is_judged_too() -> None:
    named = likely_causes(Symptom.SLOW, BARE, TABLE, {"teeth damaged": 30})
    assert named[0].cause.name == "teeth damaged"
    assert named[0].found_before == 30


def test_a_sound_observation_speaks_against_its_cause() -> None:
    firm = replace(BARE, seen=Seen(work_firm=True))
    loose = replace(BARE, seen=Seen(work_firm=False))
    shares = [_share("work loose", Symptom.STRIPPED, case) for case in (firm, BARE, loose)]
    assert shares == sorted(shares)
    assert shares[0] < shares[1] < shares[2]


def test_clues_tell_quantities_in_the_readers_measure() -> None:
    case = replace(BARE, seen=Seen(guide_span_mm=508.0))
    guides = next(
        one for one in likely_causes(Symptom.CROOKED, case, TABLE) if "guides too far" in one.cause.name
    )
    assert any("⟨508.0 mm⟩" in clue.text.marked for clue in guides.clues)


def test_a_table_with_a_hole_is_refused() -> None:
    with pytest.raises(InvalidValue, match="no cause is told"):
        FaultTable(TABLE.causes, {Symptom.SLOW: TABLE.usual[Symptom.SLOW]})
    with pytest.raises(InvalidValue, match="without check and cure"):
        FaultTable({}, TABLE.usual)
    with pytest.raises(UnknownName):
        TABLE.cause("gremlins")


def test_checks_near_the_band_want_the_saw_locked_out() -> None:
    assert TABLE.cause("worn guides").isolate
    assert not TABLE.cause("feed too heavy").isolate

"""Values of the shop floor: bars that add up, logs that are corrected, verdicts, waits."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.workflow.shop_floor import AT

from kerfsmith.errors import InvalidValue
from kerfsmith.shop.band_in_use import RemovalReason, ThisBand
from kerfsmith.shop.cut_log import CutEntry, EntryKind, Outcome, ScrapReason, last_standing, rejected_ids
from kerfsmith.shop.inspection import InspectionKind, Verdict, inspection_due, judge
from kerfsmith.shop.loaded_bar import BarState, LoadedBar, Parts
from kerfsmith.shop.person import Person, Role
from kerfsmith.shop.run import RunLine
from kerfsmith.shop.session import wait_seconds

PART = st.integers(0, 3_000_000)
PARTS = st.builds(Parts, PART, PART, PART, PART)


def bar(parts: Parts, left_um: int, length_um: int) -> LoadedBar:
    return LoadedBar(
        "b", "r", "s", 0, 0, "A-1", "H", 6_000_000, length_um, parts, left_um, BarState.LOADED, 0, AT, "Omar"
    )


def entry(number: int, kind: EntryKind, corrects: str | None = None, **more: object) -> CutEntry:
    fields: dict[str, object] = {
        "id": f"e{number}",
        "number": number,
        "bar_id": "b",
        "run_id": "r",
        "kind": kind,
        "parts": Parts(),
        "area_cm2": 1.0,
        "saw": "s",
        "by": "Omar",
        "at": AT,
        "corrects": corrects,
    }
    if kind is EntryKind.PIECE:
        fields["outcome"] = Outcome.GOOD
    return CutEntry(**(fields | more))  # type: ignore[arg-type]


@given(PARTS, PARTS, st.integers(0, 10_000_000))
def test_a_bar_adds_up_after_every_cut_and_its_undo(before: Parts, cut: Parts, spare: int) -> None:
    whole = before.total_um + cut.total_um + spare
    fresh = bar(before, whole - before.total_um, whole)
    after = fresh.after(cut)
    assert after.parts.total_um + after.left_um == whole
    assert after.left_um == spare
    undone = after.after(-cut)
    assert (undone.parts, undone.left_um, undone.entries) == (before, fresh.left_um, 2)


@given(PARTS, st.integers(0, 1_000), st.integers(-5, 5).filter(bool))
def test_a_bar_that_does_not_add_up_is_no_value(parts: Parts, left: int, off: int) -> None:
    with pytest.raises(InvalidValue):
        bar(parts, left, parts.total_um + left + off)


def test_a_bar_cannot_lose_more_than_it_has() -> None:
    with pytest.raises(InvalidValue):
        bar(Parts(), 100, 100).after(Parts(pieces_um=101))


def test_what_stands_in_a_log() -> None:
    log = [entry(1, EntryKind.FACING), entry(2, EntryKind.PIECE), entry(3, EntryKind.PIECE)]
    assert last_standing(log) is log[2]
    log.append(entry(4, EntryKind.UNDO, "e3"))
    assert last_standing(log) is log[1]
    log.append(entry(5, EntryKind.REJECT, "e2", outcome=Outcome.SCRAPPED, reason=ScrapReason.DAMAGED))
    assert rejected_ids(log) == {"e2"}
    assert last_standing(log) is log[4]
    log.append(entry(6, EntryKind.UNDO, "e5"))
    assert rejected_ids(log) == frozenset()
    assert last_standing([]) is None


@pytest.mark.parametrize(
    "wrong",
    [
        {"kind": EntryKind.UNDO},
        {"kind": EntryKind.FACING, "corrects": "e1"},
        {"kind": EntryKind.PIECE, "outcome": None},
        {"kind": EntryKind.PIECE, "outcome": Outcome.SCRAPPED},
        {"kind": EntryKind.PIECE, "reason": ScrapReason.OTHER},
        {"kind": EntryKind.FACING, "outcome": Outcome.GOOD},
    ],
)
def test_entries_that_contradict_themselves(wrong: dict[str, object]) -> None:
    with pytest.raises(InvalidValue):
        entry(2, **wrong)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("over", "plus", "minus", "verdict"),
    [
        (500, 500, 500, Verdict.WITHIN),
        (501, 500, 500, Verdict.LONG),
        (-500, 500, 500, Verdict.WITHIN),
        (-501, 500, 500, Verdict.SHORT),
        (-1, 500, 0, Verdict.SHORT),
        (9_999, None, 500, Verdict.WITHIN),
        (9_999, None, None, Verdict.NO_TOLERANCE),
    ],
)
def test_verdicts(over: int, plus: int | None, minus: int | None, verdict: Verdict) -> None:
    assert judge(over, plus, minus) is verdict


def test_when_a_piece_is_measured() -> None:
    assert inspection_due(1, 1, 25) is InspectionKind.FIRST_PIECE
    assert inspection_due(1, 2, 25) is None
    assert inspection_due(25, 26, 25) is InspectionKind.INTERVAL


def test_a_band_is_broken_in_by_what_it_cuts() -> None:
    band = ThisBand("S", "x", break_in_cm2=500.0, cut_cm2=120.0)
    assert band.break_in_left_cm2 == 380.0
    assert ThisBand("S", "x", break_in_cm2=500.0, cut_cm2=900.0).break_in_left_cm2 == 0.0
    ending = {reason for reason in RemovalReason if reason.ends_band}
    assert ending == {RemovalReason.WORN, RemovalReason.TEETH_STRIPPED, RemovalReason.BROKEN}


def test_waits_double_from_the_sixth_try_on() -> None:
    assert [wait_seconds(failures) for failures in range(4, 9)] == [0.0, 2.0, 4.0, 8.0, 16.0]
    assert wait_seconds(1_000) == 900.0


def test_values_that_cannot_be() -> None:
    with pytest.raises(InvalidValue):
        Person("  ", Role.LEAD)
    with pytest.raises(InvalidValue):
        Person("a\nb", Role.LEAD)
    with pytest.raises(InvalidValue):
        RunLine("r", "l", "m", 1_000, 2, wanted=1, good=2)

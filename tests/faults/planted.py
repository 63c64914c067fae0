"""Faults that are planted, each with its true cause: none of them speaks of clues or weights."""

from datetime import UTC, datetime

from tests.faults.world import Broke, Chips, Pieces, Planted, Skin

from kerfsmith.faults.circumstances import Beside, Moved
from kerfsmith.faults.table import Symptom

_MONDAY = datetime(2026, 11, 23, 9, 30, tzinfo=UTC)


def _squareness(*beside: Beside) -> tuple[Moved, ...]:
    return (Moved("squareness", 0.4, "mm", _MONDAY, beside),)


S = Symptom
PLANTED: tuple[Planted, ...] = (
    Planted(S.CROOKED, "worn band", age=1.3, moved=_squareness(), told={"chips": Chips.POWDER}),
    Planted(S.CROOKED, "band too loose", tension=0.75),
    Planted(S.CROOKED, "feed too heavy", feed=1.5, told={"chips": Chips.THICK_BLUE}),
    Planted(S.CROOKED, "worn guides", moved=_squareness()),
    Planted(S.CROOKED, "guides too far apart", span=1.7),
    Planted(S.CROOKED, "work not square in the vise", told={"square_in_vise": False}),
    Planted(S.CROOKED, "one-sided set", moved=_squareness(Beside("band", "S-7")), cuts_since_mounted=6),
    Planted(S.CROOKED, "pitch too fine", section="round 8 in", mounted="B34-4/6"),
    Planted(
        S.CROOKED,
        "work not square in the vise",
        grade="S355J2",
        section="IPE 200",
        told={"square_in_vise": False},
    ),
    Planted(
        S.STRIPPED,
        "too few teeth in the cut",
        grade="S355J2",
        section="CHS 88.9x8",
        mounted="B34-1.4/2",
        told={"chips": Chips.CURL},
    ),
    Planted(S.STRIPPED, "feed too heavy", feed=1.6, told={"chips": Chips.THICK_BLUE}),
    Planted(S.STRIPPED, "work loose", section="round 50", bundle=3, told={"work_firm": False}),
    Planted(S.STRIPPED, "chip brush failed", told={"brush_turns": False}),
    Planted(S.STRIPPED, "band not broken in", age=0.01, break_in_left=True, cuts_since_mounted=5),
    Planted(S.STRIPPED, "hard spot", other_bars_fine=True, told={"face_glazed": True}),
    Planted(
        S.STRIPPED,
        "started in an old kerf",
        age=0.002,
        cuts_since_mounted=1,
        told={"started_in_old_kerf": True},
    ),
    Planted(S.DULL_EARLY, "feed too light", feed=0.6, told={"chips": Chips.POWDER}),
    Planted(S.DULL_EARLY, "band speed too high", speed=1.35),
    Planted(S.DULL_EARLY, "coolant weak or absent", told={"coolant_percent": 2.0}),
    Planted(S.DULL_EARLY, "scale or hard skin", told={"skin": Skin.FLAME_CUT}),
    Planted(S.DULL_EARLY, "band fitted backwards", cuts_since_mounted=4, told={"band_runs_right_way": False}),
    Planted(S.DULL_EARLY, "bar harder than it should be", other_bars_fine=True, told={"hardness_hb": 340.0}),
    Planted(S.DULL_EARLY, "work hardening", grade="304", feed=0.9, told={"face_glazed": True}),
    Planted(S.BROKE, "band dropped on the work", told={"came_down_hard": True, "broke": Broke.FROM_GULLET}),
    Planted(S.BROKE, "poor weld", told={"broke": Broke.AT_WELD}),
    Planted(S.BROKE, "wheel too small for the band", wheel=0.6, age=0.6, told={"broke": Broke.FROM_BACK}),
    Planted(S.BROKE, "band at the end of its fatigue life", age=1.4, told={"broke": Broke.FROM_GULLET}),
    Planted(S.BROKE, "tension too high", tension=1.3, told={"broke": Broke.FROM_BACK}),
    Planted(S.CHATTER, "resonance", told={"speed_changes_noise": True}),
    Planted(S.CHATTER, "constant pitch", mounted="B13-6", told={"speed_changes_noise": False}),
    Planted(S.CHATTER, "guides too far apart", span=1.6, told={"speed_changes_noise": False}),
    Planted(
        S.WELDED, "coolant weak or absent", grade="6061", told={"coolant_runs": False, "chips": Chips.WELDED}
    ),
    Planted(S.WELDED, "chip brush failed", grade="304", told={"brush_turns": False, "chips": Chips.WELDED}),
    Planted(S.SLOW, "work hardening", grade="304", told={"face_glazed": True, "chips": Chips.POWDER}),
    Planted(S.SLOW, "feed too light", feed=0.55),
    Planted(S.SLOW, "bar harder than it should be", other_bars_fine=True, told={"hardness_hb": 350.0}),
    Planted(S.STALLS, "more power asked than the motor has", motor_load=1.1, feed=1.15),
    Planted(S.STALLS, "slipping drive", motor_load=0.5, told={"drive_slips": True}),
    Planted(S.ROUGH, "too coarse a pitch for the face", section="round 50", mounted="B34-1.4/2"),
    Planted(S.ROUGH, "teeth damaged", told={"teeth_missing": True}),
    Planted(S.OUT_OF_LENGTH, "length measure off", told={"pieces": Pieces.ALL_ALIKE}),
    Planted(S.OUT_OF_LENGTH, "strokes add up", piece_mm=1800.0, told={"pieces": Pieces.LONG_ONES}),
    Planted(S.OUT_OF_LENGTH, "bar slips in the shuttle", told={"pieces": Pieces.SCATTERED}),
    Planted(S.OUT_OF_LENGTH, "kerf not as reckoned", told={"pieces": Pieces.ALL_ALIKE, "kerf_mm": 1.1}),
    Planted(
        S.OUT_OF_LENGTH,
        "first piece of the bar not faced",
        facing_cut=False,
        told={"pieces": Pieces.FIRST_OF_BAR},
    ),
)
"""More than the thirty that are asked for, over every symptom."""

"""More planted faults, over causes that the first ones leave out; written before any of them was judged."""

from datetime import UTC, datetime

from tests.faults.world import Broke, Chips, Pieces, Planted, Skin

from kerfsmith.faults.circumstances import Beside, Moved
from kerfsmith.faults.table import Symptom

_SINCE = datetime(2026, 11, 23, 9, 30, tzinfo=UTC)


def _moved(measure: str, by: float, unit: str, *beside: Beside) -> tuple[Moved, ...]:
    return (Moved(measure, by, unit, _SINCE, beside),)


_LEANS = _moved("squareness", 0.4, "mm")
_FINE = "B34-4/6"
S = Symptom
FURTHER: tuple[Planted, ...] = (
    Planted(
        S.CROOKED,
        "band rubs a clamp or fixture",
        moved=_moved("squareness", 0.4, "mm", Beside("setting", "80 m/min")),
    ),
    Planted(
        S.CROOKED, "band too loose", grade="S355J2", section="IPE 300", tension=0.7, age=0.6, moved=_LEANS
    ),
    Planted(S.CROOKED, "feed too heavy", grade="304", feed=1.4),
    Planted(S.STRIPPED, "gullets full", grade="6061", section="round 8 in", mounted=_FINE),
    Planted(S.STRIPPED, "enters at a corner", grade="S355J2", section="L 100x100x10"),
    Planted(S.DULL_EARLY, "band not broken in", age=0.01, break_in_left=True, cuts_since_mounted=12),
    Planted(
        S.DULL_EARLY,
        "pitch too fine",
        grade="1045",
        section="round 8 in",
        mounted=_FINE,
        told={"chips": Chips.POWDER},
    ),
    Planted(
        S.BROKE,
        "work loose",
        section="round 50",
        bundle=3,
        told={"work_firm": False, "broke": Broke.FROM_GULLET},
    ),
    Planted(S.BROKE, "band too loose", tension=0.7, told={"broke": Broke.FROM_GULLET}),
    Planted(
        S.BROKE, "feed too heavy", feed=1.6, told={"broke": Broke.FROM_GULLET, "chips": Chips.THICK_BLUE}
    ),
    Planted(S.BROKE, "guides too tight", told={"broke": Broke.FROM_BACK}),
    Planted(S.BROKE, "worn wheel flange", age=0.4, told={"broke": Broke.FROM_BACK}),
    Planted(
        S.CHATTER,
        "work loose",
        bundle=4,
        section="round 50",
        told={"work_firm": False, "speed_changes_noise": False},
    ),
    Planted(S.CHATTER, "band too loose", tension=0.72, told={"speed_changes_noise": False}),
    Planted(
        S.CHATTER,
        "scale or hard skin",
        grade="1045",
        section="round 50",
        told={"skin": Skin.CHILLED, "speed_changes_noise": False},
    ),
    Planted(S.WELDED, "band speed too high", grade="304", speed=1.35, told={"chips": Chips.WELDED}),
    Planted(S.WELDED, "feed too heavy", grade="6061", feed=1.6, told={"chips": Chips.WELDED}),
    Planted(
        S.WELDED,
        "pitch too fine",
        grade="6061",
        section="round 8 in",
        mounted=_FINE,
        told={"chips": Chips.WELDED},
    ),
    Planted(S.SLOW, "worn band", age=1.4, motor_load=0.95, moved=_moved("cut time", 30.0, "%")),
    Planted(S.SLOW, "band speed too low", speed=0.65),
    Planted(S.SLOW, "slipping drive", speed=0.85, told={"drive_slips": True}),
    Planted(S.SLOW, "pitch too fine", section="round 8 in", mounted=_FINE),
    Planted(S.STALLS, "worn drive wheel", motor_load=0.5, age=0.3, told={"drive_slips": True}),
    Planted(
        S.STALLS,
        "worn band",
        age=1.5,
        motor_load=1.05,
        moved=_moved("motor load", 40.0, "%"),
        told={"chips": Chips.POWDER},
    ),
    Planted(S.STALLS, "feed too heavy", feed=1.5, motor_load=1.15, told={"chips": Chips.THICK_BLUE}),
    Planted(S.STALLS, "band too loose", tension=0.65, motor_load=0.5),
    Planted(
        S.STALLS,
        "bar harder than it should be",
        motor_load=1.1,
        other_bars_fine=True,
        told={"hardness_hb": 340.0},
    ),
    Planted(S.ROUGH, "feed too heavy", feed=1.5),
    Planted(S.ROUGH, "resonance", told={"speed_changes_noise": True}),
    Planted(S.ROUGH, "band speed too low", speed=0.65),
    Planted(S.OUT_OF_LENGTH, "chips between bar and stop", told={"pieces": Pieces.SCATTERED}),
    Planted(S.OUT_OF_LENGTH, "ends not square", moved=_LEANS, age=1.1, told={"pieces": Pieces.DRIFTING}),
    Planted(S.OUT_OF_LENGTH, "measured warm", told={"hot_piece": True}),
)

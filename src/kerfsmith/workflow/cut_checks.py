"""What a cut is held against before it is logged: the band, what was noted, pieces that are held."""

import math
from datetime import datetime, timedelta

from kerfsmith.errors import InvalidValue
from kerfsmith.shop.band_in_use import Mounting
from kerfsmith.shop.run import Run
from kerfsmith.units.told import sentence
from kerfsmith.workflow.event import EventMark
from kerfsmith.workflow.floor_ports import Floor
from kerfsmith.workflow.ports import Change
from kerfsmith.workflow.refusal import Refused

UNAWARE = timedelta(minutes=2)
"""An event that took longer to arrive was made without a network: its panel knew of nothing else."""
LONGEST_CUT_S = 24 * 3600.0
MOST_LOAD_PERCENT = 500.0
"""A motor that stalls draws some six times what it is rated for; its load meter ends below."""
MOST_POWER_KW = 1000.0


def band_on(change: Change, run: Run, at: datetime) -> Mounting:
    """The band on the run's saw at that moment. Raises Refused where none is on record."""
    mounting = change.crib.mounted_at(run.saw, at)
    if mounting is None:
        raise Refused(
            "no-band",
            sentence("no band is on record on saw {saw_name}", saw_name=run.saw_name),
            "Say which band is on the saw, then count the cut",
        )
    return mounting


def refuse_past_hold(floor: Floor, run: Run, at: datetime, event: EventMark | None) -> None:
    """Refuse to go on past a piece that measured wrong, as long as nobody has decided on it."""
    if event is not None and event.received_at - at > UNAWARE:
        return
    held = [one for one in floor.failed((run.id,)) if one.is_held and one.inspection.at <= at]
    if held:
        marks = ", ".join(dict.fromkeys(one.piece.mark for one in held))
        raise Refused(
            "piece-held",
            sentence(
                "{marks} measured wrong and is held: no further piece is counted until somebody decides",
                marks=marks,
            ),
            "Scrap it, cut or measure it again, or let a lead accept it; then correct the stop",
        )


def check_noted(
    began_at: datetime | None, ended_at: datetime | None, percent: float | None, power_kw: float | None
) -> None:
    """Raise InvalidValue for a figure that is none, or a time without zone."""
    if not all(math.isfinite(figure or 0.0) for figure in (percent, power_kw)):
        raise InvalidValue("load and power are finite figures")
    if any(time is not None and time.tzinfo is None for time in (began_at, ended_at)):
        raise InvalidValue("the times of a cut have a time zone")


def refuse_odd_times(began_at: datetime | None, ended_at: datetime | None) -> None:
    """Refuse a cut that ends before it began, or lasts for days."""
    if began_at is not None and ended_at is not None:
        seconds = (ended_at - began_at).total_seconds()
        if not 0 <= seconds <= LONGEST_CUT_S:
            raise Refused("cut-times", "a cut ends after it began, and within a day", "Leave the times out")


def refuse_odd_load(percent: float | None, power_kw: float | None) -> None:
    """Refuse what no motor's meter shows."""
    for figure, most in ((percent, MOST_LOAD_PERCENT), (power_kw, MOST_POWER_KW)):
        if figure is not None and not 0 <= figure <= most:
            raise Refused(
                "motor-load",
                sentence("no motor runs at {load}", load=f"{figure:g}"),
                "Key what its meter showed, or nothing",
            )

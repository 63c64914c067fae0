"""A kept week as a JSON-ready document, as commands and other programs read it."""

from typing import Any

from kerfsmith.scheduling.causes import causes
from kerfsmith.scheduling.kept import KeptWeek
from kerfsmith.scheduling.result import AimValue, Placement
from kerfsmith.scheduling.wanted import is_late, lines_of
from kerfsmith.scheduling.words import headline, standing


def week_document(kept: KeptWeek) -> dict[str, Any]:
    """The week: status, aims with their bounds, runs with their times, late work with its cause.

    Times are ISO 8601 by the shop's clock, without a zone; ``seconds`` of an aim is there where it counts
    time.
    """
    week, problem = kept.week, kept.problem
    return {
        "week": kept.id,
        "plan": kept.plan_id,
        "why": kept.why,
        "status": week.status.value,
        "headline": headline(week),
        "reckoned_at": kept.clock.moment(kept.now).isoformat(),
        "aims": [_aim(one, kept.clock.tick_s) for one in week.aims],
        "before": [_aim(one, kept.clock.tick_s) for one in kept.before],
        "runs": [_run(kept, one) for one in week.placements],
        "late": [
            {
                "run": cause.run,
                "saw": cause.saw,
                "seconds_late": cause.late * kept.clock.tick_s,
                "blame": cause.blame.value,
                "cause": cause.text,
            }
            for cause in causes(problem, week, since=kept.now)
        ],
        "left_out": [{"group": group, "reason": why} for group, why in kept.left_out],
        "overtime": [
            {
                "saw": saw,
                "begins": kept.clock.moment(problem.saw(saw).calendar.windows[place].start).isoformat(),
                "ends": kept.clock.moment(problem.saw(saw).calendar.windows[place].end).isoformat(),
            }
            for saw, places in week.opened.items()
            for place in places
        ],
    }


def _aim(one: AimValue, tick_s: int) -> dict[str, Any]:
    return {
        "aim": one.aim.name.lower(),
        "value": one.value,
        "bound": one.bound,
        "bound_source": one.bound_source,
        "proven": one.is_proven,
        "words": standing(one, tick_s),
    }


def _run(kept: KeptWeek, one: Placement) -> dict[str, Any]:
    run, moment = kept.problem.run(one.run), kept.clock.moment
    return {
        "run": run.id,
        "label": run.label,
        "saw": one.saw,
        "band": one.band,
        "begins": moment(one.start).isoformat(),
        "ends": moment(one.end).isoformat(),
        "set_up_begins": moment(one.set_up.start).isoformat() if one.set_up is not None else None,
        "band_change": one.set_up is not None and one.set_up.changes,
        "pieces": run.weight,
        "late": is_late(kept.problem, one),
        "pinned": run.pin is not None,
        "begun": run.pin is not None and run.pin.rank is not None,
        "unattended": run.unattended.allowed,
        "unattended_reason": run.unattended.reason,
        "saws": [option.saw for option in run.open_options],
        "lines": [
            {
                "line": line.line,
                "mark": line.mark,
                "pieces": line.pieces,
                "due": moment(line.due).isoformat(),
                "done": moment(line.done).isoformat(),
                "pieces_late": line.late_pieces,
            }
            for line in lines_of(kept.problem, one)
        ],
    }

"""What a verb's answer says to who stands at the saw."""

from kerfsmith.planning.plan import PlannedBar
from kerfsmith.shop.hold import Decision
from kerfsmith.shop.inspection import Inspection
from kerfsmith.shop.rack import Bar
from kerfsmith.shop.run import RunLine
from kerfsmith.units.told import in_measure
from kerfsmith.web.pages.at_saw.steps import Bench, unit_of
from kerfsmith.web.pages.at_saw.view import Notice
from kerfsmith.web.reading import Reading, plural
from kerfsmith.workflow.change_band import BandChanged
from kerfsmith.workflow.change_run import RunChanged
from kerfsmith.workflow.decide_piece import DoubtfulAccepted
from kerfsmith.workflow.finish_bar import BarFinished
from kerfsmith.workflow.log_cut import CutLogged
from kerfsmith.workflow.refusal import Refusal

REFUSED, CHANGED, SAID = "refused", "changed", "done"


def notice_of(answer: object, reading: Reading) -> Notice | None:
    """What is to be read of an answer, None where the panel itself shows enough."""
    unit, bench = unit_of(reading.measure), Bench(reading, None, {})
    match answer:
        case Refusal():
            reason, remedy = (in_measure(text, reading.measure) for text in (answer.reason, answer.remedy))
            return Notice(REFUSED, _sentence(reason), (f"{remedy}.",) if remedy else ())
        case RunChanged():
            return Notice(CHANGED, "The rest of the run was planned anew", changes(answer, bench, unit))
        case CutLogged() if answer.notes:
            return Notice(CHANGED, "Counted", tuple(map(_sentence, answer.notes)))
        case Inspection() if answer.verdict.is_out:
            over = answer.measured_um - answer.nominal_um
            by = f"by {bench.dial(abs(over))} {unit}"
            return Notice(
                REFUSED,
                f"The piece is {answer.verdict} {by}",
                ("It is held until somebody decides; then correct the stop, and measure the next piece.",),
            )
        case Decision():
            return Notice(SAID, "Accepted as it is", (f"By {answer.by}: {answer.reason}",))
        case DoubtfulAccepted():
            pieces = plural(len(answer.decisions), "doubtful piece")
            return Notice(SAID, f"{pieces} accepted", (answer.decisions[0].reason,))
        case Bar():
            place = f" at {answer.place}" if answer.place else ""
            return Notice(SAID, f"{answer.id} is on the rack{place}", (reading.length(answer.length_um),))
        case BarFinished() if answer.not_cut:
            missing = plural(len(answer.not_cut), "piece")
            return Notice(CHANGED, f"{missing} of the bar not cut", ("Plan the rest anew for them.",))
        case BandChanged():
            off = f"{answer.off.id} is off" if answer.off else ""
            on = f"{answer.on.id} is on; the next piece is measured" if answer.on else "no band is on"
            return Notice(SAID, "Band changed", tuple(_sentence(part) for part in (off, on) if part))
        case _:
            return None


def changes(answer: RunChanged, bench: Bench, unit: str) -> tuple[str, ...]:
    """What became other: line by line, then the bars."""
    before = {line.line_id: line for line in answer.lines_before}
    told = []
    for line in answer.lines_after:
        former = before.get(line.line_id, line)
        if former.wanted != line.wanted:
            told.append(
                f"{line.mark}: {line.wanted} wanted instead of {former.wanted}, {_missing(line)} to cut."
            )
        if former.length_um != line.length_um:
            told.append(
                f"{line.mark}: {bench.dial(line.length_um)} {unit} instead of"
                f" {bench.dial(former.length_um)} {unit} for all that are not cut."
            )
    if answer.bars_in_saw_changed:
        told.append(f"Other pieces on the bar in the saw: {', '.join(answer.bars_in_saw_changed)}.")
    was, now = _bars(answer.bars_before), _bars(answer.bars_after)
    told.append(
        f"Bars still to load: {now or 'none'}."
        if was == now
        else f"Bars still to load: {now or 'none'}; they were {was or 'none'}."
    )
    told += [f"No bar is left for {one.count} × {one.mark}: {one.reason}." for one in answer.unplanned]
    return (*told, *map(_sentence, answer.notes))


def _missing(line: RunLine) -> str:
    return "none" if line.missing == 0 else str(line.missing)


def _bars(bars: tuple[PlannedBar, ...]) -> str:
    counted: dict[str, int] = {}
    for bar in bars:
        counted[bar.bar_id] = counted.get(bar.bar_id, 0) + bar.times
    return ", ".join(f"{count} × {label}" for label, count in sorted(counted.items()))


def _sentence(text: str) -> str:
    return text[:1].upper() + text[1:].rstrip(".")

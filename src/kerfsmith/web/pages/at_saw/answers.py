"""What a verb's answer says to who stands at the saw."""

from kerfsmith.planning.plan import PlannedBar
from kerfsmith.shop.hold import Decision
from kerfsmith.shop.inspection import Inspection
from kerfsmith.shop.rack import Bar
from kerfsmith.shop.run import RunLine
from kerfsmith.web.pages.at_saw.steps import Bench, unit_of
from kerfsmith.web.pages.at_saw.view import Notice
from kerfsmith.web.reading import Reading
from kerfsmith.web.words import say, say_many
from kerfsmith.workflow.change_band import BandChanged
from kerfsmith.workflow.change_run import RunChanged
from kerfsmith.workflow.cut_load import LoadCut
from kerfsmith.workflow.decide_piece import DoubtfulAccepted
from kerfsmith.workflow.finish_bar import BarFinished
from kerfsmith.workflow.finish_load import LoadFinished
from kerfsmith.workflow.log_cut import CutLogged
from kerfsmith.workflow.refusal import Refusal

REFUSED, CHANGED, SAID = "refused", "changed", "done"


def notice_of(answer: object, reading: Reading) -> Notice | None:
    """What is to be read of an answer, None where the panel itself shows enough."""
    unit, bench = unit_of(reading.measure), Bench(reading, None, {})
    match answer:
        case Refusal():
            reason, remedy = (reading.told(text) for text in (answer.reason, answer.remedy))
            return Notice(REFUSED, _sentence(reason), (f"{remedy}.",) if remedy else ())
        case RunChanged():
            return Notice(CHANGED, say("The rest of the run was planned anew"), changes(answer, bench, unit))
        case LoadCut() if any(one.verdict.is_out for one in answer.judged):
            out = sum(one.verdict.is_out for one in answer.judged)
            return Notice(
                REFUSED,
                say_many("1 piece measured wrong", "{count} pieces measured wrong", out),
                (
                    say(
                        "It is held until somebody decides; then correct the stop, and measure the next "
                        "piece."
                    ),
                ),
            )
        case CutLogged() | LoadCut() if answer.notes:
            return Notice(CHANGED, say("Counted"), tuple(map(_sentence, answer.notes)))
        case Inspection() if answer.verdict.is_out:
            over = f"{bench.dial(abs(answer.measured_um - answer.nominal_um))} {unit}"
            return Notice(
                REFUSED,
                say("The piece is {verdict} by {over}", verdict=say(answer.verdict), over=over),
                (
                    say(
                        "It is held until somebody decides; then correct the stop, and measure the next "
                        "piece."
                    ),
                ),
            )
        case Decision():
            return Notice(
                SAID,
                say("Accepted as it is"),
                (say("By {by}: {reason}", by=answer.by, reason=answer.reason),),
            )
        case DoubtfulAccepted():
            title = say_many(
                "1 doubtful piece accepted", "{count} doubtful pieces accepted", len(answer.decisions)
            )
            return Notice(SAID, title, (answer.decisions[0].reason,))
        case Bar():
            title = (
                say("{id} is on the rack at {place}", id=answer.id, place=answer.place)
                if answer.place
                else say("{id} is on the rack", id=answer.id)
            )
            return Notice(SAID, title, (reading.length(answer.length_um),))
        case BarFinished() if answer.not_cut:
            title = say_many(
                "1 piece of the bar not cut", "{count} pieces of the bar not cut", len(answer.not_cut)
            )
            return Notice(CHANGED, title, (say("Plan the rest anew for them."),))
        case LoadFinished() if any(one.not_cut for one in answer.bars):
            uncut = sum(len(one.not_cut) for one in answer.bars)
            title = say_many("1 piece of the load not cut", "{count} pieces of the load not cut", uncut)
            return Notice(CHANGED, title, (say("Plan the rest anew for them."),))
        case BandChanged():
            off = say("{id} is off", id=answer.off.id) if answer.off else ""
            on = (
                say("{id} is on; the next piece is measured", id=answer.on.id)
                if answer.on
                else say("no band is on")
            )
            return Notice(SAID, say("Band changed"), tuple(_sentence(part) for part in (off, on) if part))
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
                say(
                    "{mark}: {wanted} wanted instead of {wanted_2}, {line} to cut.",
                    mark=line.mark,
                    wanted=line.wanted,
                    wanted_2=former.wanted,
                    line=_missing(line),
                )
            )
        if former.length_um != line.length_um:
            told.append(
                say(
                    "{mark}: {length} {unit} instead of {length_2} {unit} for all that are not cut.",
                    mark=line.mark,
                    length=bench.dial(line.length_um),
                    unit=unit,
                    length_2=bench.dial(former.length_um),
                )
            )
    if answer.bars_in_saw_changed:
        told.append(
            say(
                "Other pieces on the bar in the saw: {bars_in_saw_changed}.",
                bars_in_saw_changed=", ".join(answer.bars_in_saw_changed),
            )
        )
    was, now = _bars(answer.bars_before), _bars(answer.bars_after)
    told.append(
        say("Bars still to load: {bars}.", bars=now or say("none"))
        if was == now
        else say(
            "Bars still to load: {bars}; they were {former}.",
            bars=now or say("none"),
            former=was or say("none"),
        )
    )
    told += [
        say(
            "No bar is left for {count} × {mark}: {reason}.",
            count=one.count,
            mark=one.mark,
            reason=one.reason,
        )
        for one in answer.unplanned
    ]
    return (*told, *map(_sentence, answer.notes))


def _missing(line: RunLine) -> str:
    return say("none") if line.missing == 0 else str(line.missing)


def _bars(bars: tuple[PlannedBar, ...]) -> str:
    counted: dict[str, int] = {}
    for bar in bars:
        counted[bar.bar_id] = counted.get(bar.bar_id, 0) + bar.times
    return ", ".join(f"{count} × {label}" for label, count in sorted(counted.items()))


def _sentence(text: str) -> str:
    return text[:1].upper() + text[1:].rstrip(".")

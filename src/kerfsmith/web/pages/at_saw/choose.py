"""Which saw, which run: what a panel shows before there is anything to cut."""

from collections.abc import Sequence
from dataclasses import dataclass

from kerfsmith.planning.plan import PlanGroup
from kerfsmith.shop.person import Person
from kerfsmith.shop.run import Run
from kerfsmith.web.floor_stage import SawOnFloor
from kerfsmith.web.pages.at_saw.steps import clock
from kerfsmith.web.pages.at_saw.view import Notice
from kerfsmith.web.sheet import link
from kerfsmith.web.words import say, say_many
from kerfsmith.workflow.permissions import Verb, may


@dataclass(frozen=True, slots=True)
class Choice:
    """A run that can be opened, or a group that can be released; ``waits`` says what is to be decided."""

    id: str
    href: str
    name: str
    words: str
    waits: str = ""


@dataclass(frozen=True, slots=True)
class SawChoice:
    """A saw with its runs."""

    id: str
    name: str
    words: str
    bound: bool
    runs: tuple[Choice, ...]
    to_release: tuple[Choice, ...]


@dataclass(frozen=True, slots=True)
class ChoosePage:
    """The saws; once the panel is bound to one, that one alone."""

    question: str
    saws: tuple[SawChoice, ...]
    bound: str
    may_release: bool
    notices: tuple[Notice, ...]


def choose_page(
    saws: Sequence[SawOnFloor], bound: str, person: Person, notices: Sequence[Notice] = ()
) -> ChoosePage:
    """The choice, for a panel bound to the saw ``bound`` ("" for none)."""
    known = bound if any(one.saw.id == bound for one in saws) else ""
    return ChoosePage(
        question=say("Which run is cut at this saw?")
        if known
        else say("At which saw does this panel stand?"),
        saws=tuple(_saw(one, known) for one in saws if not known or one.saw.id == known),
        bound=known,
        may_release=may(person.role, Verb.RELEASE_RUN),
        notices=tuple(notices),
    )


def _saw(one: SawOnFloor, bound: str) -> SawChoice:
    stop = (
        say(
            "stands: {reason}, since {began_at}",
            reason=say(one.stop.reason),
            began_at=clock(one.stop.began_at),
        )
        if one.stop
        else ""
    )
    band = say("band {id}", id=one.band.id) if one.band else say("no band on record")
    runs = say_many("1 open run", "{count} open runs", len(one.runs))
    return SawChoice(
        id=one.saw.id,
        name=one.saw.name,
        words=", ".join(part for part in (runs, band, stop) if part),
        bound=one.saw.id == bound,
        runs=tuple(_run(run, one) for run in one.runs),
        to_release=tuple(_group(group) for group in one.to_release),
    )


def _run(run: Run, saw: SawOnFloor) -> Choice:
    words = say(
        "released {released_at} by {released_by}",
        released_at=f"{run.released_at.astimezone():%Y-%m-%d %H:%M}",
        released_by=run.released_by,
    )
    return Choice(
        run.id,
        link("at-saw", "run", run.id),
        f"{run.grade} · {run.section.name}",
        words,
        _waits(saw.held.get(run.id, 0), saw.doubtful.get(run.id, 0)),
    )


def _waits(held: int, doubtful: int) -> str:
    told = [say_many("{count} piece held", "{count} pieces held", held)] if held else []
    told += [say_many("{count} doubtful", "{count} doubtful", doubtful)] if doubtful else []
    return ", ".join(told)


def _group(group: PlanGroup) -> Choice:
    pieces = say_many("1 piece", "{count} pieces", group.pieces_planned)
    bars = say_many("1 bar", "{count} bars", group.bars_used)
    if group.first_due:
        due = group.first_due.isoformat()
        words = say("{pieces} from {bars}, first due {due}", pieces=pieces, bars=bars, due=due)
    else:
        words = say("{pieces} from {bars}", pieces=pieces, bars=bars)
    return Choice(group.id, "", f"{group.grade} · {group.section.name}", words)

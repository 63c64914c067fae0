"""The chosen run: its times and due lines, the saws that take it, and what can be done to it."""

from kerfsmith.planning.plan import PlanGroup
from kerfsmith.scheduling.kept import KeptWeek, Wish, Wished
from kerfsmith.scheduling.problem import Option, Run
from kerfsmith.scheduling.result import Placement
from kerfsmith.scheduling.wanted import lines_of
from kerfsmith.web.days import day_and_time
from kerfsmith.web.pages.week.view import OptionRow, RunView
from kerfsmith.web.pages.week.words import from_to, length_of
from kerfsmith.web.reading import Reading
from kerfsmith.web.sheet import link
from kerfsmith.web.week_stage import WeekOnFloor
from kerfsmith.web.words import say, say_many


class RunMaker:
    """Makes what is shown of one placed run; ``group`` is None where an older plan had it."""

    def __init__(
        self,
        kept: KeptWeek,
        one: Placement,
        group: PlanGroup | None,
        floor: WeekOnFloor,
        reading: Reading,
    ) -> None:
        self._kept, self._one, self._group, self._floor = kept, one, group, floor
        self._reading = reading
        self._run: Run = kept.problem.run(one.run)
        row = [other.run for other in sorted(kept.week.on(one.saw), key=lambda other: other.start)]
        self._place, self._last = row.index(one.run), len(row) - 1
        self._head = sum(self._is_begun(kept.problem.run(name)) for name in row)

    @staticmethod
    def _is_begun(run: Run) -> bool:
        return run.pin is not None and run.pin.rank is not None

    def view(self, name: str) -> RunView:
        """Everything of it."""
        kept, one, run = self._kept, self._one, self._run
        moment = kept.clock.moment
        lines = lines_of(kept.problem, one)
        due = min((line.due for line in lines), default=None)
        begun = self._is_begun(run)
        movable = not begun
        return RunView(
            run=run.id,
            name=name if self._group is not None else run.label,
            saw=one.saw,
            place=self._place,
            when=from_to(moment(one.start), moment(one.end)),
            due=day_and_time(moment(due)) if due is not None else say("nobody waits for it"),
            late=any(line.late for line in lines),
            facts=self._facts(),
            unattended=self._reading.told(run.unattended.reason),
            may_run_alone=run.unattended.allowed,
            lines=tuple(
                (
                    line.mark or say("all of it"),
                    say_many("{count} piece", "{count} pieces", line.pieces),
                    say(
                        "due {due}, done {done}",
                        due=day_and_time(moment(line.due)),
                        done=day_and_time(moment(line.done)),
                    ),
                    line.late > 0,
                )
                for line in lines
            ),
            options=tuple(self._option(option) for option in run.options),
            wishes=tuple(self._wish(wish) for wish in kept.wishes_for(run.id)),
            movable=movable,
            why_not_movable="" if movable else say("It has begun; what has begun stays."),
            can_go_earlier=movable and self._place > self._head,
            can_go_later=movable and self._place < self._last,
            plan_href=link("plan", run.id) if self._group is not None else "",
        )

    def _facts(self) -> tuple[tuple[str, str], ...]:
        kept, one, run = self._kept, self._one, self._run
        option, minutes = run.on(one.saw), kept.clock.tick_s / 60
        set_up = say("none: the band is on the saw")
        if one.set_up is not None:
            took = length_of((one.set_up.end - one.set_up.start) * minutes)
            set_up = (
                say("{took}: band {band} goes on", took=took, band=one.band)
                if one.set_up.changes
                else say("{took}: breaking in", took=took)
            )
        loads = say_many("{count} load", "{count} loads", len(option.loads))
        hands = sum(load.crane + load.hand for load in option.loads) * minutes
        return (
            (say("Saw time"), f"{length_of(option.ticks * minutes)}, {loads}"),
            (say("Set-up before it"), set_up),
            (say("Crane and hands"), length_of(hands)),
            (say("Pieces"), str(run.weight)),
        )

    def _option(self, option: Option) -> OptionRow:
        kept, one = self._kept, self._one
        here = option.saw == one.saw
        minutes = kept.clock.tick_s / 60
        apart = (option.ticks - self._run.on(one.saw).ticks) * minutes
        against = ""
        if not here:
            against = (
                say("{time} quicker", time=length_of(-apart))
                if apart < 0
                else say("{time} slower", time=length_of(apart))
                if apart
                else say("as quick")
            )
        pin = self._run.pin
        return OptionRow(
            saw=option.saw,
            name=kept.problem.saw(option.saw).name or option.saw,
            here=here,
            planned=self._group is not None and self._group.saw == option.saw,
            band=option.band,
            takes=length_of(option.ticks * minutes),
            against=against,
            can_go=not here and not self._is_begun(self._run) and (pin is None or pin.saw == option.saw),
        )

    def _wish(self, wish: Wish) -> str:
        saw = next((one.name for one in self._floor.saws if one.id == wish.saw), wish.saw)
        match wish.wished:
            case Wished.SAW:
                return say("Pinned to {saw}.", saw=saw)
            case Wished.TIME:
                at = day_and_time(wish.at) if wish.at is not None else ""
                return say("Pinned to {saw} at {at}.", saw=saw, at=at)
            case Wished.NOT_HERE:
                return say("Not to be cut on {saw}.", saw=saw)

"""What the pages of the week show, as values."""

from dataclasses import dataclass

from markupsafe import Markup


@dataclass(frozen=True, slots=True)
class Compared:
    """One aim before and after: what the order in force would reach from now on, and what is put forward."""

    what: str
    before: str
    after: str
    verdict: str
    worse: bool


@dataclass(frozen=True, slots=True)
class ProposalView:
    """The week that is put forward, with what it costs against the one in force."""

    week_id: str
    why: str
    summary: str
    rows: tuple[Compared, ...]
    moved: tuple[str, ...]
    is_first: bool


@dataclass(frozen=True, slots=True)
class SawLabel:
    """A saw at the left of the picture."""

    name: str
    words: str
    stands: str


@dataclass(frozen=True, slots=True)
class OptionRow:
    """A saw that takes the chosen run: the band and the time there; ``planned`` where the plan has it."""

    saw: str
    name: str
    here: bool
    planned: bool
    band: str
    takes: str
    against: str
    can_go: bool


@dataclass(frozen=True, slots=True)
class RunView:
    """The run that is chosen, with everything that can be done to it."""

    run: str
    name: str
    saw: str
    place: int
    when: str
    due: str
    late: bool
    facts: tuple[tuple[str, str], ...]
    unattended: str
    may_run_alone: bool
    lines: tuple[tuple[str, str, str, bool], ...]
    options: tuple[OptionRow, ...]
    wishes: tuple[str, ...]
    movable: bool
    why_not_movable: str
    can_go_earlier: bool
    can_go_later: bool
    plan_href: str


@dataclass(frozen=True, slots=True)
class LateRow:
    """A late run, the lines of it that are late, and why."""

    href: str
    name: str
    late: str
    lines: str
    cause: str


@dataclass(frozen=True, slots=True)
class ListRow:
    """One run in the list."""

    href: str
    saw: str
    begins: str
    ends: str
    name: str
    pieces: str
    band: str
    due: str
    state: str
    mark: Markup
    late: bool
    alone: str
    why_alone: str
    pinned: str


@dataclass(frozen=True, slots=True)
class Standing:
    """A saw that stands, and when it may run again."""

    saw: str
    name: str
    why: str
    back: str


@dataclass(frozen=True, slots=True)
class WeekPage:
    """The whole page. ``problem`` is a refusal in words, empty where nothing was refused."""

    headline: str
    standing_words: tuple[str, ...]
    picture: Markup
    saws: tuple[SawLabel, ...]
    legend: tuple[tuple[str, str], ...]
    script_words: dict[str, str]
    zooms: tuple[tuple[str, str, bool], ...]
    proposal: ProposalView | None
    run: RunView | None
    late: tuple[LateRow, ...]
    rows: tuple[ListRow, ...]
    left_out: tuple[str, ...]
    short: tuple[tuple[str, str, str], ...]
    stale: tuple[str, ...]
    stopped: tuple[Standing, ...]
    job_href: str
    here: str
    problem: str
    remedy: str
    made: str


@dataclass(frozen=True, slots=True)
class NoWeekPage:
    """Where there is no week yet."""

    has_plan: bool
    job_href: str
    problem: str
    remedy: str


@dataclass(frozen=True, slots=True)
class JobPage:
    """A week in the making."""

    href: str
    stop_href: str
    goes_on: bool
    can_stop: bool
    words: str
    told: str
    clock: str
    problem: str
    remedy: str

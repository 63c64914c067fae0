"""What the control charts saw move, and what else changed then."""

from collections.abc import Iterator, Mapping

from kerfsmith.faults.circumstances import Circumstances, Moved
from kerfsmith.faults.clue import Clue, Weight
from kerfsmith.units.told import Told, sentence

_SPEAKS: Mapping[str, tuple[tuple[str, Weight], ...]] = {
    "squareness": (
        ("worn band", Weight.FAINT),
        ("ends not square", Weight.CLEAR),
        ("worn guides", Weight.FAINT),
    ),
    "cut time": (("worn band", Weight.FAINT), ("bar harder than it should be", Weight.FAINT)),
    "motor load": (("worn band", Weight.CLEAR), ("bar harder than it should be", Weight.FAINT)),
    "length": (("length measure off", Weight.FAINT),),
}
_WITH: Mapping[str, tuple[tuple[str, Weight], ...]] = {
    "band": (
        ("one-sided set", Weight.FAINT),
        ("band fitted backwards", Weight.FAINT),
        ("kerf not as reckoned", Weight.FAINT),
    ),
    "heat": (("bar harder than it should be", Weight.CLEAR), ("worn band", Weight.FAINTLY_AGAINST)),
    "bar": (("bar harder than it should be", Weight.FAINT), ("hard spot", Weight.FAINT)),
    "setting": (("feed too heavy", Weight.FAINT), ("band speed too high", Weight.FAINT)),
    "person": (("work not square in the vise", Weight.FAINT), ("length measure off", Weight.FAINT)),
    "grade": (),
}


def chart_clues(case: Circumstances) -> Iterator[Clue]:
    """Clues from what moved and from what changed beside it."""
    for moved in case.moved:
        if moved.by == 0:
            continue
        text = _told(moved)
        # Only more of these is trouble; a length is off either way.
        if moved.by > 0 or moved.measure == "length":
            for cause, weight in _SPEAKS.get(moved.measure, ()):
                yield Clue(cause, weight, text)
        for beside in moved.beside:
            then = sentence(
                "{text}; {kind} {beside} came then", text=text, kind=Told(beside.kind), beside=beside.name
            )
            for cause, weight in _WITH.get(beside.kind, ()):
                yield Clue(cause, weight, then)


def _told(moved: Moved) -> Told:
    more = Told("up") if moved.by > 0 else Told("down")
    return sentence(
        "{measure} went {more} by {by} {unit} on {since}",
        measure=Told(moved.measure),
        more=more,
        by=f"{abs(moved.by):.3g}",
        unit=moved.unit,
        since=f"{moved.since:%d %B %H:%M}",
    )

"""How many cuts of each saw have their beginning and end noted: what times can be learned from at all."""

from collections import Counter
from dataclasses import dataclass

from kerfsmith.learning.log import Log


@dataclass(frozen=True, slots=True)
class TimesNoted:
    """Of one saw: its cuts, those whose beginning is noted, and those whose end is.

    Feeding and clamping is learned from the end of one cut to the beginning of the next on the same bar.
    """

    saw: str
    saw_name: str
    cuts: int
    began: int
    ended: int


def times_noted(log: Log) -> tuple[TimesNoted, ...]:
    """Each saw that cut anything, by its id; a pass through several bars counts once, one taken back not."""
    cuts = [cut for cut in log.cuts if not (cut.undone or cut.follows)]
    names = {cut.saw: cut.saw_name for cut in cuts}
    every = Counter(cut.saw for cut in cuts)
    began = Counter(cut.saw for cut in cuts if cut.began_at is not None)
    ended = Counter(cut.saw for cut in cuts if cut.ended_at is not None)
    return tuple(TimesNoted(saw, names[saw], every[saw], began[saw], ended[saw]) for saw in sorted(every))

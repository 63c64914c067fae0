"""What each circumstance says of the causes; one module a subject, each clue with what it rests on."""

from collections.abc import Iterator

from kerfsmith.faults.circumstances import Circumstances
from kerfsmith.faults.clue import Clue
from kerfsmith.faults.clues.band import band_clues
from kerfsmith.faults.clues.charts import chart_clues
from kerfsmith.faults.clues.dials import dial_clues
from kerfsmith.faults.clues.hold import hold_clues
from kerfsmith.faults.clues.length import length_clues
from kerfsmith.faults.clues.teeth import teeth_clues
from kerfsmith.faults.clues.work import work_clues

_SUBJECTS = (band_clues, dial_clues, teeth_clues, hold_clues, work_clues, length_clues, chart_clues)


def all_clues(case: Circumstances) -> Iterator[Clue]:
    """Every clue that the circumstances give, for or against."""
    for subject in _SUBJECTS:
        yield from subject(case)

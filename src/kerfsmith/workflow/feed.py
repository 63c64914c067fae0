"""The feed: what happened at the saws, in the order of the ledger, for other programs to follow."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from kerfsmith.workflow.permissions import Verb

FEED_VERBS = frozenset(
    {
        Verb.RELEASE_RUN,
        Verb.CHANGE_RUN,
        Verb.FINISH_RUN,
        Verb.LOAD_BAR,
        Verb.RETURN_BAR,
        Verb.MEASURE_BAR,
        Verb.LOG_CUT,
        Verb.UNDO_CUT,
        Verb.CUT_LOAD,
        Verb.UNDO_PASS,
        Verb.TAKE_OUT,
        Verb.REJECT_PIECE,
        Verb.INSPECT_PIECE,
        Verb.FINISH_BAR,
        Verb.FINISH_LOAD,
        Verb.PUT_AWAY,
        Verb.SCRAP_REMNANT,
        Verb.ADD_BAND,
        Verb.CHANGE_BAND,
        Verb.RETIRE_BAND,
        Verb.STOP_SAW,
        Verb.RESUME_SAW,
        Verb.REPORT_FAULT,
        Verb.SETTLE_FAULT,
    }
)
"""What is told: the saws' own verbs. People, secrets and the office's work stay in the ledger."""


@dataclass(frozen=True, slots=True)
class FeedEntry:
    """One thing done: its number in the ledger (rising, with gaps), when, by whom, and what was told."""

    number: int
    at: datetime
    by: str
    verb: str
    subject: str
    told: Mapping[str, Any]

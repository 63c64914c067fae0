"""How many cuts of a saw have their beginning and end noted, counted by hand."""

from dataclasses import replace

from tests.learning.test_observe import cut

from kerfsmith.learning.log import Log
from kerfsmith.learning.times_noted import TimesNoted, times_noted


def test_what_is_noted_is_counted_saw_by_saw() -> None:
    whole = cut(0)
    counted = replace(cut(1), began_at=None, ended_at=None)
    ended = replace(cut(2), began_at=None)
    other = replace(cut(3), saw="saw 2", saw_name="Second", began_at=None, ended_at=None)
    undone = replace(whole, undone=True)
    same_pass = replace(counted, follows=True)
    assert whole.began_at is not None
    found = times_noted(Log((whole, counted, same_pass, ended, undone, other)))
    assert found == (
        TimesNoted("saw 1", whole.saw_name, 3, 1, 2),
        TimesNoted("saw 2", "Second", 1, 0, 0),
    )

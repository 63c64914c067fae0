"""Equal bars put in loads; each case is worked by hand beside it."""

from kerfsmith.nesting.aims import SawTime
from kerfsmith.planning.loads import best_loads, saw_time_of


def test_loads_of_one_pattern_by_hand() -> None:
    # Loading 10 and 5 for each bar; cuts of 20 alone, 30 for two, 33 for three. Seven bars of three cuts:
    # alone 75 each; two 110 (55 a bar), three 124 (41.3 a bar). 3 + 3 + 1 = 323, 3 + 2 + 2 = 344.
    time = SawTime(10, (20, 30, 33), 5)
    assert best_loads(7, 3, time, frozenset({2, 3})) == (3, 3, 1)
    assert best_loads(7, 3, time, frozenset({2})) == (2, 2, 2, 1)
    assert best_loads(7, 3, time, frozenset()) == (1,) * 7
    # A slow cut through three: 10 + 15 + 3 x 70 = 235 against 225 alone; fewest loads take it all the same.
    slow = SawTime(10, (20, 30, 70), 5)
    assert best_loads(6, 3, slow, frozenset({2, 3})) == (2, 2, 2)
    assert best_loads(6, 3, slow, frozenset({2, 3}), few=True) == (3, 3)


def test_what_a_load_takes_in_milliseconds() -> None:
    # Loading one bar 240 s, each further one 120 s; a cut of 20 s alone, 30 s through three, 10 s beside it;
    # two have no setting and count as cut one by one.
    time = saw_time_of({1: 20.0, 3: 30.0}, 10.0, 240.0, 120.0, 3)
    assert time == SawTime(120_000, (30_000, 60_000, 40_000), 120_000)
    assert time.of_load(2, 1) == 300_000
    assert time.of_load(2, 3) == 120_000 + 3 * 120_000 + 2 * 40_000

"""One small worked case for each need of a saw room. Each optimum can be checked by hand; the sums stand
beside it."""

from collections.abc import Sequence
from dataclasses import replace
from time import process_time
from typing import Any

import pytest

from kerfsmith.nesting.aims import Aim, Leftovers, Rates, SawTime, WorthStep
from kerfsmith.nesting.check import check
from kerfsmith.nesting.ends import Turn, kerf_along
from kerfsmith.nesting.engines.slow.enumerate import enumerate_plans
from kerfsmith.nesting.problem import BarStock, FormerBars, Piece, Placed, Problem, Promise
from kerfsmith.nesting.result import Result, Status, Want
from kerfsmith.nesting.solve import solve

MM = 1000
MONEY = 1_000_000
FREELY = frozenset(Turn)


def bar(
    name: str, length: float, count: int | None = None, price: float | None = None, **more: Any
) -> BarStock:
    """A bar in mm, priced at its length unless said."""
    return BarStock(
        name, round(length * MM), count, round((length if price is None else price) * MONEY), **more
    )


def piece(name: str, length: float, count: int, **more: Any) -> Piece:
    """A piece in mm."""
    return Piece(name, round(length * MM), count, **more)


def room(bars: Sequence[BarStock], pieces: Sequence[Piece], kerf: float = 0, **more: Any) -> Problem:
    """A problem without facing and grip unless said."""
    losses = {"front_trim_um": 0, "grip_um": 0}
    return Problem(kerf_um=round(kerf * MM), bars=tuple(bars), pieces=tuple(pieces), **(losses | more))


def solved(problem: Problem, slow: bool = True) -> Result:
    """The plan, passed by the referee, and as good as the best of all plans where ``slow``."""
    result = solve(problem, seconds=30, seed=1, now=process_time)
    assert check(problem, result) == ()
    if slow:
        best = enumerate_plans(problem)
        assert best is not None
        assert [aim.value for aim in result.aims] == [aim.value for aim in best.aims]
    return result


def values(result: Result) -> dict[Aim, int]:
    return {aim.aim: aim.value for aim in result.aims}


class TestLeftovers:
    """What is left of a bar is scrap below a least length, and stock above it."""

    def test_one_long_leftover_instead_of_scrap(self) -> None:
        # 3 x 1800 + 2 x 2400 = 10200 on two bars of 6000 leaves 1800. Together on one bar's end: 2400 +
        # 1800 + 1800 = 6000 exactly, 2400 + 1800 leaves 1800. First fit decreasing (2400 + 2400, 1800 x 3)
        # scraps 600 of each.
        asked = room(
            [bar("B", 6000)],
            [piece("a", 1800, 3), piece("b", 2400, 2)],
            leftovers=Leftovers(least_um=1000 * MM),
            aims=(Aim.BARS, Aim.SCRAP, Aim.REMNANTS),
        )
        result = solved(asked)
        assert values(result) == {Aim.BARS: 2, Aim.SCRAP: 0, Aim.REMNANTS: 1}
        assert sorted(run.remnant_um for run in result.runs) == [0, 1800 * MM]

    @pytest.mark.parametrize(
        ("first", "new", "scrap"),
        [(Aim.NEW_STOCK, 6000, 400), (Aim.SCRAP, 12_000, 0)],
    )
    def test_the_order_of_aims_decides(self, first: Aim, new: int, scrap: int) -> None:
        # 3 x 1900 and 2400 from 6000 new and one remnant of 2500, least remnant 1500. Either 1900 x 3 on
        # the new bar (300 scrap) and 2400 off the remnant (100 scrap), or two new bars: 1900 x 2 leaves
        # 2200, 1900 + 2400 leaves 1700, no scrap.
        asked = room(
            [bar("new", 6000), bar("old", 2500, 1, 0, is_remnant=True)],
            [piece("a", 1900, 3), piece("b", 2400, 1)],
            leftovers=Leftovers(least_um=1500 * MM),
            aims=(first, Aim.SCRAP if first is Aim.NEW_STOCK else Aim.NEW_STOCK),
        )
        assert values(solved(asked)) == {Aim.NEW_STOCK: new * MONEY, Aim.SCRAP: scrap * MM}

    def test_a_longer_leftover_is_worth_more_than_two_short_ones(self) -> None:
        # 2 x 4000 of bars 6000: 2000 left twice, at 1 a metre: 4. Both pieces can't share a bar. Of 4000
        # and 1000: on one bar 1000 is left (worth 1 m x 1) and the other bar isn't touched.
        asked = room(
            [bar("B", 6000, None, 6)],
            [piece("a", 4000, 1), piece("b", 1000, 1)],
            leftovers=Leftovers(1000 * MM, (WorthStep(0, MONEY), WorthStep(3000 * MM, 2 * MONEY))),
            aims=(Aim.NET_MATERIAL,),
        )
        # One bar: 6 - 1 = 5. Two bars: 12 - (2 x 1 + 5 x 2) = 0: the long end is worth more than the bar
        # cost.
        assert values(solved(asked)) == {Aim.NET_MATERIAL: 0}
        flat = replace(asked, leftovers=Leftovers(1000 * MM, (WorthStep(0, MONEY),)))
        # At one rate for all lengths nothing is gained by a second bar: 12 - 2 - 5 = 5 as well, and 5 is
        # the least.
        assert values(solved(flat)) == {Aim.NET_MATERIAL: 5 * MONEY}

    def test_few_new_remnants(self) -> None:
        # Two bars of 6000 with 4000 each leave 2000 twice, worth 2 each. Only one may go back: 12 - 2 = 10.
        asked = room(
            [bar("B", 6000, None, 6)],
            [piece("a", 4000, 2)],
            leftovers=Leftovers(1000 * MM, (WorthStep(0, MONEY),), most_new=1),
            aims=(Aim.NET_MATERIAL, Aim.REMNANTS),
        )
        assert values(solved(asked)) == {Aim.NET_MATERIAL: 10 * MONEY, Aim.REMNANTS: 1}


class TestMitres:
    """Slanting ends share cuts where they match, and their kerf is longer along the bar."""

    def test_kerf_along_the_bar(self) -> None:
        # 1.6 / cos 45 = 2.2627 mm, rounded up to the micrometre; 1 / cos 30 = 1.1547, 1 / cos 60 = 2.
        assert kerf_along(1600, 100_000, 100_000) == 2263
        assert kerf_along(1600, -100_000, 100_000) == 2263
        assert kerf_along(1000, 173_205, 100_000) == 2000
        assert kerf_along(1000, 57_735, 100_000) == 1155
        assert kerf_along(1600, 0, 100_000) == 1600

    @pytest.mark.parametrize(("turns", "needs"), [(FREELY, 5500), (frozenset({Turn.AS_IS}), 6000)])
    def test_trapezoids_turned_over_and_not(self, turns: frozenset[Turn], needs: int) -> None:
        # Square tube 100, both ends 45 degrees, long side 1000: n x 900 + 100 turned, n x 1000 not.
        trapezoid = piece("t", 1000, 6, left_um=100 * MM, right_um=-100 * MM)
        fits = room([bar("B", needs)], [trapezoid], depth_um=100 * MM, turns=turns)
        assert solved(fits, slow=False).bars_used == 1
        short = replace(fits, bars=(bar("B", needs - 0.001),))
        assert solved(short, slow=False).bars_used == 2

    def test_four_trapezoids_on_a_shorter_bar(self) -> None:
        # 4 x 1400 + 100 = 5700: one bar turned over, two not.
        trapezoid = piece("t", 1500, 4, left_um=100 * MM, right_um=-100 * MM)
        asked = room([bar("B", 5700)], [trapezoid], depth_um=100 * MM, turns=FREELY)
        assert solved(asked).bars_used == 1
        assert solved(replace(asked, turns=frozenset({Turn.AS_IS}))).bars_used == 2

    def test_parallelograms_nest_as_they_are(self) -> None:
        # Both ends lean the same way: 3 pieces of 1000 point to point, 900 along each edge, need 3 x 900 +
        # 100, with four mitred cuts of 2.263 at a kerf of 1.6 (the first at the front, in front of the
        # first wedge).
        slanted = piece("p", 1000, 3, left_um=100 * MM, right_um=100 * MM)
        needs = 3 * 900 + 100 + 4 * 2.263
        asked = room([bar("B", needs)], [slanted], kerf=1.6, depth_um=100 * MM)
        result = solved(asked)
        assert (result.bars_used, result.runs[0].cuts, result.runs[0].remnant_um) == (1, 4, 0)
        assert solved(replace(asked, bars=(bar("B", needs - 0.001),))).bars_used == 2

    def test_ends_that_do_not_match_take_two_cuts(self) -> None:
        # A square piece before one that leans by 100: the first's cut (2), the other's (2 x sqrt 2 =
        # 2.829), and no wedge at the bottom edge; behind it the far point and a mitred cut. 500 + 2 + 2.829
        # + 1000 + 2.829.
        asked = room(
            [bar("B", 1507.658)],
            [piece("s", 500, 1), piece("p", 1000, 1, left_um=100 * MM, right_um=100 * MM)],
            kerf=2,
            depth_um=100 * MM,
        )
        result = solved(asked)
        assert (result.bars_used, result.runs[0].cuts) == (1, 3)
        assert solved(replace(asked, bars=(bar("B", 1507.657),))).bars_used == 2

    def test_turning_end_for_end_matches_a_square_end(self) -> None:
        # Two pieces with one mitred end each: 0-45 and 0-45. Turned half round the second shares the mitre
        # with the first: 1000 - 100 + 1000 at the bottom, square at both bar ends; not turned both need
        # their point.
        half = piece("h", 1000, 2, right_um=-100 * MM)
        asked = room(
            [bar("B", 1900)], [half], depth_um=100 * MM, turns=frozenset({Turn.AS_IS, Turn.HALF_TURN})
        )
        assert solved(asked).bars_used == 1
        assert solved(replace(asked, turns=frozenset({Turn.AS_IS}))).bars_used == 2

    @pytest.mark.parametrize(
        ("ends", "cuts"),
        [
            # As edges between face angles: a closed trail from a square face, four shared, one to close.
            ([(0, 45), (45, 45), (0, 0), (45, 30), (0, 30)], 5),
            # Two trails at least: 45 to 15 over the square faces, and 30-30 alone. One cut at the slanting
            # front, three shared, two where the trails meet, one to close.
            ([(0, 45), (0, 45), (0, 45), (30, 30), (0, 15)], 7),
        ],
    )
    def test_cuts_shared_along_trails_of_matching_faces(self, ends: list[tuple[int, int]], cuts: int) -> None:
        lean = {0: 0, 15: 26_795, 30: 57_735, 45: 100_000}
        pieces = [
            piece(f"p{number}", 1000, 1, left_um=lean[one], right_um=-lean[other])
            for number, (one, other) in enumerate(ends)
        ]
        asked = room(
            [bar("B", 6000)], pieces, kerf=1, depth_um=100 * MM, turns=FREELY, aims=(Aim.BARS, Aim.CUTS)
        )
        assert values(solved(asked, slow=False)) == {Aim.BARS: 1, Aim.CUTS: cuts}


class TestVise:
    """The last piece may be what is left in the vise where the bar's end is good."""

    def test_a_good_end_saves_the_grip(self) -> None:
        # 3 x 1998 and two cuts of 3 fill 6000. With a grip of 80 a third piece needs a good end to be held
        # by.
        asked = room([bar("B", 6000, end_is_good=True)], [piece("a", 1998, 3)], kerf=3, grip_um=80 * MM)
        result = solved(asked)
        assert (result.bars_used, result.runs[0].ends_in_vise, result.runs[0].cuts) == (1, True, 2)
        bad = replace(asked, bars=(bar("B", 6000),))
        assert solved(bad).bars_used == 2

    def test_too_short_a_piece_cannot_be_held(self) -> None:
        # 60 is shorter than the grip of 80: it can't be the one in the vise, but the 1937 may.
        pieces = [piece("a", 60, 1), piece("b", 1937, 1)]
        asked = room([bar("B", 2000, end_is_good=True)], pieces, kerf=3, grip_um=80 * MM)
        result = solved(asked)
        assert result.bars_used == 1
        assert result.runs[0].placed[-1].piece == "b"


class TestBundles:
    """Equal bars cut at once: one cut serves them all."""

    def test_loads_and_cuts(self) -> None:
        # 10 x 2000 + 10 x 1500 = 35000 needs 6 bars of 6000. With 5 at once three loads of two: 2000 x 3 (2
        # cuts, the last piece is the bar's end), 2000 x 2 + 1500 (3), 1500 x 4 (3): 8 cuts. Two loads can't
        # do: 5 bars alike hold 10 of one piece at most with 0, 1 or 2 of each, and the sixth can't hold the
        # rest.
        asked = room(
            [bar("B", 6000)],
            [piece("a", 2000, 10), piece("b", 1500, 10)],
            bundle_most=5,
            saw_time=SawTime(0, (1, 1, 1, 1, 1)),
            aims=(Aim.BARS, Aim.LOADS, Aim.CUTS),
        )
        result = solved(asked, slow=False)
        assert values(result) == {Aim.BARS: 6, Aim.LOADS: 3, Aim.CUTS: 8}
        one_by_one = solved(replace(asked, bundle_most=1), slow=False)
        assert values(one_by_one)[Aim.LOADS] == 6

    def test_a_bundle_is_worth_its_slower_cut_or_not(self) -> None:
        # 2 bars, 2 pieces of 2900 each with facing: 3 cuts a bar. Alone 10 + 3 x 20 = 70 each, 140;
        # together 10 + 3 x 30.
        asked = room(
            [bar("B", 6000)],
            [piece("a", 2900, 4)],
            front_trim_um=5 * MM,
            bundle_most=2,
            saw_time=SawTime(10, (20, 30)),
            aims=(Aim.BARS, Aim.SAW_TIME),
        )
        assert values(solved(asked)) == {Aim.BARS: 2, Aim.SAW_TIME: 100}
        slow_bundle = replace(asked, saw_time=SawTime(10, (20, 60)))
        assert values(solved(slow_bundle)) == {Aim.BARS: 2, Aim.SAW_TIME: 140}

    def test_each_bar_of_a_load_takes_its_loading(self) -> None:
        # The same, 5 more for each bar: alone 10 + 5 + 3 x 20 = 75 each, 150; together 10 + 2 x 5 + 3 x 30.
        asked = room(
            [bar("B", 6000)],
            [piece("a", 2900, 4)],
            front_trim_um=5 * MM,
            bundle_most=2,
            saw_time=SawTime(10, (20, 30), 5),
            aims=(Aim.BARS, Aim.SAW_TIME),
        )
        assert values(solved(asked)) == {Aim.BARS: 2, Aim.SAW_TIME: 110}
        assert values(solved(replace(asked, bundle_most=1)))[Aim.SAW_TIME] == 150

    def test_a_slanting_cut_takes_its_own_time(self) -> None:
        # Two parallelograms share the slant between them: three slanting cuts (facing, between, closing), 60.
        # Square, they would be three cuts of 20; with no time for the angle the same three are 60.
        lean = piece("a", 1000, 2, left_um=100 * MM, right_um=100 * MM)
        asked = room(
            [bar("B", 6000)],
            [lean],
            depth_um=100 * MM,
            saw_time=SawTime(10, (20,)),
            aims=(Aim.BARS, Aim.SAW_TIME),
        )
        assert values(solved(asked))[Aim.SAW_TIME] == 10 + 3 * 20
        timed = replace(asked, saw_time=SawTime(10, (20,), slanted=((100 * MM, (29,)),)))
        assert values(solved(timed))[Aim.SAW_TIME] == 10 + 3 * 29
        # A trapezoid that can't be turned shares nothing: both ends of each are cut, four slanting cuts; with
        # a square piece on the same bar there is one square cut more, in front or behind.
        trapezoid = piece("t", 1000, 2, left_um=100 * MM, right_um=-100 * MM)
        both = replace(timed, pieces=(trapezoid, piece("s", 500, 1)))
        assert values(solved(both))[Aim.SAW_TIME] == 10 + 4 * 29 + 20

    def test_due_times_may_be_counted_in_bars(self) -> None:
        # y is due with the first bar, two of x with the second: y goes first, x beside it or behind.
        pieces = [piece("y", 3000, 1, due_ms=1), piece("x", 2500, 2, due_ms=2)]
        asked = room(
            [bar("B", 6000)],
            pieces,
            bundle_most=2,
            saw_time=SawTime(10, (20, 30)),
            due_clock=SawTime(bar_ms=1),
            aims=(Aim.BARS, Aim.LOADS),
        )
        assert values(solved(asked)) == {Aim.BARS: 2, Aim.LOADS: 2}
        # Bars of 5000 hold y alone and two of x. Of 4000 each takes its own: y and then two of x in one load
        # are two loads, but three bars.
        assert values(solved(replace(asked, bars=(bar("B", 5000),))))[Aim.LOADS] == 2
        late = solve(replace(asked, bars=(bar("B", 4000),)), seconds=30, seed=1, now=process_time)
        assert late.status is Status.INFEASIBLE


class TestHeats:
    """Pieces of one order from one heat, or from approved heats."""

    def test_one_heat_for_an_order_chooses_the_heat(self) -> None:
        # O1 4 x 2900 in one heat, O2 3 x 2900 in any. H1 6000, 6000, H2 6000, 3000, two to a 6000: O1 must
        # take both H1 bars, O2 needs the 6000 and the 3000 of H2: 21000 of bar.
        bars = [bar("H1", 6000, 2, heat="H1"), bar("H2", 6000, 1, heat="H2"), bar("h2", 3000, 1, heat="H2")]
        pieces = [piece("o1", 2900, 4, order="O1"), piece("o2", 2900, 3, order="O2")]
        asked = room(bars, pieces, one_heat_orders=frozenset({"O1"}))
        result = solved(asked)
        assert result.cost == 21_000 * MONEY
        assert {run.bar for run in result.runs if "o1" in run.counts} == {"H1"}

    def test_one_heat_can_make_a_rack_too_short(self) -> None:
        # P: two bars, Q: one; 3 x 3000 for each of two orders fill three bars when mixed. One heat each: an
        # order needs two bars, Q has one; one piece of 3000 stays uncut.
        bars = [bar("P", 6000, 2, heat="P"), bar("Q", 6000, 1, heat="Q")]
        pieces = [piece("o1", 3000, 3, order="O1"), piece("o2", 3000, 3, order="O2")]
        mixed = room(bars, pieces)
        assert solved(mixed).bars_used == 3
        result = solved(replace(mixed, one_heat_orders=frozenset({"O1", "O2"})), slow=False)
        assert result.status is Status.INFEASIBLE
        short, rule = result.reasons
        assert (short.want, short.count, short.length_um) == (Want.SHORT_OF_BARS, 1, 3000 * MM)
        assert rule.want is Want.RULES
        assert rule.says.startswith("one heat for an order")

    def test_approved_heats(self) -> None:
        # The approved heat's bar costs 9, the other 5: a certified piece must take the dear one. An unknown
        # heat approves nothing.
        bars = [bar("dear", 3000, 1, 9, heat="A"), bar("cheap", 3000, 1, 5, heat="B"), bar("?", 3000, 1, 1)]
        asked = room(bars, [piece("a", 2000, 1, heats=frozenset({"A"})), piece("b", 2000, 1)])
        assert solved(asked).cost == 10 * MONEY

    def test_a_heat_nobody_has_is_a_reason(self) -> None:
        asked = room([bar("B", 3000, heat="B")], [piece("a", 2000, 1, heats=frozenset({"A"}))])
        result = solved(asked, slow=False)
        assert [reason.want for reason in result.reasons] == [Want.NO_BAR]


class TestDueTimes:
    """Later work may fill the bars of earlier work, but never make it late."""

    @pytest.mark.parametrize(
        ("aims", "bars", "late"),
        [((Aim.BARS, Aim.LATE), 2, 1), ((Aim.LATE, Aim.BARS), 3, 0)],
    )
    def test_bars_first_or_in_time_first(self, aims: tuple[Aim, ...], bars: int, late: int) -> None:
        # A bar of 10 an hour; 6 and 3 due in 1 h, 7 in 2 h, 4 in 3 h. Two bars: 6 + 4 and 7 + 3, and one of
        # the two pieces due first is in the second hour. In time: 6 + 3, 7, 4 in three.
        hour = 3_600_000
        asked = room(
            [bar("B", 10)],
            [
                piece("six", 6, 1, due_ms=1 * hour),
                piece("four", 4, 1, due_ms=3 * hour),
                piece("seven", 7, 1, due_ms=2 * hour),
                piece("three", 3, 1, due_ms=1 * hour),
            ],
            saw_time=SawTime(hour, (0,)),
            aims=aims,
        )
        assert values(solved(asked)) == {Aim.BARS: bars, Aim.LATE: late}

    def test_without_an_aim_for_it_nothing_may_be_late(self) -> None:
        hour = 3_600_000
        asked = room(
            [bar("B", 10)],
            [piece("a", 6, 2, due_ms=hour)],
            saw_time=SawTime(hour, (0,)),
            aims=(Aim.BARS,),
        )
        result = solved(asked, slow=False)
        assert result.status is Status.INFEASIBLE
        assert any(reason.says.startswith("due times") for reason in result.reasons)

    def test_later_work_fills_bars_as_long_as_nothing_is_late(self) -> None:
        # Loading takes 1, a cut 1. The urgent 5 is due by 2: alone on its bar (one cut) it is done by 2.
        # With a later 4 beside it the bar takes 3: late. So the later one gets its own bar, though both
        # would fit one.
        pieces = [piece("urgent", 5, 1, due_ms=2), piece("later", 4, 1)]
        asked = room([bar("B", 10)], pieces, saw_time=SawTime(1, (1,)), aims=(Aim.BARS,))
        assert values(solved(asked)) == {Aim.BARS: 2}
        easier = replace(asked, pieces=(piece("urgent", 5, 1, due_ms=3), pieces[1]))
        assert values(solved(easier)) == {Aim.BARS: 1}


class TestToleranceAndSubstitutes:
    """Pieces that may be longer, and pieces that may come from something else."""

    @pytest.mark.parametrize(("over", "cuts"), [(2, 3), (0, 4)])
    def test_over_length_saves_the_last_cut(self, over: int, cuts: int) -> None:
        # 4 x 1498, +2/-0, on 6000 without kerf: stretched to 1500 each the bar is used up with 3 cuts; else
        # 4.
        asked = room([bar("B", 6000)], [piece("a", 1498, 4, over_um=over * MM)], aims=(Aim.BARS, Aim.CUTS))
        result = solved(asked)
        assert values(result) == {Aim.BARS: 1, Aim.CUTS: cuts}
        assert sum(placed.over_um for placed in result.runs[0].placed) == (8 * MM if over else 0)

    def test_a_substitute_where_it_saves_a_bar(self) -> None:
        # Tube T1 for two pieces, T2 for one that may also be T1. One T1 bar of 6000 holds all three: 6
        # instead of 6 + 5.
        bars = [bar("T1", 6000, 1, 6, material="T1"), bar("T2", 3000, 1, 5, material="T2")]
        pieces = [piece("a", 2000, 2, materials=("T1",)), piece("b", 2000, 1, materials=("T2", "T1"))]
        asked = room(bars, pieces, aims=(Aim.COST, Aim.SUBSTITUTED))
        assert values(solved(asked)) == {Aim.COST: 6 * MONEY, Aim.SUBSTITUTED: 1}
        turned = replace(asked, aims=(Aim.SUBSTITUTED, Aim.COST))
        assert values(solved(turned)) == {Aim.COST: 11 * MONEY, Aim.SUBSTITUTED: 0}
        strict = replace(asked, pieces=(pieces[0], replace(pieces[1], materials=("T2",))))
        assert values(solved(strict))[Aim.COST] == 11 * MONEY


class TestAimsAndMoney:
    """Aims in order, or everything in one currency."""

    def test_few_patterns(self) -> None:
        # 2 of 7, 4 of 3, 2 of 5 on bars of 10: 7 + 3 twice and 5 + 3 twice; 7 + 3, 5 + 5 and 3 + 3 is as
        # few bars.
        asked = room(
            [bar("B", 10)],
            [piece("seven", 7, 2), piece("three", 3, 4), piece("five", 5, 2)],
            aims=(Aim.BARS, Aim.PATTERNS),
        )
        assert values(solved(asked)) == {Aim.BARS: 4, Aim.PATTERNS: 2}

    def test_money_weighs_saw_time_against_material(self) -> None:
        # Bar 100 at 10 or bar 50 at 5.5; two pieces of 50. One long bar: 1 cut (its end is the second
        # piece), two short bars: none. 10 + 1 x saw against 11: at 0.4 a cut the long bar (10.4), at 2 a
        # cut the short ones (11).
        bars = [bar("long", 100, None, 10), bar("short", 50, None, 5.5)]
        asked = room(bars, [piece("a", 50, 2)], saw_time=SawTime(0, (1000,)), aims=(Aim.MONEY,))
        cheap = replace(asked, rates=Rates(saw_per_second=400_000))
        assert values(solved(cheap)) == {Aim.MONEY: 10_400_000}
        dear = replace(asked, rates=Rates(saw_per_second=2_000_000))
        assert values(solved(dear)) == {Aim.MONEY: 11_000_000}


class TestDecisions:
    """Bars begun, pieces promised, and a plan changed as little as wanted."""

    def test_a_begun_bar_is_gone_on_with(self) -> None:
        # 1000 is cut from a bar of 6000 already. 2 x 2500 fill its rest exactly; no new bar is needed.
        begun = bar("begun", 6000, 1, 0, begun=(Placed("a"),))
        asked = room([begun, bar("new", 6000)], [piece("a", 1000, 1), piece("b", 2500, 2)])
        result = solved(asked)
        assert (result.cost, result.bars_used) == (0, 1)
        assert result.runs[0].placed[0] == Placed("a")

    def test_promised_pieces_come_from_the_bar_named(self) -> None:
        bars = [bar("cheap", 6000, None, 1), bar("dear", 6000, None, 5)]
        asked = room(bars, [piece("a", 3000, 3)], promises=(Promise("a", "dear", 1),))
        # One piece must be off the dear bar: 5 + 1 with the other two; a dear bar with two and a cheap one
        # is 6 too.
        assert solved(asked).cost == 6 * MONEY

    @pytest.mark.parametrize(("most", "bars"), [(0, 3), (1, 2)])
    def test_a_former_plan_is_changed_as_little_as_wanted(self, most: int, bars: int) -> None:
        # The former plan cut 4000 and 3000 from a bar of 10 m each; now 6000 is wanted too. Unchanged it
        # needs a third bar; with one bar changed 4000 + 6000 fill one.
        former = (FormerBars("B", (("a", 1),), 1), FormerBars("B", (("b", 1),), 1))
        asked = room(
            [bar("B", 10_000)],
            [piece("a", 4000, 1), piece("b", 3000, 1), piece("c", 6000, 1)],
            former=former,
            most_changes=most,
            aims=(Aim.BARS, Aim.CHANGES),
        )
        assert values(solved(asked)) == {Aim.BARS: bars, Aim.CHANGES: most}


def test_leftovers_beyond_the_number_allowed_are_scrap_though_no_aim_speaks_of_them() -> None:
    # Worked by hand: 3 pieces of 4 on bars of 10: two bars, 2 and 6 left over. One may be kept: the longer.
    problem = room(
        [bar("b", 10)], [piece("p", 4, 3)], leftovers=Leftovers(0, (), most_new=1), aims=(Aim.COST,)
    )
    result = solved(problem)
    assert sorted((run.remnant_um, run.kept) for run in result.runs) == [(2 * MM, 0), (6 * MM, 1)]


def test_saw_time_of_cuts_and_loads_is_weighed_behind_the_bars() -> None:
    # Bars of 6 at 6 and of 3 at 3; two pieces of 3, no kerf: one long bar or two short ones cost 6 alike.
    # Loading takes 10, a cut 4. The long bar: one load, one cut between the two (its end is the second one):
    # 14. Two short ones: the pieces are the bars, no cut: 20. With cuts of 20 they are quicker: 20, not 30.
    for cut_ms, cost_ms, bars in ((4, 14, 1), (20, 20, 2)):
        problem = room(
            [bar("long", 6), bar("short", 3)],
            [piece("p", 3, 2)],
            saw_time=SawTime(10, (cut_ms,)),
            aims=(Aim.COST, Aim.SAW_TIME),
        )
        result = solved(problem)
        assert values(result) == {Aim.COST: 6 * MONEY, Aim.SAW_TIME: cost_ms}
        assert result.bars_used == bars


def test_a_first_choice_is_kept_where_it_costs_nothing() -> None:
    # Two pieces of 5, first of M1, else of M2; a bar of 10 of either at 10. Both fit one bar of either: with
    # the number of substituted pieces behind the cost it is M1's. With M2's bar at 9 both are substituted.
    for price, substituted, material in ((10.0, 0, "M1"), (9.0, 2, "M2")):
        problem = room(
            [bar("b1", 10, price=10.0, material="M1"), bar("b2", 10, price=price, material="M2")],
            [piece("p", 5, 2, materials=("M1", "M2"))],
            aims=(Aim.COST, Aim.SUBSTITUTED),
        )
        result = solved(problem)
        assert values(result)[Aim.SUBSTITUTED] == substituted
        assert [problem.bar_by_id[run.bar].material for run in result.runs] == [material]


def test_handling_is_loads_and_remnants_in_money() -> None:
    # One bar of 6 at 6 or two of 3 at 3 each, for two pieces of 2. A load costs 1, so does a leftover put
    # away, and it is worth nothing: none is kept. The long bar: 6 + 1 = 7; the short ones: 6 + 2 = 8.
    problem = room(
        [bar("long", 6), bar("short", 3)],
        [piece("p", 2, 2)],
        rates=Rates(per_load=MONEY, per_remnant=MONEY),
        aims=(Aim.MONEY,),
    )
    result = solved(problem)
    assert values(result)[Aim.MONEY] == 7 * MONEY
    assert result.bars_used == 1

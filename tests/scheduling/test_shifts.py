"""Shifts, calendars and set-up tables."""

from datetime import date, datetime, time

import pytest
from tests.planning.saws import make_saw

from kerfsmith.catalog.band import Band, Edge, Pitch
from kerfsmith.catalog.figure import Confidence, Figure
from kerfsmith.errors import InvalidValue
from kerfsmith.scheduling.calendar import Calendar, Hours, Span, Stop, Window
from kerfsmith.scheduling.changeover import ChangeRules, break_in_seconds, set_up_table
from kerfsmith.scheduling.problem import Crew
from kerfsmith.scheduling.shifts import Clock, Shift, calendar_of, crews_of

MONDAY = date(2026, 3, 2)
CLOCK = Clock(MONDAY)
EARLY = Shift(0, time(6), time(14), people=2)
LATE = Shift(0, time(14), time(22))
NIGHT = Shift(0, time(22), time(6), Hours.UNATTENDED)


def test_shifts_become_windows_of_minutes() -> None:
    calendar = calendar_of([EARLY, LATE, NIGHT], CLOCK, 1)
    assert calendar.windows == (
        Window(360, 840),
        Window(840, 1320),
        Window(1320, 1800, Hours.UNATTENDED),
    )
    assert calendar.attended() == (Span(360, 1320),)
    assert calendar.running() == (Span(360, 1800),)


def test_an_unattended_night_gives_way_to_a_shift() -> None:
    calendar = calendar_of([NIGHT, Shift(1, time(4), time(12))], CLOCK, 2)
    assert calendar.windows == (Window(1320, 1680, Hours.UNATTENDED), Window(1680, 2160))


def test_days_away_and_stops_take_hours() -> None:
    calendar = calendar_of([EARLY], CLOCK, 8, [Stop(400, 460)], [MONDAY.replace(day=9)])
    assert calendar.attended() == (Span(360, 400), Span(460, 840))


def test_overtime_counts_only_when_asked_for() -> None:
    calendar = Calendar((Window(0, 10), Window(10, 20, Hours.OVERTIME)))
    assert calendar.attended() == (Span(0, 10),)
    assert calendar.attended((1,)) == (Span(0, 20),)


def test_people_of_overlapping_shifts_add_up() -> None:
    crews = crews_of([EARLY, Shift(0, time(12), time(20))], CLOCK, 1)
    assert crews == (Crew(360, 720, 2), Crew(720, 840, 3), Crew(840, 1200, 1))


def test_clock_goes_both_ways_and_overdue_is_due_at_once() -> None:
    half_past_one = datetime.combine(date(2026, 3, 3), time(1, 30))
    assert CLOCK.tick(half_past_one) == 1530
    assert CLOCK.moment(1530) == half_past_one
    assert CLOCK.due(date(2026, 2, 20), time(12)) == 0


def test_windows_that_overlap_are_refused() -> None:
    with pytest.raises(InvalidValue):
        Calendar((Window(0, 10), Window(5, 12)))


def band(name: str, edge: Edge = Edge.BIMETAL, width_mm: float = 34.0) -> Band:
    figure = Figure(1.6, "mm", "shop", "", Confidence.SHOP, 1.6, 1.6)
    return Band(name, edge, width_mm, 1.1, Pitch(3, 4), "hook", "variable", figure, figure)


def test_a_change_takes_the_saws_own_time_and_more_for_another_edge() -> None:
    """600 s on the sheet is 10 ticks of a minute; 300 s more for another edge is 15."""
    bands = [band("a"), band("b"), band("c", Edge.CARBIDE)]
    table = set_up_table(make_saw(), bands, ChangeRules(), 60)
    assert table["a", "a"] == 0
    assert table["a", "b"] == table["", "a"] == 10
    assert table["a", "c"] == table["c", "b"] == 15


def test_breaking_in_at_half_feed_takes_the_area_once_more() -> None:
    """500 cm2 at 50 cm2/min take 10 min; at half feed 10 min more (reckoned by hand)."""
    assert break_in_seconds(500, 60 / 50, ChangeRules()) == pytest.approx(600)
    assert break_in_seconds(500, 60 / 50, ChangeRules(break_in_feed=0.25)) == pytest.approx(1800)

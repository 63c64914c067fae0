"""Hours as people write them, and what the shop's hours say where nobody has set any."""

from datetime import date, datetime, time

import pytest

from kerfsmith.errors import InvalidValue
from kerfsmith.scheduling.calendar import Hours
from kerfsmith.scheduling.hours import USUAL_SHIFTS, PlannedStop, ShopHours
from kerfsmith.scheduling.hours_text import hours_text, read_hours
from kerfsmith.scheduling.shifts import Clock, Shift, calendar_of, hours_of_shift


def test_a_day_is_read_as_it_is_written() -> None:
    told = "06:00-14:00, 14-22 x2; unattended 22:00 – 06:00, Overtime 6 to 12"
    assert read_hours(told, 3) == (
        Shift(3, time(6), time(14)),
        Shift(3, time(14), time(22), people=2),
        Shift(3, time(22), time(6), Hours.UNATTENDED, 0),
        Shift(3, time(6), time(12), Hours.OVERTIME),
    )
    assert read_hours(" ", 0) == ()
    assert read_hours("16-24", 0) == (Shift(0, time(16), time(0)),)


@pytest.mark.parametrize(
    "told", ["six to two", "06:00", "25:00-26:00", "06:70-07:00", "night 22-6", "6-14-22"]
)
def test_what_cannot_be_read_is_said(told: str) -> None:
    with pytest.raises(InvalidValue):
        read_hours(told, 0)


@pytest.mark.parametrize("weekday", range(7))
def test_text_and_shifts_go_both_ways(weekday: int) -> None:
    usual = tuple(shift for shift in USUAL_SHIFTS if shift.weekday == weekday)
    assert read_hours(hours_text(USUAL_SHIFTS, weekday), weekday) == usual


def test_the_usual_week_is_two_shifts_a_day_with_nights_alone() -> None:
    calendar = calendar_of(ShopHours().of("any"), Clock(date(2026, 11, 30)), 7)
    attended = sum(span.ticks for span in calendar.attended())
    alone = sum(window.ticks for window in calendar.windows if window.hours is Hours.UNATTENDED)
    assert attended == 5 * 16 * 60
    assert alone == 4 * 8 * 60
    assert [calendar.windows[place].ticks for place in calendar.overtime] == [8 * 60]


def test_a_shift_over_midnight_has_its_hours() -> None:
    assert hours_of_shift(Shift(0, time(22), time(6, 30))) == 8.5
    assert hours_of_shift(Shift(0, time(6), time(14))) == 8.0


def test_hours_that_cannot_be_are_refused() -> None:
    noon = datetime.combine(date(2026, 12, 1), time(12))
    with pytest.raises(InvalidValue):
        PlannedStop("north", noon, noon, "nothing")
    with pytest.raises(InvalidValue):
        ShopHours(crane=0)
    with pytest.raises(InvalidValue):
        ShopHours(most_piece_kg=-1)

"""On which day the work begins, and on which days nobody works. Weekdays by the calendar of 2031:
5 May 2031 is a Monday (ISO 8601, held to datetime.isoweekday).
"""

from datetime import date, datetime

import pytest

from coatwright.actions.arranged import first_day, idle_days
from coatwright.model.conditions.hours import Hours

MONDAY = date(2031, 5, 5)
USUAL = Hours()  # 08:00 to 17:30, closed on Sundays


def test_the_monday_is_one():
    assert MONDAY.isoweekday() == 1


@pytest.mark.parametrize(
    ("day", "hour", "begins"),
    [
        (5, 7, 5),  # Monday before it opens
        (5, 14, 5),  # in the middle of it
        (5, 18, 6),  # over: Tuesday
        (10, 9, 10),  # Saturday
        (10, 18, 12),  # Saturday, over: Monday
        (11, 9, 12),  # Sunday: Monday
    ],
)
def test_work_begins_on_the_next_day_that_is_worked(day, hour, begins):
    now = datetime(2031, 5, day, hour).astimezone()
    assert first_day(USUAL, now) == date(2031, 5, begins)


def test_days_of_rest_are_counted_from_the_first():
    assert idle_days(USUAL, MONDAY)[:3] == (6, 13, 20)
    assert idle_days(USUAL, date(2031, 5, 10))[:2] == (1, 8)
    assert idle_days(Hours(closed=()), MONDAY) == ()


def test_a_shop_that_never_works_gets_a_plan_all_the_same():
    week = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")
    never = Hours(closed=week)
    assert idle_days(never, MONDAY) == ()
    assert first_day(never, datetime(2031, 5, 5, 9).astimezone()) == MONDAY

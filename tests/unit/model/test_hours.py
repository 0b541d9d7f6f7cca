"""The working day of a shop."""

import pytest
from pydantic import ValidationError

from coatwright.model.conditions.hours import Break, Hours, seconds_of


@pytest.mark.parametrize(("clock", "seconds"), [("00:00", 0), ("08:30", 30600), ("23:59", 86340)])
def test_a_clock_in_seconds(clock, seconds):
    assert seconds_of(clock) == seconds


def test_left_out_it_is_a_usual_day():
    hours = Hours()
    assert (hours.opens, hours.closes) == ("08:00", "17:30")
    assert [(one.at, one.length) for one in hours.breaks] == [("10:15", 900), ("12:30", 2700)]
    assert hours.closed == ("Sunday",)


@pytest.mark.parametrize(
    ("given", "told"),
    [
        ({"opens": "18:00"}, "opens is not before closes"),
        ({"opens": "24:00"}, "pattern"),
        ({"breaks": (Break(at="07:00", length=600.0),)}, "outside the hours"),
        (
            {"breaks": (Break(at="12:00", length=3600.0), Break(at="12:30", length=600.0))},
            "overlap",
        ),
        ({"breaks": (Break(at="17:00", length=3600.0),)}, "outside the hours"),
        ({"closed": ("Someday",)}, "Monday"),
    ],
)
def test_what_cannot_be_is_refused(given, told):
    with pytest.raises(ValidationError, match=told):
        Hours(**given)

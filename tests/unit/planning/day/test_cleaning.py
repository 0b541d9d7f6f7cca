"""A gun is cleaned where another product goes into it next, and only there."""

from coatwright.engines.timetable.problem import Lag, Slot, Timetable
from coatwright.planning.day.cleaning import GOES_ON, cleaned, spared
from coatwright.planning.day.steps import Bout, Piece, Steps

PIECE = (Piece("wing", "wing", 5, ""),)


def coat(key: str, product: str, gun: str = "gun", cleaning: int = 0) -> Bout:
    return Bout(key, "wing", "coat", "spray", product, PIECE, 1, guns=(gun,), cleaning=cleaning)


def at(**starts: int) -> Timetable:
    return Timetable({key: Slot(start, start + 5) for key, start in starts.items()})


def cleanings(steps: Steps) -> dict[str, int]:
    return {bout.key: bout.cleaning for bout in steps.bouts}


def test_cleaned_between_the_coats_of_a_layer_when_something_else_comes_between():
    steps = Steps((coat("a", "primer"), coat("b", "etch", cleaning=10), coat("c", "primer")), ())
    assert cleanings(cleaned(steps, at(a=0, b=20, c=50))) == {"a": 10, "b": 10, "c": 0}
    assert cleaned(steps, at(a=0, c=20, b=50)) is not steps
    assert cleanings(cleaned(steps, at(a=0, c=20, b=50))) == {"a": 0, "b": 10, "c": 10}
    assert cleaned(steps, at(b=0, a=20, c=50)) is steps


def test_another_gun_is_no_matter():
    steps = Steps((coat("a", "primer"), coat("b", "etch", "other gun")), ())
    assert cleaned(steps, at(a=0, b=20)) is steps


def test_a_pair_that_was_parted_is_held_together_no_longer():
    steps = Steps((coat("a", "primer", cleaning=10), coat("c", "primer"), coat("b", "etch")), ())
    pair = spared(steps, Timetable({"a": Slot(0, 15), "c": Slot(16, 21), "b": Slot(60, 65)}))
    assert cleanings(pair)["a"] == 0
    assert pair.lags == (Lag("a", "c", 0, 25, "end", "start", GOES_ON),)
    parted = cleaned(pair, at(a=0, b=15, c=30))
    assert cleanings(parted) == {"a": 10, "b": 10, "c": 0}
    assert parted.lags == ()

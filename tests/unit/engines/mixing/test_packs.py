"""Packs at least cost: cases that can be checked in the head."""

import pytest

from coatwright.engines.mixing.packs import packs
from coatwright.errors import RangeError


@pytest.mark.parametrize(
    ("need", "sizes", "prices", "counts"),
    [
        (0.0, [1.0, 5.0], [10.0, 40.0], (0, 0)),
        (1.0, [1.0, 5.0], [10.0, 40.0], (1, 0)),
        # 3 x 10 against 1 x 40.
        (2.5, [1.0, 5.0], [10.0, 40.0], (3, 0)),
        # 5 x 10 against 1 x 40: the large tin is cheaper although a litre is over.
        (4.5, [1.0, 5.0], [10.0, 40.0], (0, 1)),
        # 40 + 2 x 10 = 60 against 2 x 40 = 80.
        (6.2, [1.0, 5.0], [10.0, 40.0], (2, 1)),
        # Equal money: the one that leaves least over.
        (3.0, [1.0, 4.0], [10.0, 30.0], (3, 0)),
        # Equal money and volume: fewer tins.
        (4.0, [1.0, 2.0], [10.0, 20.0], (0, 2)),
        # 5 + 5 is two tins; 6 + 1 + 1 + 1 + 1, as much money and paint, is five.
        (10.0, [1.0, 5.0, 6.0], [1.0, 5.0, 6.0], (0, 2, 0)),
        # Nothing is free of rounding: three times 0.1 is what was asked.
        (0.3, [0.1], [1.0], (3,)),
    ],
)
def test_least_money(
    need: float, sizes: list[float], prices: list[float], counts: tuple[int, ...]
) -> None:
    assert packs(need, sizes, prices) == counts


@pytest.mark.parametrize(
    ("sizes", "prices", "words"),
    [
        ([], [], "0 pack sizes and 0 prices; give one price for each size"),
        ([1.0], [], "1 pack sizes and 0 prices; give one price for each size"),
        ([0.0], [1.0], "a pack size is not above 0; give what each pack holds"),
        ([1.0], [-1.0], "a pack price is negative or not a number; give 0 or more"),
    ],
)
def test_what_cannot_be_bought_is_said(sizes: list[float], prices: list[float], words: str) -> None:
    with pytest.raises(RangeError) as caught:
        packs(1.0, sizes, prices)
    assert caught.value.sentence == words

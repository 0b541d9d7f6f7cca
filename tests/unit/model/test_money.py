"""Money as written: an amount, a currency, what it is paid for."""

import pytest
from pydantic import BaseModel, ValidationError
from pydantic_core import PydanticCustomError

from coatwright.model.kit import Rates
from coatwright.model.material import Pack
from coatwright.model.money import HourlyRate, Money, Price, Rate, parse


@pytest.mark.parametrize(("text", "money"), [
    ("48.00 GBP", Money(48.0, "GBP")),
    ("48,5 EUR", Money(48.5, "EUR")),
    ("45 GBP/h", Money(45.0, "GBP", "h")),
    ("45GBP / h", Money(45.0, "GBP", "h")),
    ("0.80 USD/m2", Money(0.8, "USD", "m2")),
])  # fmt: skip
def test_read(text, money):
    assert parse(text) == money


@pytest.mark.parametrize(("text", "si"), [
    ("45 GBP/h", 0.0125),  # 45 / 3600 for a second
    ("0.80 GBP/m2", 0.8),
    ("12 GBP/L", 12000),  # for a m3
    ("5 GBP", 5),
    ("2 GBP/mix", 2),
])  # fmt: skip
def test_for_one_si_unit(text, si):
    assert parse(text).si == pytest.approx(si)


NO_MONEY = 'is not an amount of money; write it as "48.00 GBP" or "45 GBP/h"'


@pytest.mark.parametrize(("text", "said"), [
    ("£48", f"'£48' {NO_MONEY}"),
    ("48", f"'48' {NO_MONEY}"),
    ("-4 GBP", f"'-4 GBP' {NO_MONEY}"),
    ("48 pounds", f"'48 pounds' {NO_MONEY}"),
    ("4 GBP/year",
     "'year' is nothing money is paid for here; use one of each, coat, mix, m2, L, h, d"),
])  # fmt: skip
def test_refused_word_for_word(text, said):
    with pytest.raises(PydanticCustomError) as caught:
        parse(text)
    assert caught.value.message() == said


@pytest.mark.parametrize(("kind", "good", "bad"), [
    (Price, "48.00 GBP", "48 GBP/h"),
    (HourlyRate, "45 GBP/h", "45 GBP"),
    (HourlyRate, "45 GBP/h", "45 GBP/d"),
    (Rate, "1.20 GBP/coat", "1.20"),
])  # fmt: skip
def test_a_price_is_no_rate_and_labour_is_by_the_hour(kind, good, bad):
    class Holder(BaseModel):
        it: kind

    assert Holder(it=good).it == good
    with pytest.raises(ValidationError, match="write it as"):
        Holder(it=bad)


def test_where_the_model_has_money():
    rates = Rates(labour="45 GBP/h", consumables={"wipes": "0.10 GBP"})
    assert rates.hour == Money(45.0, "GBP", "h")
    assert rates.supplies == {"wipes": Money(0.1, "GBP")}
    assert Pack(size=1e-3, price="48.00 GBP").money == Money(48.0, "GBP")

"""Figures in words: units, digits, spreads. Expected texts are worked out by hand beside them."""

import math

import pytest

from coatwright.errors import CoatwrightError
from coatwright.faces.format import Words, decimals, fixed, polish, si_unit
from coatwright.figures import Figure
from coatwright.units import PURPOSES, System

SPACE = "\N{NO-BREAK SPACE}"


def said(value: float, purpose: str, system: System = "metric", **more: object) -> str:
    figure = Figure(value, purpose, "formula", "", **more)  # type: ignore[arg-type]
    return Words(system).text(figure).replace(SPACE, " ")


# Conversions by hand: 1 mil = 25.4 um; 1 psi = 6894.757 Pa; 1 US fl oz = 29.5735 mL;
# 1 US qt = 946.353 mL; 1 ft2 = 0.09290304 m2; 1 ft = 0.3048 m.
@pytest.mark.parametrize(
    ("value", "purpose", "metric", "us"),
    [
        (52e-6, "film", "52 µm", "2.0 mil"),  # 52 / 25.4 = 2.047
        (8e-6, "film", "8.0 µm", "0.31 mil"),  # 8 / 25.4 = 0.315
        (152.4e-6, "film", "152 µm", "6.0 mil"),
        (1.8e-3, "length", "1.8 mm", "0.071 in"),  # 1.8 / 25.4 = 0.0709
        (1.0e-3, "length", "1.0 mm", "0.039 in"),
        (0.15, "length", "150 mm", "5.91 in"),
        (2.0e5, "pressure", "2.0 bar", "29 psi"),  # 29.008
        (180e-6 / 60, "flow", "180 mL/min", "6.1 US fl oz/min"),  # 6.087
        (0.42, "speed", "0.42 m/s", "1.4 ft/s"),  # 1.378
        (310e-6, "volume", "310 mL", "0.33 US qt"),  # 0.3276
        (1.62e-3, "volume", "1.62 L", "1.71 US qt"),  # 1.7118
        (2.6, "area", "2.60 m²", "28.0 ft²"),  # 27.986
        (293.15, "temperature", "20.0 °C", "68.0 °F"),
        (0.1745329, "angle", "10°", "10°"),
        (600.0, "time", "10 min", "10 min"),
        (24.0, "time", "24 s", "24 s"),
        (9000.0, "time", "2.5 h", "2.5 h"),
        (259200.0, "days", "3 d", "3 d"),
        (2 * 365.25 * 86400.0, "days", "24 months", "24 months"),
        (0.58, "fraction", "58 %", "58 %"),
        (3.0, "count", "3", "3"),
    ],
)
def test_a_figure_in_both_systems(value: float, purpose: str, metric: str, us: str) -> None:
    assert said(value, purpose) == metric
    assert said(value, purpose, "us") == us


def test_the_spread_has_the_decimals_of_the_value() -> None:
    assert said(52e-6, "film", spread=(46.4e-6, 58.6e-6)) == "52 µm (46–59)"
    assert said(5.2e-6, "film", spread=(4.64e-6, 5.86e-6)) == "5.2 µm (4.6–5.9)"


def test_a_spread_that_rounding_closes_is_left_out() -> None:
    assert said(52e-6, "film", spread=(51.9e-6, 52.1e-6)) == "52 µm"


def test_rounding_up_to_the_next_power_loses_a_decimal() -> None:
    assert said(9.96e-6, "film") == "10 µm"
    assert said(9.94e-6, "film") == "9.9 µm"


@pytest.mark.parametrize(
    ("chance", "text"),
    [
        (0.0, "under 0.1 %"),  # sampling cannot show that a thing never happens
        (0.0009, "under 0.1 %"),
        (0.006, "0.6 %"),
        (0.031, "3.1 %"),
        (0.25, "25 %"),
        (1.0, "over 99.9 %"),
    ],
)
def test_chances(chance: float, text: str) -> None:
    assert Words().chance(Figure(chance, "fraction", "formula", "")).replace(SPACE, " ") == text


# ISO 4217: the yen has no minor unit, the Kuwaiti dinar has three decimals.
@pytest.mark.parametrize(
    ("currency", "value", "spread", "text"),
    [
        ("GBP", 48.0, None, "48.00 GBP"),
        ("GBP", 1519.4, (1272.1, 2028.0), "1,519 GBP (1,272–2,028)"),
        ("GBP", 3.256, (2.9, 3.6), "3.26 GBP (2.90–3.60)"),
        ("JPY", 8400.0, None, "8,400 JPY"),
        ("KWD", 14.5, None, "14.500 KWD"),
    ],
)
def test_money(currency: str, value: float, spread: tuple[float, float] | None, text: str) -> None:
    figure = Figure(value, "money", "formula", "", spread=spread)
    assert Words("metric", currency).text(figure).replace(SPACE, " ") == text


def test_what_has_no_end_says_so() -> None:
    assert said(math.inf, "film") == "no limit"
    assert said(math.nan, "film") == "unknown"


def test_prose_of_data_files_reads_like_the_trade() -> None:
    told = polish("past 300 um (12 thou) in a 43 m3 garage; 8 m2/L stays, and so does um")
    assert (
        told == f"past 300{SPACE}µm (12 thou) in a 43{SPACE}m³ garage; 8 m2/L stays, and so does um"
    )


def test_waits_from_four_days_on_are_told_in_days() -> None:
    for hours, text in ((72.0, "72 h"), (168.0, "7 d")):
        figure = Figure(hours * 3600.0, "hours", "sheet", "")
        assert Words().window(figure).replace(SPACE, " ") == text


def test_minus_is_a_minus_and_zero_has_none() -> None:
    assert fixed(-3.25, 1) == "−3.2"
    assert fixed(-0.001, 1) == "0.0"


@pytest.mark.parametrize("purpose", PURPOSES)
@pytest.mark.parametrize("system", ["metric", "us"])
def test_every_purpose_but_a_count_shows_a_unit(purpose: str, system: System) -> None:
    shown = Words(system).show(Figure(1.2345, purpose, "formula", ""))
    assert (shown.unit == "") == (purpose == "count")


@pytest.mark.parametrize("purpose", PURPOSES)
def test_every_purpose_has_an_si_unit(purpose: str) -> None:
    assert (si_unit(purpose) == "") == (purpose in ("fraction", "vapour", "count"))


def test_a_purpose_nobody_knows_is_an_error() -> None:
    with pytest.raises(CoatwrightError, match=r"purpose 'smell'; use one of .* or money"):
        Words().text(Figure(1.0, "smell", "formula", ""))


def test_decimals_never_exceed_what_a_shop_can_read() -> None:
    assert decimals(0.0123, "pressure") == 2
    assert decimals(123.4, "film") == 0

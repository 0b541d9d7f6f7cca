"""Quantities in sentences, in the reader's units. Factors: exact, by definition of inch, pound and
US gallon (NIST SP 811, appendix B.8), but for degF = 9/5 degC + 32."""

import pytest

from coatwright.faces.format import SPACE, Words
from coatwright.faces.telling import Tongue
from coatwright.sentences import say

US = Words("us")
GERMAN = Words(tongue=Tongue("de", str, ","))


def plain(text: str) -> str:
    return text.replace(SPACE, " ")


@pytest.mark.parametrize(
    ("metric", "us"),
    [
        ("metal of 15 degC", "metal of 59 °F"),
        ("metal of 15.04 degC is over 15.0 degC", "metal of 59.07 °F is over 59 °F"),
        # A difference: 3 K is 5.4 degF, never 37.4.
        ("3 degC above the dew point", "5.4 °F above the dew point"),
        (
            "only 2.5 degC above the dew point of 12 degC",
            "only 4.5 °F above the dew point of 54 °F",
        ),
        ("1.5 K from the dew point", "2.7 °F from the dew point"),
        ("from 15 to 25 degC", "from 59 to 77 °F"),
        ("127 um wet; runs from 254 um", "5 mil wet; runs from 10 mil"),  # 25.4 um = 1 mil
        ("2.5 bar at the wall", "36 psi at the wall"),  # 14.504 psi each
        ("a hose of 9 mm bore and 10 m", "a hose of 0.354 in bore and 32.8 ft"),
        ("262 L/min", "9.3 cfm"),  # 28.317 L = 1 cu ft
        ("a mix of 500 mL", "a mix of 16.9 US fl oz"),  # 29.574 mL
        ("at 128 mL/min", "at 4.3 US fl oz/min"),
        ("10 m2", "108 ft²"),
    ],
)
def test_a_quantity_is_read_in_the_readers_units(metric, us):
    assert plain(US.tell(say(metric))) == us


@pytest.mark.parametrize(
    "text",
    ["P400, then 5 to 10 min", "a 4:1 mix", "60 % of it", "ISO 2808", "coat 3 of 4", "0.1 L/day x"],
)
def test_what_is_no_metric_quantity_stays(text):
    assert US.tell(say(text)) == text


def test_a_persons_own_words_keep_their_units():
    told = US.tell(say("on {area}: {pressure:.1f} bar", area="the 2 mm lip", pressure=2.0))
    assert plain(told) == "on the 2 mm lip: 29 psi"


def test_another_language_writes_numbers_its_own_way():
    assert plain(GERMAN.tell(say("{share:.1%} of {many:,.0f}", share=0.125, many=12345))) == (
        "12,5 % of 12.345"
    )
    assert GERMAN.value(2.5e5, "pressure") == f"2,5{SPACE}bar"
    assert GERMAN.clock("2031-05-05 08:45") == "Mon 5 May 08:45"

"""Faults of a job file and of a tap are told in the reader's language; names stay as they are."""

import re

import pytest

from coatwright.actions.taps import read
from coatwright.errors import InputError
from coatwright.faces.format import Words
from coatwright.faces.texts import tongue
from coatwright.intake.jobfile import loads, starter
from faces.telling.left_over import ENGLISH

GERMAN = Words(tongue=tongue("de"))
SOUND = starter("Probetafel")


def told(fault: InputError) -> str:
    """A fault in German, without what stands in quotes and the names of fields."""
    text = GERMAN.tell(fault.what) + " " + GERMAN.tell(fault.instead)
    return re.sub(r"'[^']*'|\[+[\w.]+\]+|\w+ = .*|möglich sind .*| mit [\w, ]+ schreiben", "", text)


def faults(text: str) -> list[InputError]:
    with pytest.raises(InputError) as caught:
        loads(text, "probe.toml")
    return list(getattr(caught.value, "faults", (caught.value,)))


@pytest.mark.parametrize(
    ("text", "german"),
    [
        ("", "fehlt"),
        (f"colur = 'x'\n{SOUND}", "ist hier nicht bekannt"),
        (re.sub(r'(?m)^title = .*$', "title = 3", SOUND, count=1), "etwas anderes als Text"),
        (re.sub(r'(?m)^currency = .*$', 'currency = "pounds"', SOUND), "drei große Buchstaben"),
        (re.sub(r'kind = "\w+"', 'kind = "blob"', SOUND), "steht nicht zur Wahl"),
        ("areas = 3", "Liste von Tabellen"),
        (SOUND.replace('share = "20 %"', 'share = "300 %"'), "höchstens 100 %"),
        (SOUND.replace('"45 GBP/h"', '"45 GBP"'), "kein Stundensatz"),
        (f"{SOUND}\ntitle = ", "TOML"),
        (re.sub(r'length = "[^"]*"', "length = 85", SOUND), "hat keine Einheit"),
    ],
)  # fmt: skip
def test_faults_of_a_job_file(text, german):
    found = [told(fault) for fault in faults(text)]
    assert german in " ".join(found)
    assert [one for one in found if ENGLISH.search(one)] == []


@pytest.mark.parametrize(
    ("kind", "fields", "german"),
    [
        ("coat done", {"product": "e", "coat": 0}, "außerhalb des Bereichs"),
        ("note", {}, "fehlt"),
        ("film read", {"method": "eye", "readings": "60 um"}, "steht nicht zur Wahl"),
        ("coat done", {"product": "e", "coat": 1, "colour": "x"}, "hier nicht bekannt"),
    ],
)
def test_faults_of_a_tap(kind, fields, german):
    with pytest.raises(InputError) as caught:
        read({"id": "one", "job": "x", "who": "Maler", "kind": kind, "fields": fields})
    found = told(caught.value)
    assert german in found
    assert not ENGLISH.search(found)

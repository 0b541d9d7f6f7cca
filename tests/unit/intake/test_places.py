"""The line of every key, counted by hand in texts that use each form TOML has."""

import tomllib

import pytest

from coatwright.intake.toml.places import places

TEXT = '''\
title = "x" # [not a table]
a.b."c d" = [1, [2,
  3], { x = 1, y.z = 2 }]
[workshop]
guns = []
[[areas]]
key = """
[multi]
"""
[areas.shape]
kind = "flat"
[[areas.patches]]
key = 'one # key = 3'
[[areas.patches]]
key = "two"
[[areas]]
[[areas.patches]]
"at" = 1979-05-27T07:32:00Z
note = "]}, \\" \\u00e9"
[areas.patches.sub]
q = inf
[ 'q r' . b ]
'''

LINES = {
    ("title",): 1,
    ("a",): 2,
    ("a", "b", "c d"): 2,
    ("a", "b", "c d", 0): 2,
    ("a", "b", "c d", 1): 2,
    ("a", "b", "c d", 1, 1): 3,
    ("a", "b", "c d", 2): 3,
    ("a", "b", "c d", 2, "x"): 3,
    ("a", "b", "c d", 2, "y", "z"): 3,
    ("workshop",): 4,
    ("workshop", "guns"): 5,
    ("areas",): 6,
    ("areas", 0): 6,
    ("areas", 0, "key"): 7,
    ("areas", 0, "shape"): 10,
    ("areas", 0, "shape", "kind"): 11,
    ("areas", 0, "patches"): 12,
    ("areas", 0, "patches", 0): 12,
    ("areas", 0, "patches", 0, "key"): 13,
    ("areas", 0, "patches", 1): 14,
    ("areas", 0, "patches", 1, "key"): 15,
    ("areas", 1): 16,
    ("areas", 1, "patches", 0): 17,
    ("areas", 1, "patches", 0, "at"): 18,
    ("areas", 1, "patches", 0, "note"): 19,
    ("areas", 1, "patches", 0, "sub"): 20,
    ("areas", 1, "patches", 0, "sub", "q"): 21,
    ("q r",): 22,
    ("q r", "b"): 22,
}


@pytest.mark.parametrize(("place", "line"), LINES.items(), ids=str)
def test_line_counted_by_hand(place, line):
    assert places(TEXT)[place] == line


def addresses(value, place=()):
    """Every address inside what the standard parser makes of a text."""
    yield place
    pairs = value.items() if isinstance(value, dict) else ()
    for part, inner in enumerate(value) if isinstance(value, list) else pairs:
        yield from addresses(inner, (*place, part))


@pytest.mark.parametrize("text", [
    TEXT,
    'x = """a " b""" \ny = \'\'\'c \' d\'\'\'\nz = """"quoted"""""\n',
    "a = {}\nb = [ ] # none\nc = [\n # one\n 1, # two\n 2,\n]\n",
    "'a.b'.\"c\\\"d\" = 1\n[e.'f g']\nh = -1.5e3\n",
    "[a.b.c]\nx = 1\n[a]\ny = 2\n",
    'a = "\\\\"\nb = "c"\n',
])  # fmt: skip
def test_every_address_has_a_line(text):
    found = places(text)
    wanted = set(addresses(tomllib.loads(text))) - {()}
    assert wanted <= set(found)
    assert all(1 <= line <= text.count("\n") + 1 for line in found.values())


def test_a_heading_told_later_counts_for_its_table():
    assert places("[a.b]\nx = 1\n[a]\ny = 2\n")[("a",)] == 3

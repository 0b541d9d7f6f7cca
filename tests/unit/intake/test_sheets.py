"""Sheets and rules from files: the shop's own first, every fault by file, line and field."""

from importlib.resources import files
from pathlib import Path

import pytest

from coatwright.errors import InputErrors, NotFound
from coatwright.intake.rules import load_rules, load_work
from coatwright.intake.sheets import load_sheets

EPOXY = (files("coatwright") / "data" / "products" / "epoxy.toml").read_text("utf-8")
RULE = """
[[rule]]
id = "own-rule"
title = "Own rule"
verdict = "no"
severity = "fault"
when = { product = "sealer", bare = true }
reason = "The shop has had it come off."
failure = "It came off."
source = "common practice, no source"
fires = { product = "sealer", bare = true }
quiet = { product = "sealer", bare = false }
"""


def write(folder: Path, name: str, text: str) -> Path:
    folder.mkdir(exist_ok=True)
    (folder / name).write_text(text, encoding="utf-8")
    return folder / name


def test_a_sheet_that_is_not_there_is_named_with_the_nearest():
    with pytest.raises(NotFound) as caught:
        load_sheets()["epoxi"]
    assert caught.value.sentence == ("there is no product sheet 'epoxi'; did you mean 'epoxy'?")


def test_a_sheet_like_none_lists_them_all():
    with pytest.raises(NotFound) as caught:
        load_sheets()["zzz"]
    assert "there are 'acid-etch', 'aluminium-pretreatment'" in caught.value.sentence


def test_the_shops_own_sheet_stands_in_for_ours_with_a_note(tmp_path):
    own = write(tmp_path, "our-epoxy.toml", EPOXY.replace("primer 2:1", "primer of this shop"))
    found = load_sheets([tmp_path])
    assert found["epoxy"].title == "two-pack epoxy primer of this shop"
    assert found.notes == (f"{own} stands in for products/epoxy.toml ('epoxy')",)
    assert len(found) == len(load_sheets())


def test_a_sheet_of_a_new_key_is_added(tmp_path):
    write(tmp_path, "fast.toml", EPOXY.replace('key = "epoxy"', 'key = "fast-epoxy"'))
    found = load_sheets([tmp_path])
    assert {"epoxy", "fast-epoxy"} <= set(found)
    assert found.notes == ()


def test_an_earlier_folder_wins(tmp_path):
    first = write(tmp_path / "a", "x.toml", EPOXY.replace("primer 2:1", "primer A"))
    second = write(tmp_path / "b", "x.toml", EPOXY.replace("primer 2:1", "primer B"))
    found = load_sheets([tmp_path / "a", tmp_path / "b"])
    assert found["epoxy"].title == "two-pack epoxy primer A"
    assert f"{first} stands in for {second} ('epoxy')" in found.notes


def test_two_sheets_of_one_folder_may_not_share_a_key(tmp_path):
    write(tmp_path, "a.toml", EPOXY)
    write(tmp_path, "b.toml", EPOXY)
    with pytest.raises(InputErrors) as caught:
        load_sheets([tmp_path])
    line = EPOXY.splitlines().index('key = "epoxy"') + 1
    assert f"b.toml:{line}, key: the key 'epoxy' is also that of" in caught.value.sentence


def test_every_fault_of_every_file_at_once(tmp_path):
    write(tmp_path, "a.toml", EPOXY.replace('pot_life = "6 h"', 'pot_life = "6"'))
    write(tmp_path, "b.toml", EPOXY.replace('family = "epoxy primer"', 'family = "epoxi primer"'))
    write(tmp_path, "c.toml", "key = \n")
    with pytest.raises(InputErrors) as caught:
        load_sheets([tmp_path])
    said = {Path(fault.file).name: fault for fault in caught.value.faults}
    assert said["a.toml"].line == EPOXY.splitlines().index('pot_life = "6 h"') + 1
    assert said["a.toml"].field == "pot_life"
    assert "has no unit" in said["a.toml"].what
    assert "did you mean 'epoxy primer'" in said["b.toml"].instead
    assert said["c.toml"].line == 1


def test_a_folder_that_is_not_there(tmp_path):
    with pytest.raises(NotFound) as caught:
        load_sheets([tmp_path / "none"])
    assert "there is no folder of product sheets" in caught.value.sentence


def test_a_further_file_of_rules_is_read(tmp_path):
    rules = load_rules([write(tmp_path, "own.toml", RULE)])
    assert rules[-1].id == "own-rule"
    assert len(rules) == len(load_rules()) + 1


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ("fires = { product = \"sealer\", bare = true }\n", "", "'fires' is missing"),
        ("quiet = { product = \"sealer\", bare = false }\n", "", "'quiet' is missing"),
        ("bare = true }\nreason", "bar = true }\nreason", "'bar' is no fact"),
        ('id = "own-rule"', 'id = "rust-left"', "this id also stands in rules/metal.toml"),
        ('verdict = "no"', 'verdict = "never"', "'never' is none of the choices"),
    ],
)  # fmt: skip
def test_a_faulty_rule_is_refused_with_its_place(tmp_path, old, new, said):
    assert old in RULE
    path = write(tmp_path, "own.toml", RULE.replace(old, new))
    with pytest.raises(InputErrors) as caught:
        load_rules([path])
    assert said in caught.value.sentence
    assert all(fault.file == str(path) and fault.line > 1 for fault in caught.value.faults)


def test_work_is_read_in_si():
    work = load_work()
    assert work.acts["strip"].per_m2 == 90 * 60
    assert work.unknown_film == pytest.approx(130e-6)

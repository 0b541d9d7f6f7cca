"""Broken job files, made by mutation: each a clear error at the right place, never a traceback."""

from importlib.resources import files

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coatwright.errors import InputError, InputErrors
from coatwright.intake import jobfile
from unit.intake.mutations import MUTATIONS, Broken, Page

TEXT = files("coatwright").joinpath("data/demo/larkfield.toml").read_text(encoding="utf-8")
SEEDS = range(10)
THEIRS = ("pydantic", "Traceback", "validation error", "Input should", "tomllib", "Error", "<class",
          "object at", "None")  # fmt: skip


def faults_of(text: str) -> tuple[InputError, ...]:
    with pytest.raises(InputError) as caught:
        jobfile.loads(text, "broken.toml")
    return caught.value.faults if isinstance(caught.value, InputErrors) else (caught.value,)


CASES = [
    pytest.param(mutation, seed, id=f"{mutation.__name__}-{seed}")
    for mutation in MUTATIONS
    for seed in SEEDS
]


def test_there_are_more_than_two_hundred_different_ones():
    assert len({mutation(Page(TEXT, seed)).text for mutation in MUTATIONS for seed in SEEDS}) > 200


@pytest.mark.parametrize(("mutation", "seed"), CASES)
def test_a_clear_error_at_the_right_place_and_only_there(mutation, seed):
    broken: Broken = mutation(Page(TEXT, seed))
    assert broken.text != TEXT
    found = faults_of(broken.text)
    for fault in found:
        assert fault.file == "broken.toml"
        assert 0 < fault.line <= broken.text.count("\n") + 1
        assert len(fault.what) > 8
        assert fault.instead
        assert "\n" not in fault.sentence
        assert not any(word in fault.sentence for word in THEIRS)
    if broken.line:
        assert {fault.line for fault in found} == {broken.line}
    if broken.field:
        assert any(broken.field in fault.field for fault in found)


def test_two_mutations_are_both_told():
    wide = TEXT.replace('nozzle = "1.8 mm"', "nozzle = 1.8").replace("count = 2", "count = 0", 1)
    assert [fault.field.rpartition(" > ")[2] for fault in faults_of(wide)] == ["nozzle", "count"]


@given(
    at=st.integers(0, len(TEXT)),
    gone=st.integers(0, 200),
    put=st.text(st.sampled_from("[]{}\"'=,.#\\ \n\taA01-µ\x00\r"), max_size=12),
)
def test_any_damage_at_all_gives_an_input_error_or_a_job(at, gone, put):
    try:
        jobfile.loads(TEXT[:at] + put + TEXT[at + gone :], "broken.toml")
    except InputError as fault:
        found = fault.faults if isinstance(fault, InputErrors) else (fault,)
        assert all(one.line > 0 and one.what for one in found)


@given(text=st.text(max_size=200))
def test_any_text_at_all_gives_an_input_error(text):
    faults_of(text)

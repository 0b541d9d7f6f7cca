"""Where a figure comes from: finding it, its inputs down to a depth, and the citation."""

from dataclasses import replace

import pytest

from coatwright.actions import explain
from coatwright.errors import NotFound
from coatwright.figures import Figure
from coatwright.planning.plan import Plan
from sample_plan import fig, need, sample_plan

TRIGGER = fig(120.0, "time", inputs={"strokes": fig(9.0, "count")})
LITRES = fig(0.002, "volume", inputs={"trigger": TRIGGER, "fluid": "180 mL/min"})


@pytest.fixture
def plan() -> Plan:
    product = replace(need("solid", "solid", 700, ()), volume=LITRES)
    return replace(sample_plan(), products=(product,))


def test_an_address_leads_to_its_figure_and_inputs(plan) -> None:
    told = explain.explain(plan, "products.solid.volume")
    assert told.figure is LITRES
    names = dict(told.inputs)
    assert names["fluid"] == "180 mL/min"
    assert names["trigger"].address == "products.solid.volume.trigger"
    assert names["trigger"].inputs[0][1].figure.value == 9.0


def test_the_depth_ends_the_telling(plan) -> None:
    told = explain.explain(plan, "products.solid.volume", depth=0)
    assert dict(told.inputs)["trigger"].inputs == ()


def test_an_unknown_address_names_what_comes_close(plan) -> None:
    with pytest.raises(NotFound, match=r"no figure .* 'cost\.totl'; try .*'cost\.total'"):
        explain.explain(plan, "cost.totl")


def test_words_of_an_address_find_all_that_hold_them(plan) -> None:
    found = [address for address, _ in explain.matches(plan, "engine-bay high-build pitch")]
    assert found == ["recipes.engine-bay/high-build.pitch"]
    assert len(explain.matches(plan, "run chance")) == 3 + 3 * 4  # recipes, and their choices


def test_an_exact_address_is_taken_though_others_hold_its_words(plan) -> None:
    assert [address for address, _ in explain.matches(plan, "surface")] == ["surface"]


def test_no_words_list_every_figure(plan) -> None:
    assert len(explain.matches(plan, "")) > 200


def test_words_that_nothing_holds_are_not_found(plan) -> None:
    with pytest.raises(NotFound, match="list them all with: coatwright explain JOB"):
        explain.matches(plan, "zzzz")


def test_sources_are_cited_from_the_data() -> None:
    for key, citation in explain.citations().items():
        assert citation.text
        assert citation.kind
        assert explain.cite(key) is citation


def test_sources_that_are_no_key_speak_for_themselves() -> None:
    assert explain.cite("sheet:epoxy").text == "product sheet 'epoxy'"
    assert explain.cite("job file").text == "job file"
    assert explain.cite("").text == "no source given"


def test_a_figure_without_inputs_has_none() -> None:
    assert Figure(1.0, "count", "entered", "job file").inputs == {}

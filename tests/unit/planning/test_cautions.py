"""Cautions come up where their hazard is met, point to who decides, and promise nothing."""

import re
import tomllib
from importlib.resources import files

import pytest

from coatwright.figures import Figure
from coatwright.model.kit import Compressor
from coatwright.planning.cautions import bar_litres, cautions_for
from coatwright.planning.plan import Caution, Step
from paint import sheet, sheets, two_pack, workshop

DATA = files("coatwright") / "data"
EVERY = tomllib.loads((DATA / "cautions.toml").read_text("utf-8"))
SOURCES = tomllib.loads((DATA / "sources" / "cautions.toml").read_text("utf-8"))
NONE = "common practice, no source"
HAZARDOUS = sorted(key for key, m in sheets().items() if "isocyanate" in m.hazards)


def keys(*found: Caution) -> set[str]:
    return {caution.key for caution in found}


def step(act: str) -> Step:
    nothing = Figure(0.0, "hours", "assumed", "")
    return Step(f"1-{act.replace(' ', '-')}", act, nothing, nothing, act=act)


def pump(litres: float, bar: float) -> Compressor:
    return Compressor(delivery=4e-3, receiver=litres * 1e-3, cut_in=bar * 5e4, cut_out=bar * 1e5)


def test_some_shipped_products_hold_isocyanates() -> None:
    assert {"high-build", "solid-two-pack", "lacquer"} <= set(HAZARDOUS)


@pytest.mark.parametrize("key", HAZARDOUS)
def test_isocyanate_is_met_at_mixing_spraying_rubbing_and_in_the_air(key: str) -> None:
    found = [c for c in cautions_for([sheet(key)], (), workshop()) if c.hazard == "isocyanate"]
    assert {c.where for c in found} == {"mixing", "spraying", "rubbing", "air"}
    text = " ".join(c.text for c in found)
    for words in (
        "air-fed breathing apparatus",
        "a filter mask is not accepted",
        "Do not lift the visor",
        "clearance time",
        "urine test",
        "passed training",
        "not fully cured",
    ):
        assert words in text


@pytest.mark.parametrize(
    ("key", "hazard", "where"),
    [
        ("acid-etch", "acid", {"mixing", "spraying"}),
        ("spray-polyester", "peroxide", {"mixing", "storing"}),
        ("cellulose", "fire", {"spraying", "storing"}),
        ("cellulose", "solvent vapour", {"spraying"}),
        ("epoxy", "sensitiser", {"mixing"}),
        ("high-build", "dust", {"rubbing"}),
    ],
)
def test_each_hazard_where_it_is_met(key: str, hazard: str, where: set[str]) -> None:
    found = cautions_for([sheet(key)], (), workshop())
    assert {c.where for c in found if c.hazard == hazard} == where


def test_no_isocyanate_no_caution_about_it() -> None:
    found = cautions_for([sheet("cellulose")], (), workshop())
    assert all(c.hazard != "isocyanate" for c in found)


@pytest.mark.parametrize("hazard", sorted({h for m in sheets().values() for h in m.hazards}))
def test_no_hazard_of_a_sheet_goes_without_a_caution(hazard: str) -> None:
    alone = two_pack(hazards=(hazard,))
    nothing = two_pack(hazards=())
    bare = cautions_for([nothing], (), workshop())
    assert keys(*cautions_for([alone], (), workshop())) > keys(*bare)


def test_old_paint_is_taken_for_lead() -> None:
    assert "old-lead" not in keys(*cautions_for([], (), workshop()))
    (caution,) = [
        c for c in cautions_for([], (), workshop(), old_paint=True) if c.key == "old-lead"
    ]
    assert "no dry sanding" in caution.text


@pytest.mark.parametrize(
    ("act", "wanted"),
    [
        ("strip", {"old-lead", "stripper"}),
        ("strip thin", {"old-lead", "dust"}),
        ("abrade old", {"old-lead", "dust"}),
        ("block", {"dust"}),
        ("degrease", set()),
    ],
)
def test_steps_bring_their_own_cautions(act: str, wanted: set[str]) -> None:
    bare = keys(*cautions_for([], (), workshop()))
    assert keys(*cautions_for([], [step(act)], workshop())) - bare == wanted


def test_every_step_that_brings_a_caution_is_an_act_of_the_advice() -> None:
    acts = tomllib.loads((DATA / "work.toml").read_text("utf-8"))["acts"]
    assert {act for row in EVERY.values() for act in row.get("steps", ())} <= acts.keys()


@pytest.mark.parametrize(
    ("litres", "bar", "wanted"), [(24, 8, False), (31.25, 8, False), (50, 8, True), (150, 8, True)]
)
def test_a_receiver_above_250_bar_litres(litres: float, bar: float, wanted: bool) -> None:
    shop = workshop(compressor=pump(litres, bar))
    assert bar_litres(shop) == pytest.approx(litres * bar)
    assert ("vessel" in keys(*cautions_for([], (), shop))) is wanted


def test_without_a_compressor_no_vessel() -> None:
    assert bar_litres(workshop()) == 0.0


def test_every_plan_says_that_the_sheet_comes_first() -> None:
    found = keys(*cautions_for([], (), workshop()))
    assert found == {"sheet-first", "waste", "pressure"}


PROMISES = re.compile(
    r"\b(safe|safely|harmless|no danger|not dangerous|risk-free)\b", re.IGNORECASE
)


@pytest.mark.parametrize("key", EVERY)
def test_no_caution_promises_anything(key: str) -> None:
    assert PROMISES.search(EVERY[key]["text"]) is None


def test_the_check_for_promises_can_fail() -> None:
    assert PROMISES.search("With this mask it is Safe.")
    assert not PROMISES.search("The safety data sheet decides.")


@pytest.mark.parametrize("key", EVERY)
def test_every_caution_has_a_source_and_a_place(key: str) -> None:
    row = EVERY[key]
    assert row["source"] == NONE or row["source"] in SOURCES
    assert row["where"] in {"mixing", "spraying", "rubbing", "stripping", "air", "storing"}
    assert row["text"].endswith(".")
    assert row.keys() <= {
        "hazard", "where", "text", "source", "hazards", "steps", "old_paint", "vessel", "always",
    }  # fmt: skip


@pytest.mark.parametrize("hazard", sorted({row["hazard"] for row in EVERY.values()}))
def test_every_hazard_points_to_who_decides(hazard: str) -> None:
    text = " ".join(row["text"] for row in EVERY.values() if row["hazard"] == hazard)
    assert re.search(r"data sheet|the sheet|local|licensed|law|rules", text)

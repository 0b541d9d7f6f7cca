"""Jobs, kit, hands and sheets: what refers to what, and limits in their order."""

from importlib.resources import files

import pytest
from pydantic import ValidationError

from coatwright.intake import jobfile
from coatwright.model import material
from coatwright.model.hand import Hand
from coatwright.model.job import Job
from coatwright.model.kit import Compressor, Gun, Workshop

JOB = jobfile.loads(
    files("coatwright").joinpath("data/demo/larkfield.toml").read_text(encoding="utf-8")
)
SPAN = {"min": 60.0, "max": 30.0}


def changed(part, **given):
    """The same part with other values, validated anew."""
    return type(part)(**{**dict(part), **given})


def test_the_painter_sprays_unless_an_area_says_otherwise():
    assert JOB.hand().key == "painter"
    assert JOB.hand("learner").key == "learner"
    roof = changed(JOB.areas[0], hand="learner")
    assert JOB.hand(changed(JOB, areas=(roof,)).areas[0].hand).key == "learner"


GUN, WORKSHOP, HAND = JOB.workshop.guns[0], JOB.workshop, JOB.hands[0]


@pytest.mark.parametrize(("make", "said"), [
    (lambda: changed(JOB, painter="nobody"),
     "no hand has the key 'nobody'; use one of painter, learner"),
    (lambda: changed(JOB, areas=(changed(JOB.areas[0], hand="nobody"),)),
     "no hand has the key 'nobody'; use one of painter, learner"),
    (lambda: changed(JOB, areas=JOB.areas[:1] * 2),
     "another area has the key 'front-wings' too; give each its own"),
    (lambda: changed(JOB, hands=JOB.hands[:1] * 2),
     "another hand has the key 'painter' too; give each its own"),
    (lambda: changed(WORKSHOP, guns=(GUN, GUN)),
     "another gun has the key 'primer-gun' too; give each its own"),
    (lambda: changed(WORKSHOP, currency="EUR"),
     "this is in GBP, but the workshop counts in EUR; write the amount in EUR"),
    (lambda: changed(GUN, pressure_min=3e5),
     "pressure_min is above pressure_max; pressure_min must be at most pressure_max"),
    (lambda: changed(GUN, distance_min=0.4),
     "distance_min is above distance_max; distance_min must be at most distance_max"),
    (lambda: changed(GUN.footprint, spot=0.3), "spot is above length"),
    (lambda: changed(GUN.footprint, width=0.3), "width is above length"),
    (lambda: changed(HAND, speed_min=0.9), "speed_min is above speed_max"),
    (lambda: Compressor(delivery=1e-3, receiver=0.1, cut_in=9e5, cut_out=8e5),
     "cut_in is above cut_out"),
    (lambda: material.Span(**SPAN), "min is above max"),
    (lambda: material.Thinning(min=0.2, usual=0.1, max=0.3), "min is above usual"),
    (lambda: material.Recoat(**SPAN), "min is above max"),
    (lambda: material.SprayViscosity(cup="DIN 4", **SPAN), "min is above max"),
    (lambda: material.Limits(temperature_min=300, temperature_max=290),
     "temperature_min is above temperature_max"),
    (lambda: material.FilmRange(min=2e-5, max=4e-5, total_min=9e-5, total_max=1e-4),
     "total_min cannot be reached with coats_max coats of max film"),
])  # fmt: skip
def test_refused(make, said):
    with pytest.raises(ValidationError) as caught:
        make()
    assert said in str(caught.value)


@pytest.mark.parametrize("model", [Job, Workshop, Gun, Hand, material.Material])
def test_what_may_be_left_out_is_left_out_as_none_or_has_a_value(model):
    """A file has no word for None: a field that may be None must be None when left out."""
    for info in model.model_fields.values():
        if type(None) in getattr(info.annotation, "__args__", ()):
            assert info.default is None

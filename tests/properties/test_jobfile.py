"""A job file loses nothing: what is written reads back as the very same job."""

import tomllib
from importlib.resources import files

import pytest
from hypothesis import HealthCheck, given, settings

from coatwright.intake import jobfile
from strategies import jobs

DEMO = files("coatwright").joinpath("data/demo")
SLOW_TO_DRAW = settings(max_examples=60, suppress_health_check=[HealthCheck.too_slow])


@SLOW_TO_DRAW
@given(job=jobs())
def test_nothing_is_lost(job):
    text = jobfile.dump(job)
    assert jobfile.loads(text) == job
    assert jobfile.dump(jobfile.loads(text)) == text


@SLOW_TO_DRAW
@given(job=jobs())
def test_quantities_are_written_with_their_unit(job):
    written = tomllib.loads(jobfile.dump(job))
    assert all(isinstance(hand["speed_spread"], str) for hand in written["hands"])
    assert all(isinstance(gun["nozzle"], str) for gun in written["workshop"]["guns"])


@pytest.mark.parametrize("name", ["larkfield.toml", "practice-board.toml", "starter.toml"])
def test_the_shipped_jobs_read_and_write(name):
    job = jobfile.loads(DEMO.joinpath(name).read_text(encoding="utf-8"), name)
    assert jobfile.loads(jobfile.dump(job)) == job

"""A job file loses nothing: what is written reads back as the very same job."""

import tomllib
from importlib.resources import files

import pytest
from hypothesis import HealthCheck, given, settings

from coatwright.intake import jobfile
from strategies import jobs

DEMO = files("coatwright").joinpath("data/demo")


@settings(max_examples=40, suppress_health_check=[HealthCheck.too_slow])
@given(job=jobs())
def test_nothing_is_lost_and_quantities_carry_their_unit(job):
    text = jobfile.dump(job)
    assert jobfile.loads(text) == job  # reading refuses a quantity without its unit
    written = tomllib.loads(text)
    assert all(isinstance(gun["nozzle"], str) for gun in written["workshop"]["guns"])


@pytest.mark.parametrize("name", ["larkfield.toml", "practice-board.toml", "starter.toml"])
def test_the_shipped_jobs_read_and_write(name):
    job = jobfile.loads(DEMO.joinpath(name).read_text(encoding="utf-8"), name)
    assert jobfile.loads(jobfile.dump(job)) == job

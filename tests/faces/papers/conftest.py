"""The practice board planned and painted once for all papers."""

from datetime import timedelta
from types import SimpleNamespace

import pytest

from coatwright.actions.dossier import dossier_of
from coatwright.actions.plans import plan_job
from coatwright.actions.workshop import open_bench
from coatwright.record.fold import fold
from painted import painted


@pytest.fixture(scope="package")
def board():
    bench, plan = open_bench("practice"), plan_job("practice", day_seconds=1.0)
    events = painted(bench, plan, "practice", ["board"])
    state = fold("practice", events)
    now = events[-1].at + timedelta(days=30)
    told = dossier_of(state, plan, bench, now)
    return SimpleNamespace(
        bench=bench, plan=plan, events=events, state=state, now=now, dossier=told
    )

"""The pages of the jobs that ship, on a phone: long names and US units must not push it wide."""

from pathlib import Path

import pytest

from coatwright.actions import plans
from coatwright.faces.html.page import render
from coatwright.planning.plan import Plan

pytestmark = pytest.mark.browser


@pytest.fixture(scope="module", params=["practice", pytest.param("demo", marks=pytest.mark.slow)])
def plan(request: pytest.FixtureRequest) -> Plan:
    return plans.plan_job(request.param)


@pytest.mark.parametrize("system", ["metric", "us"])
@pytest.mark.parametrize("wide", [390, 1280])
def test_nothing_sticks_out(browser, plan: Plan, tmp_path: Path, system, wide: int) -> None:
    file = tmp_path / "plan.html"
    file.write_text(render(plan, system), encoding="utf-8")
    page = browser.new_page(viewport={"width": wide, "height": 900})
    page.goto(file.as_uri())
    page.evaluate("document.querySelectorAll('details').forEach(d => d.open = true)")
    sticking = page.evaluate(
        """wide => [...document.querySelectorAll('main *, header *')]
            .filter(one => one.getBoundingClientRect().right > wide + 1)
            .map(one => one.tagName + ': ' + one.textContent.slice(0, 40))""",
        wide,
    )
    page.close()
    assert sticking == []

"""The pages of the jobs that ship, on a phone: long names and US units must not push it wide."""

from dataclasses import replace

import pytest

from coatwright.actions import plans
from coatwright.faces.html.page import render
from coatwright.planning.plan import Plan

pytestmark = pytest.mark.browser


@pytest.fixture(scope="module", params=["practice", pytest.param("demo", marks=pytest.mark.slow)])
def plan(request: pytest.FixtureRequest) -> Plan:
    if request.param == "demo":
        return replace(request.getfixturevalue("planned_demo"), day=None)
    return plans.plan_job(request.param)


@pytest.fixture(scope="module", params=["metric", "us"])
def page(request: pytest.FixtureRequest, browser, plan: Plan, tmp_path_factory):
    """The page in a browser, all that can be opened open."""
    file = tmp_path_factory.mktemp("page") / "plan.html"
    file.write_text(render(plan, request.param), encoding="utf-8")
    page = browser.new_page()
    page.goto(file.as_uri())
    page.evaluate("document.querySelectorAll('details').forEach(d => d.open = true)")
    yield page
    page.close()


@pytest.mark.parametrize("wide", [390, 1280])
def test_nothing_sticks_out(page, wide: int) -> None:
    page.set_viewport_size({"width": wide, "height": 900})
    sticking = page.evaluate(
        """wide => [...document.querySelectorAll('main *, header *')]
            .filter(one => one.getBoundingClientRect().right > wide + 1)
            .map(one => one.tagName + ': ' + one.textContent.slice(0, 40))""",
        wide,
    )
    assert page.evaluate("innerWidth") == wide
    assert sticking == []

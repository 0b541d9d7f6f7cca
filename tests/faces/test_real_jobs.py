"""The faces on the invented jobs that ship, nothing replaced: from the file to the last word."""

import json
import subprocess
import sys
from pathlib import Path

import pytest

from coatwright.actions import explain, plans
from coatwright.faces.cli import codes
from coatwright.faces.cli.main import run
from coatwright.faces.html.page import render
from coatwright.figures import walk
from coatwright.planning.plan import Plan
from page_reader import Reader

STATED = {"job file", "common practice, no source"}


@pytest.fixture(scope="module", params=["practice", pytest.param("demo", marks=pytest.mark.slow)])
def plan(request: pytest.FixtureRequest) -> Plan:
    return plans.plan_job(request.param)


def left(*arguments: str) -> int:
    with pytest.raises(SystemExit) as leaving:
        run(arguments)
    return int(leaving.value.code or 0)


def test_every_source_of_the_plan_is_known(plan: Plan) -> None:
    sources = {figure.source for _, figure in walk(plan)}
    known = set(explain.citations()) | STATED
    assert [s for s in sorted(sources) if s not in known and not s.startswith("sheet:")] == []


def test_no_two_figures_share_an_address(plan: Plan) -> None:
    addresses = [address for address, _ in walk(plan)]
    assert len(addresses) == len(set(addresses))


def test_the_page_holds_every_area_recipe_batch_and_caution(plan: Plan) -> None:
    page = Reader(render(plan))
    assert [name for name, count in page.ids.items() if count > 1] == []
    assert {link[1:] for link in page.links} <= set(page.ids)
    for caution in plan.cautions:
        assert caution.text.split(":")[0].split(" 43 ")[0] in page.text
    for area in plan.areas:
        assert area.title in page.text
    for need in plan.products:
        assert need.voc_verdict in page.text
    assert page.text.count("Stroke recipe:") == len(plan.recipes)


def test_nothing_the_page_says_is_a_bare_program_value(plan: Plan) -> None:
    text = Reader(render(plan)).text
    for scrap in ("None", "nan", "<built-in", "Figure(", "object at 0x"):
        assert f" {scrap}" not in text


def test_every_command_answers_on_the_practice_board(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    patch = plans.plan_job("practice").areas[0].patches[0].key
    asked = {
        ("plan", "practice", "--json"): codes.FINE,
        ("check", "practice", "--json"): codes.FINE,
        ("routes", "practice", "board", patch, "--json"): codes.FINE,
        ("recipe", "practice", "board", "--json"): codes.FINE,
        ("mix", "solid-two-pack", "300 mL", "--json"): codes.FINE,
        ("mix", "solid-two-pack", "300 g", "--job", "practice", "--json"): codes.FINE,
        ("explain", "practice", "cost.total", "--json"): codes.FINE,
        ("sheets", "--json"): codes.FINE,
    }
    for arguments, code in asked.items():
        assert (arguments, left(*arguments)) == (arguments, code)
        json.loads(capsys.readouterr().out)


def test_cellulose_may_not_go_on_the_unknown_paint_of_the_demo(
    capsys: pytest.CaptureFixture[str],
) -> None:
    # shared knowledge of the trade: cellulose over unknown paint swells and lifts (common
    # practice, no source), so the answer is no and a way round is named
    assert left("may", "demo", "boot-lid", "cellulose", "--patch", "old-paint") == codes.FINDINGS
    told = capsys.readouterr().out
    assert told.strip().startswith("No.")
    assert "Cheapest permitted route" in told or "No permitted route" in told


def test_a_job_that_does_not_exist_is_one_plain_sentence() -> None:
    told = subprocess.run(
        [sys.executable, "-m", "coatwright", "plan", "no-such-job.toml"],
        capture_output=True, text=True,
    )  # fmt: skip
    assert told.returncode == codes.BAD_INPUT
    assert told.stdout == ""
    assert told.stderr.startswith("no-such-job.toml: the file cannot be read")
    assert "Traceback" not in told.stderr


def test_a_started_job_is_a_job_that_can_be_checked(tmp_path: Path) -> None:
    for more in ((), ("--demo",)):
        file = tmp_path / f"job{len(more)}.toml"
        assert left("start", str(file), *more) == codes.FINE
        assert left("check", str(file)) == codes.FINE

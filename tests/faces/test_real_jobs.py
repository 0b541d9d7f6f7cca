"""The faces on the invented jobs that ship, nothing replaced: from the file to the last word."""

import json
import subprocess
import sys
from dataclasses import replace
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
    if request.param == "demo":
        return replace(request.getfixturevalue("planned_demo"), day=None)
    return plans.plan_job(request.param)


@pytest.fixture(scope="module")
def page(plan: Plan) -> str:
    return render(plan)


@pytest.fixture(scope="module")
def read(page: str) -> Reader:
    return Reader(page)


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


def test_the_page_holds_every_area_recipe_batch_and_caution(plan: Plan, read: Reader) -> None:
    assert [name for name, count in read.ids.items() if count > 1] == []
    assert {link[1:] for link in read.links} <= set(read.ids)
    for caution in plan.cautions:
        assert caution.text.split(":")[0].split(" 43 ")[0] in read.text
    for area in plan.areas:
        assert area.title in read.text
    for need in plan.products:
        assert need.voc_verdict in read.text
    assert read.text.count("Stroke recipe:") == len(plan.recipes)


def test_nothing_the_page_says_is_a_bare_program_value(read: Reader) -> None:
    for scrap in ("None", "nan", "<built-in", "Figure(", "object at 0x"):
        assert f" {scrap}" not in read.text


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
        ("air", "practice", "--json"): codes.FINE,
        ("windows", "practice", "--json"): codes.FINE,
        ("today", "practice", "--json"): codes.FINE,
    }
    for arguments, code in asked.items():
        assert (arguments, left(*arguments)) == (arguments, code)
        json.loads(capsys.readouterr().out)


WEATHER = """time, air [degC], humidity [%], outdoor [degC]
2026-05-04 06:00, 8, 93, 6
2026-05-04 12:00, 20, 55, 16
2026-05-04 18:00, 18, 62, 13
"""


@pytest.fixture
def weather(tmp_path: Path) -> str:
    file = tmp_path / "day.csv"
    file.write_text(WEATHER)
    return str(file)


@pytest.mark.parametrize("job", ["practice", pytest.param("demo", marks=pytest.mark.slow)])
def test_a_damp_morning_is_a_no_go_and_the_windows_tell_the_clock(
    job: str, weather: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert left("today", job, "--weather", weather) == codes.FINE
    told = " ".join(capsys.readouterr().out.split())
    # air at 8 degC and 93 % has its dew point at 6.9 degC (psychrometric tables), so metal of
    # the same 8 degC is not 3 K above it (ISO 8502-4)
    assert "NO GO, Mon 4 May 06:00" in told
    assert left("windows", job, "--weather", weather) == codes.FINE
    assert "Mon 4 May" in capsys.readouterr().out


def test_a_fault_in_the_weather_is_named_with_its_line(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = tmp_path / "day.csv"
    file.write_text(WEATHER.replace("93", "193"))
    assert left("today", "practice", "--weather", str(file)) == codes.BAD_INPUT
    assert "day.csv:2" in capsys.readouterr().err


def test_every_figure_of_the_outlook_can_be_asked_for(
    plan: Plan, capsys: pytest.CaptureFixture[str]
) -> None:
    addresses = [address for address, _ in walk(plan) if address.startswith("outlook.")]
    assert addresses
    assert [one for one in addresses if " " in one or ".." in one] == []
    for address in addresses[:: max(1, len(addresses) // 40)]:
        assert explain.explain(plan, address).citation.text


def test_the_demo_keeps_its_page_small_and_shows_a_trace_for_every_recipe(
    plan: Plan, page: str
) -> None:
    bare = render(replace(plan, outlook=None))
    assert len(page) - len(bare) < 1_000_000
    assert page.count("Pressure at the trigger<") == len(plan.recipes)


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

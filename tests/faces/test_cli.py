"""The command line with the actions replaced by an invented plan: words, JSON and exit codes."""

import json
import subprocess
import sys
from collections.abc import Callable
from dataclasses import replace
from types import ModuleType, SimpleNamespace

import pytest

import coatwright.actions
from coatwright import errors
from coatwright.errors import (
    CoatwrightError,
    Infeasible,
    InputError,
    InputErrors,
    NotFound,
    RangeError,
)
from coatwright.faces.arranged.machine import plain
from coatwright.faces.cli import app as commands
from coatwright.faces.cli import codes
from coatwright.faces.cli.app import app
from coatwright.faces.cli.main import run
from coatwright.faces.format import Words
from sample_outlook import MASK, MEAN, WINDOWS, sample_ahead
from sample_plan import CAUTIONS, DIFFER, EPOXY, ETCH, UNKNOWN, fig, sample_plan

Ran = Callable[..., tuple[int, str, str]]
COMMANDS = set(commands.COMMANDS)


def _stand_in() -> ModuleType:
    """Actions that answer from the sample plan."""
    made = ModuleType("coatwright.actions.plans")
    plan = sample_ahead()
    sheet = SimpleNamespace(title="epoxy primer", family="epoxy primer", illustrative=True)
    answers = {
        "check_job": (UNKNOWN,),
        "plan_job": plan,
        "routes_for": (EPOXY, ETCH),
        "recipes_for": tuple(plan.recipes.values()),
        "cautions_for": CAUTIONS[:1],
        "mix": _mixed(),
        "product_cautions": CAUTIONS[:2],
        "may": SimpleNamespace(
            judgement=SimpleNamespace(verdict="no", findings=(DIFFER,), needs=()), route=ETCH
        ),
        "sheets": {"epoxy": sheet},
        "sheet": sheet,
        "sheet_text": 'key = "epoxy"\n',
    }
    for name, answer in answers.items():
        setattr(made, name, _gives(answer))
    made.start_job = lambda title, *_: f'title = "{title}"\n'  # type: ignore[attr-defined]
    return made


def _gives(answer: object) -> Callable[..., object]:
    return lambda *_: answer


def _mixed() -> SimpleNamespace:
    batch = sample_plan().products[0].batches[0]
    return SimpleNamespace(
        title="epoxy primer", volume=batch.volume, mass=fig(0.8, "mass"), pours=batch.pours,
        thinner_share=fig(0.1, "fraction"), cup_seconds=fig(24, "seconds"), cup="DIN 4",
        voc=fig(505, "concentration"), voc_verdict="within the limit", pot_life=fig(2400, "time"),
        stir_wait=fig(0, "time"), notes=(),
    )  # fmt: skip


@pytest.fixture
def plans(monkeypatch: pytest.MonkeyPatch) -> ModuleType:
    made = _stand_in()
    monkeypatch.setitem(sys.modules, "coatwright.actions.plans", made)
    monkeypatch.setattr(coatwright.actions, "plans", made, raising=False)
    monkeypatch.setenv("COLUMNS", "100")
    return made


@pytest.fixture
def ran(plans: ModuleType, capsys: pytest.CaptureFixture[str]) -> Ran:
    def once(*arguments: str) -> tuple[int, str, str]:
        with pytest.raises(SystemExit) as left:
            run(arguments)
        out = capsys.readouterr()
        return int(left.value.code or 0), out.out.replace("\N{NO-BREAK SPACE}", " "), out.err

    return once


def classes(root: type[CoatwrightError]) -> set[type[CoatwrightError]]:
    return {root}.union(*(classes(child) for child in root.__subclasses__()))


def test_every_error_class_has_an_exit_code_with_a_meaning() -> None:
    ours = {kind for kind in classes(CoatwrightError) if kind.__module__.startswith("coatwright")}
    assert ours == set(codes.CODES)
    assert {errors.InputErrors, errors.NotConverged, errors.Infeasible} <= ours
    assert set(codes.CODES.values()) <= set(codes.MEANINGS)


FAULTS = InputErrors((InputError("a", file="x.toml", line=3), InputError("b")))


@pytest.mark.parametrize(
    ("error", "code", "sentence"),
    [
        (FAULTS, 3, "x.toml:3: a\nb"),
        (NotFound("no area 'x'", instead="there are a and b"), 4, "no area 'x'; there are a and b"),
        (InputError("'5 m' is not an amount"), 2, "'5 m' is not an amount"),
        (Infeasible("no system fits"), 5, "no system fits"),
        (RangeError("18 s is below the cup's range"), 6, "18 s is below the cup's range"),
    ],
)
def test_an_error_is_a_sentence_and_a_code_and_no_traceback(
    ran: Ran, plans: ModuleType, error: CoatwrightError, code: int, sentence: str
) -> None:
    def fails(*_: object) -> None:
        raise error

    plans.plan_job = fails  # type: ignore[attr-defined]
    assert ran("plan", "job.toml") == (code, "", sentence + "\n")
    told = ran("plan", "job.toml", "--json")
    faults = json.loads(told[1])
    assert (told[0], faults["exit_code"]) == (code, code)
    assert "\n".join(fault["sentence"] for fault in faults["faults"]) == sentence


def test_a_command_written_wrongly_exits_with_two(ran: Ran) -> None:
    code, _, told = ran("plan")
    assert code == codes.USAGE
    assert "Missing argument" in told


def test_the_plan_tells_all_parts(ran: Ran) -> None:
    code, told, _ = ran("plan", "demo")
    assert code == codes.FINE
    for part in ("What to do first", "Engine bay", "Paint, ready to spray", "What to buy",
                 "What it costs", "Cautions", "What this plan rests on"):  # fmt: skip
        assert part in told
    for caution in CAUTIONS:
        assert caution.text in " ".join(told.split())


def test_a_brief_plan_leaves_out_recipes_and_nothing_that_warns(ran: Ran) -> None:
    code, told, _ = ran("plan", "demo", "--brief")
    assert code == codes.FINE
    words = " ".join(told.split())
    plan = sample_plan()
    for area in plan.areas:
        assert told.count(area.title) >= 1
        for patch in area.patches:
            assert (
                Words("metric", "GBP").brief(patch.film_total).replace("\N{NO-BREAK SPACE}", " ")
                in words
            )
    for caution in plan.cautions:
        assert " ".join(caution.text.split())[:40] in words
    for part in ("What to do first", "Paint, ready to spray", "What it costs"):
        assert part in told
    assert "pitch" not in told
    assert len(told.splitlines()) < len(ran("plan", "demo")[1].splitlines())


def test_the_brief_plan_lists_the_areas_and_keeps_every_caution(ran: Ran) -> None:
    told = " ".join(ran("plan", "demo", "--brief")[1].split())
    assert "What goes where" in told
    assert "Engine bay" in told
    assert "mL/min" not in told
    for caution in CAUTIONS:
        assert caution.text in told


def test_the_plan_in_us_units(ran: Ran) -> None:
    told = ran("plan", "demo", "--units", "us")[1]
    assert "mil" in told
    assert "µm" not in told


def test_strict_makes_a_fault_an_exit_code(ran: Ran) -> None:
    assert ran("plan", "demo", "--strict")[0] == codes.FINDINGS
    assert ran("check", "demo")[0] == codes.FINE
    assert ran("check", "demo", "--strict")[0] == codes.FINDINGS
    assert ran("recipe", "demo", "bay", "--strict")[0] == codes.FINDINGS


def test_the_page_is_written_beside_the_summary(ran: Ran, tmp_path) -> None:
    file = tmp_path / "plan.html"
    code, told, _ = ran("plan", "demo", "--html", str(file))
    assert code == codes.FINE
    assert file.name in told.replace("\n", "")
    assert file.read_text(encoding="utf-8").startswith("<!doctype html>")


def test_a_page_that_cannot_be_written_is_said_in_words(ran: Ran, tmp_path) -> None:
    code, _, told = ran("plan", "demo", "--html", str(tmp_path / "no" / "x.html"))
    assert code == codes.USAGE
    assert "cannot write" in told


@pytest.mark.parametrize(
    "arguments",
    [
        ("plan", "demo"), ("check", "demo"), ("routes", "demo", "bay"), ("recipe", "demo", "bay"),
        ("mix", "epoxy", "600 mL"), ("may", "demo", "lid", "epoxy"),
        ("explain", "demo", "cost.total"),
        ("explain", "demo", "run chance"), ("sheets",), ("sheets", "epoxy"), ("air", "demo"),
        ("windows", "demo"), ("today", "demo"),
    ],
)  # fmt: skip
def test_json_is_json_and_figures_carry_unit_basis_and_source(
    ran: Ran, arguments: tuple[str, ...]
) -> None:
    _, told, complaint = ran(*arguments, "--json")
    assert complaint == ""
    for figure in _figures(json.loads(told)):
        assert {"value", "unit", "basis", "source", "shown"} <= set(figure)


def _figures(thing: object) -> list[dict[str, object]]:
    if isinstance(thing, dict):
        own = [thing] if "basis" in thing else []
        return own + [one for value in thing.values() for one in _figures(value)]
    if isinstance(thing, list):
        return [one for value in thing for one in _figures(value)]
    return []


def test_json_figures_are_in_si() -> None:
    made = plain(fig(52e-6, "film", (46e-6, 59e-6)), Words("us"))
    assert (made["value"], made["unit"], made["spread"]) == (52e-6, "m", [46e-6, 59e-6])
    assert plain(fig(9.5, "money"), Words(currency="EUR"))["unit"] == "EUR"
    assert plain(float("inf"), Words()) is None


def test_may_answers_no_with_the_failure_and_the_way_out(ran: Ran) -> None:
    code, told, _ = ran("may", "demo", "boot-lid", "epoxy")
    assert code == codes.FINDINGS
    flat = " ".join(told.split())
    assert flat.startswith("No.")
    assert DIFFER.failure in flat
    assert DIFFER.remedy in flat
    assert "Cheapest permitted route: etch, high-build, colour" in flat
    assert "Experts differ" in flat


def test_routes_stand_side_by_side(ran: Ran) -> None:
    told = ran("routes", "demo", "bay")[1]
    head = next(line for line in told.splitlines() if "1. epoxy" in line)
    assert "2. etch" in head


def test_a_recipe_prints_settings_alternatives_and_cautions(ran: Ran) -> None:
    told = " ".join(ran("recipe", "demo", "bay")[1].split())
    assert "2.0 bar at the gun, trigger pulled" in told
    assert "What else was weighed" in told
    assert CAUTIONS[0].text.split(";")[0] in told


def test_air_tells_what_to_set_what_holds_and_what_to_mind(ran: Ran) -> None:
    code, told, _ = ran("air", "demo")
    flat = " ".join(told.split())
    assert code == codes.FINE
    assert "2.9 bar" in told  # at the wall, pulled
    assert "In 1 of 2 stroke recipes the pressure falls" in flat
    assert "Falls to 1.3 bar at the last stroke." in flat
    assert "two-pack high-build primer 4:1, one after another" in flat
    assert MASK.text in flat
    assert ran("air", "demo", "--strict")[0] == codes.FINDINGS


def test_air_of_an_area_is_told_coat_by_coat_with_its_sections(ran: Ran) -> None:
    told = " ".join(ran("air", "demo", "--area", "boot-lid")[1].split())
    assert "Coat 2 1.3 bar" in told
    assert "7 to 10 35 s 16 s" in told
    assert "receiver of 200 L instead of 50 L: holds 6.0 min" in told


def test_windows_are_ranked_with_what_a_lapse_takes(ran: Ran) -> None:
    code, told, _ = ran("windows", "demo", "--first", "2")
    flat = " ".join(told.split())
    assert code == codes.FINE
    assert f"2 of {len(WINDOWS)} windows" in told
    assert flat.index("Mon 4 May 07:00") < flat.index("closes before it opens")
    assert "key it and degrease, then go on: 24 min, 60 mL, 20.47 GBP, and 30 min" in flat
    every = ran("windows", "demo", "--first", "0")[1]
    assert f"{len(WINDOWS)} of {len(WINDOWS)} windows" in every
    assert "never" in every
    assert ran("windows", "demo", "--first", "-1")[0] == codes.USAGE


def test_today_tells_spells_vapour_and_cautions(ran: Ran) -> None:
    code, told, _ = ran("today", "demo")
    flat = " ".join(told.split())
    assert code == codes.FINE
    assert "NO GO, Mon 4 May 06:00 to 08:00: the metal is only 1.9 K" in flat
    assert "GO, Mon 4 May 08:00 to 10:00." in flat
    assert "GO IF, Mon 4 May 10:00 to 12:00: Mon 4 May 20:00: the metal falls" in flat
    assert "standard hardener, slow thinner" in flat
    assert "13.9" in flat
    assert MEAN in flat
    assert CAUTIONS[0].text in flat
    assert ran("today", "demo", "--product", "epoxy")[0] == codes.NOT_FOUND
    assert ran("today", "demo", "--strict")[0] == codes.FINE


@pytest.mark.parametrize("command", ["air", "windows", "today"])
def test_a_plan_without_an_outlook_is_said_in_words(
    ran: Ran, plans: ModuleType, command: str
) -> None:
    plans.plan_job = _gives(sample_plan())  # type: ignore[attr-defined]
    code, told, complaint = ran(command, "demo")
    assert (code, told) == (codes.NOT_FOUND, "")
    assert "says nothing of air and weather" in complaint


def test_several_products_are_told_in_few_words_and_one_in_full(
    ran: Ran, plans: ModuleType
) -> None:
    plan = sample_ahead()
    assert plan.outlook
    second = [replace(hour.products[0], key="solid", title="colour") for hour in plan.outlook.hours]
    hours = tuple(
        replace(hour, products=(*hour.products, more))
        for hour, more in zip(plan.outlook.hours, second, strict=True)
    )
    plans.plan_job = _gives(replace(plan, outlook=replace(plan.outlook, hours=hours)))  # type: ignore[attr-defined]
    flat = " ".join(ran("today", "demo")[1].split())
    assert "NO GO, Mon 4 May 06:00 to 08:00: dew point." in flat
    assert "only 1.9 K" not in flat
    one = " ".join(ran("today", "demo", "--product", "solid")[1].split())
    assert "only 1.9 K" in one
    assert "high-build primer" not in one


def test_the_weather_reaches_the_plan(ran: Ran, plans: ModuleType) -> None:
    asked: list[object] = []
    plan = sample_ahead()

    def answers(*given: object) -> object:
        asked.append(given)
        return plan

    plans.plan_job = answers  # type: ignore[attr-defined]
    for command in ("plan", "windows", "today", "explain"):
        assert ran(command, "demo", "--weather", "day.csv")[0] == codes.FINE
    days = {"plan": 4.0, "explain": None}
    assert [given[:3] for given in asked] == [("demo", None, "day.csv")] * 4
    assert [given[3:] for given in asked] == [(days["plan"],), (), (), (days["explain"],)]


def test_the_plan_tells_air_and_windows_in_short(ran: Ran) -> None:
    flat = " ".join(ran("plan", "demo")[1].split())
    assert "The pressure falls in 1 of 2 stroke recipes." in flat
    assert "What lapses next: Boot lid" in flat


def test_an_area_where_nothing_is_sprayed_says_so(ran: Ran, plans: ModuleType) -> None:
    plans.recipes_for = _gives(())  # type: ignore[attr-defined]
    code, _, told = ran("recipe", "demo", "cavities")
    assert code == codes.NOT_FOUND
    assert "nothing on 'cavities' is sprayed with a gun" in told


def test_a_mix_sheet_lists_what_the_scale_reads(ran: Ran) -> None:
    """The scale of the sample shows tenths of a gram: so does the sheet."""
    told = ran("mix", "epoxy", "810 mL")[1]
    assert "scale reads" in told
    for pour in _mixed().pours:
        tenths = f"{pour.on_scale.value * 1e3:,.1f}".removesuffix(".0")
        assert f"{tenths} g" in told


def test_explain_tells_formula_and_source_or_lists(ran: Ran) -> None:
    told = ran("explain", "demo", "cost.total")[1]
    assert "computed: invented for the tests" in told
    assert "source:" in told
    assert "recipes.engine-bay/solid.run_chance" in ran("explain", "demo", "run", "chance")[1]
    assert ran("explain", "demo", "zzz")[0] == codes.NOT_FOUND


def test_start_never_overwrites(ran: Ran, tmp_path) -> None:
    file = tmp_path / "job.toml"
    assert ran("start", str(file), "--title", "Mine")[0] == codes.FINE
    assert file.read_text() == 'title = "Mine"\n'
    code, _, told = ran("start", str(file))
    assert code == codes.USAGE
    assert "exists" in told
    assert file.read_text() == 'title = "Mine"\n'


def test_a_sheet_is_shown_as_a_file_to_copy(ran: Ran) -> None:
    assert ran("sheets", "epoxy")[1] == 'key = "epoxy"\n'
    assert "illustrative" in ran("sheets")[1]


def test_the_schema_is_a_json_schema(ran: Ran) -> None:
    for which in ("job", "sheet"):
        assert "properties" in json.loads(ran("schema", which)[1])


def test_names_in_a_file_cannot_drive_the_terminal(ran: Ran, plans: ModuleType) -> None:
    plans.plan_job = lambda *_: sample_plan("\x1b[31mred\x07 [bold]x[/bold]")  # type: ignore[attr-defined]
    told = ran("plan", "demo")[1]
    assert "\x1b" not in told
    assert "[bold]x[/bold]" in told


def test_no_colour_in_a_pipe_nor_with_no_color(ran: Ran, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("NO_COLOR", "1")
    monkeypatch.setenv("FORCE_COLOR", "1")
    assert "\x1b[3" not in ran("plan", "demo")[1]


@pytest.mark.parametrize("command", sorted(COMMANDS))
def test_help_says_what_why_how_and_exit_codes(ran: Ran, command: str) -> None:
    code, told, _ = ran(command, "--help")
    assert code == codes.FINE
    assert "Examples:" in told
    if command != "schema":
        assert "Exit codes:" in told
    listed = {info.name or info.callback.__name__ for info in app.registered_commands}  # type: ignore[union-attr]
    assert listed == COMMANDS


def test_help_is_quick_because_nothing_heavy_is_imported() -> None:
    heavy = "numpy scipy numba pydantic rich jinja2"
    loaded = f"[m for m in '{heavy}'.split() if m in sys.modules]"
    code = f"import sys, coatwright.faces.cli.main; print({loaded})"
    told = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert told.stdout.strip() == "[]"


def test_a_terminal_of_few_letters_gets_plain_ones() -> None:
    code = "from coatwright.faces.cli import main; main._speak_plainly(); print('52 µm, 2 m²')"
    told = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, check=True,
        env={"PYTHONIOENCODING": "ascii", "PYTHONPATH": ":".join(sys.path)},
    )  # fmt: skip
    assert told.stdout.decode("ascii").strip() == "52 um, 2 m2"

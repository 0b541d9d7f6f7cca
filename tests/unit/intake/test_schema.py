"""The published schemas: current, valid, true to the demo, and as strict as reading is."""

import importlib.util
import json
import tomllib
from importlib.resources import files
from pathlib import Path

import jsonschema
import pytest

from coatwright.errors import InputErrors
from coatwright.intake import jobfile, schema

DATA = files("coatwright").joinpath("data")
ROOT = Path(__file__).resolve().parents[3]
JOB, SHEET = schema.job_schema(), schema.sheet_schema()
DEMO = DATA.joinpath("demo/larkfield.toml").read_text(encoding="utf-8")


def parts(made):
    return {"": made, **made["$defs"]}.items()


def properties():
    return [
        pytest.param(entry, id=f"{name}.{field}")
        for made in (JOB, SHEET)
        for name, part in parts(made)
        for field, entry in part.get("properties", {}).items()
    ]


@pytest.mark.parametrize("name", schema.published())
def test_the_published_file_is_current(name):
    text = DATA.joinpath("schema", name).read_text(encoding="utf-8")
    assert text == schema.published()[name], "run python tools/schema.py"


def test_the_page_on_the_job_file_is_current():
    spec = importlib.util.spec_from_file_location("tool", ROOT / "tools" / "schema.py")
    tool = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(tool)
    text = tool.PAGE.read_text(encoding="utf-8")
    assert text == tool.page(text), "run python tools/schema.py"
    assert text.count("\n| `") > 100


@pytest.mark.parametrize("made", [JOB, SHEET], ids=["job", "sheet"])
def test_it_is_a_schema_of_the_draft_it_names(made):
    assert made["$schema"] == "https://json-schema.org/draft/2020-12/schema"
    jsonschema.Draft202012Validator.check_schema(made)
    assert made["title"]


@pytest.mark.parametrize("entry", properties())
def test_every_field_has_a_title_or_kind_and_says_what_it_means(entry):
    assert entry.get("description") or "const" in entry
    assert entry.get("title") or "$ref" in entry


def quantities():
    return [
        param for param in properties() if "; units: " in param.values[0].get("description", "")
    ]


@pytest.mark.parametrize("entry", quantities())
def test_quantities_are_text_with_a_pattern_and_an_example(entry):
    assert entry["type"] == "string"
    assert entry["pattern"].startswith("^")
    validator = jsonschema.Draft202012Validator(entry)
    assert entry["examples"]
    for text in [*entry["examples"], *([entry["default"]] if "default" in entry else [])]:
        validator.validate(text)
    assert not validator.is_valid(1.8)
    assert not validator.is_valid("1.8 furlong")


def test_there_are_many_quantities():
    assert len(quantities()) > 70


@pytest.mark.parametrize("name", ["larkfield", "practice-board", "starter"])
def test_the_demos_are_valid(name):
    text = DATA.joinpath(f"demo/{name}.toml").read_text(encoding="utf-8")
    jsonschema.Draft202012Validator(JOB).validate(tomllib.loads(text))
    written = tomllib.loads(jobfile.dump(jobfile.loads(text)))
    jsonschema.Draft202012Validator(JOB).validate(written)


@pytest.mark.parametrize("sheet", sorted(Path(str(DATA.joinpath("products"))).glob("*.toml")),
                         ids=lambda path: path.stem)  # fmt: skip
def test_the_sheets_are_valid(sheet):
    jsonschema.Draft202012Validator(SHEET).validate(tomllib.loads(sheet.read_text("utf-8")))


@pytest.mark.parametrize(("old", "new"), [
    ('nozzle = "1.8 mm"', "nozzle = 1.8"),
    ('nozzle = "1.8 mm"', 'nozzle = "1.8"'),
    ('nozzle = "1.8 mm"', 'nozzle = "1.8 bar"'),
    ('nozzle = "1.8 mm"', 'nozle = "1.8 mm"'),
    ('kind = "curved panel"', 'kind = "curved pannel"'),
    ('kind = "curved panel", ', ""),
    (', rise = "8 cm"', ""),
    ("count = 2", "count = 0"),
    ("count = 2", 'count = "2"'),
    ('orientation = "floor"', 'orientation = "up"'),
    ('ground = "bare steel"', 'ground = "steel"'),
    ('labour = "45 GBP/h"', 'labour = "45"'),
    ('key = "front-wings"', 'key = "Front wings"'),
    ('prepared = "P80"', 'prepared = "P85"'),
    ("invented = true", 'invented = "yes"'),
])  # fmt: skip
def test_what_an_editor_marks_is_what_reading_refuses(old, new):
    assert old in DEMO
    broken = DEMO.replace(old, new, 1)
    assert not jsonschema.Draft202012Validator(JOB).is_valid(tomllib.loads(broken))
    with pytest.raises(InputErrors):
        jobfile.loads(broken)


def test_schemas_are_the_same_each_time():
    assert json.dumps(schema.job_schema()) == json.dumps(JOB)

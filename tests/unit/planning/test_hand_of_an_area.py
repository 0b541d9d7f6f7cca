"""An area that names its hand is planned for that hand; any other for the painter."""

from importlib.resources import files

import pytest

from coatwright.intake import jobfile
from coatwright.intake.sheets import load_sheets
from coatwright.planning.strokes.ready import ready_paint
from coatwright.planning.strokes.spraying import Layering, task_for

JOB = jobfile.loads(
    files("coatwright")
    .joinpath("data/demo/larkfield.toml")
    .read_text(encoding="utf-8")
    .replace('key = "bulkhead"', 'key = "bulkhead"\nhand = "learner"')
)


@pytest.mark.parametrize(
    ("key", "asked", "hand"),
    [
        ("bulkhead", None, "learner"),
        ("bulkhead", "painter", "painter"),
        ("bay-strips", None, "painter"),
    ],
)
def test_hand_of_the_task(key, asked, hand):
    area = next(area for area in JOB.areas if area.key == key)
    sheet = load_sheets()["solid-two-pack"]
    paint = ready_paint(sheet, JOB.workshop.climate.air)
    task = task_for(Layering(area, sheet, 1.0, False, True), JOB, paint, asked and JOB.hand(asked))
    assert task.hand.key == hand

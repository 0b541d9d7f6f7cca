"""Weather tables: read as written, and every fault named by file, line and field."""

from datetime import datetime

import pytest

from coatwright.errors import InputError, InputErrors
from coatwright.intake.weather import load_weather, read_weather

GOOD = """# invented
time, air [degC], humidity [%], metal [degC], outdoor [degC]
2026-05-04 08:00, 16.5, 68, 15, 11
2026-05-04 09:00, 62 degF, 64 %, , 12.5

2026-05-04T10:00:00, 18, 60, 17, 13
"""


def test_as_written():
    readings = read_weather(GOOD)
    assert readings.start == datetime(2026, 5, 4, 8)
    assert readings.seconds() == (0.0, 3600.0, 7200.0)
    first, second, _ = readings.hours
    assert first.air == pytest.approx(289.65)
    assert first.humidity == pytest.approx(0.68)
    assert second.air == pytest.approx(289.8167, abs=1e-3)  # 62 degF
    assert second.metal is None
    assert second.outdoor == pytest.approx(285.65)


def test_semicolons_and_decimal_commas():
    readings = read_weather("time; air [degC]; humidity [%]\n2026-05-04 08:00; 16,5; 68,5\n")
    assert readings.hours[0].air == pytest.approx(289.65)
    assert readings.hours[0].humidity == pytest.approx(0.685)


def test_only_outside_is_enough():
    readings = read_weather("time,outdoor [degC],humidity [%]\n2026-05-04 08:00,7,90\n")
    assert readings.hours[0].air is None


HEAD = "time, air [degC], humidity [%], metal [degC]\n"


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        (
            "time, air, humidity [%]\n2026-05-04 08:00, 16.5, 68\n",
            'w.csv:2, air: \'16.5\' has no unit; write the unit too, e.g. "20 degC" or "68 degF"',
        ),
        (
            HEAD + "2026-05-04 08:00, 16, 168, 15\n",
            "w.csv:2, humidity: 168 % is out of range; it must be 0 to 100 %",
        ),
        (
            HEAD + "2026-05-04 08:00, 16, 60, 15, 3\n",
            "w.csv:2: 5 cells under a heading of 4; give each column a cell; "
            "leave it empty if there is no value",
        ),
        (
            HEAD + "2026-05-04 08:00, 16, , 15\n",
            "w.csv:2, humidity: the cell is empty; fill it in",
        ),
        (
            HEAD + ", 16, 60, 15\n",
            "w.csv:2, time: the cell is empty; fill it in",
        ),
        (
            HEAD + "2026-05-04 08:00, , 60, 15\n",
            "w.csv:2, air: neither air nor outdoor is given; give one of them",
        ),
        (
            HEAD + "4.5.26 8h, 16, 60, 15\n",
            "w.csv:2, time: '4.5.26 8h' is no time; write it as 2026-05-04 08:00",
        ),
        (
            HEAD + "2026-05-04 08:00, 16, 60, warm\n",
            "w.csv:2, metal: 'warm' is not a quantity; write a number and a unit, "
            'e.g. "20 degC" or "68 degF"',
        ),
        (
            HEAD + "2026-05-04 08:00, 16, 60, 15\n\n2026-05-04 08:00, 17, 60, 15\n",
            "w.csv:4, time: 2026-05-04 08:00 is not later than 2026-05-04 08:00; "
            "times must rise from line to line",
        ),
        (
            "time, air [bar], humidity [%]\n2026-05-04 08:00, 16, 60\n",
            "w.csv:1, air: 'bar' is a unit of pressure, not of temperature; "
            "use one of K, degC, degF",
        ),
        (
            "time, air [degC], wind\n2026-05-04 08:00, 16, 60\n",
            "w.csv:1, wind: 'wind' is no column of a weather table; "
            "use time, air, humidity, metal, outdoor",
        ),
        (
            "time, air [degC], air [degC], humidity [%]\n2026-05-04 08:00, 16, 16, 60\n",
            "w.csv:1, air: the column 'air' stands there twice; keep one of them",
        ),
        (
            "time [h], air [degC], humidity [%]\n2026-05-04 08:00, 16, 60\n",
            "w.csv:1, time: 'time' takes no unit; write the time as 2026-05-04 08:00",
        ),
        (
            "time, humidity [%]\n2026-05-04 08:00, 60\n",
            "w.csv:1: there is no column 'air'; "
            "the columns are time, air, humidity, metal, outdoor",
        ),
        (
            HEAD,
            "w.csv: there is no reading in it; write a heading (time, air, humidity) "
            "and at least one line below it",
        ),
        (
            "",
            "w.csv: there is no reading in it; write a heading (time, air, humidity) "
            "and at least one line below it",
        ),
    ],
)
def test_faults_word_for_word(text, sentence):
    with pytest.raises(InputError) as caught:
        read_weather(text, "w.csv")
    assert sentence in str(caught.value).splitlines()


def test_all_faults_at_once():
    text = HEAD + "x, 16, 60, 15\n2026-05-04 08:00, 16, 160, warm\n2026-05-04 09:00, 16\n"
    with pytest.raises(InputErrors) as caught:
        read_weather(text, "w.csv")
    assert [(f.line, f.field) for f in caught.value.faults] == [
        (2, "time"), (3, "humidity"), (3, "metal"), (4, ""),
    ]  # fmt: skip


def test_files(tmp_path):
    good = tmp_path / "good.csv"
    good.write_text(GOOD, encoding="utf-8-sig")
    assert load_weather(good).hours[0].air == pytest.approx(289.65)
    with pytest.raises(InputError, match="cannot be read"):
        load_weather(tmp_path / "none.csv")
    bad = tmp_path / "bad.csv"
    bad.write_bytes(b"\xff\xfe\x00\x01")
    with pytest.raises(InputError, match="not text in UTF-8"):
        load_weather(bad)


def test_far_too_long():
    with pytest.raises(InputError, match="keep to"):
        read_weather(HEAD + "x\n" * 20_000)

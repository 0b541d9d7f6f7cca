"""The solvent table: whole, sourced, and held against the open library `chemicals`.

Most values were typed from handbooks through that library; what is tested here beyond the typing is
the curve between two points against its other, independent correlations.
"""

import re
from pathlib import Path

import pytest
from chemicals import MW, Tb
from chemicals.dippr import EQ101
from chemicals.safety import LFL, T_flash
from chemicals.vapor_pressure import Psat_data_Perrys2_8, Psat_data_VDI_PPDS_3, Wagner

from coatwright.engines import drying
from coatwright.errors import InputErrors
from coatwright.intake.solvents import load_blends, load_solvents
from coatwright.model.substrate import Family
from coatwright.planning.conditions.blends import evaporating, standard
from house.test_sources import source_keys

SHEETS = load_solvents()
MIXTURES = {"xylene": "108-38-3", "solvent-naphtha": "95-63-6", "white-spirit": "124-18-5"}
"""What stands for a mixture."""
STANDARDS = {"iec-60079-20-1": "IEC 60079-20-1 (2010)", "nfpa-497": "NFPA 497 (2008)"}
DIFFER = {"n-butyl-acetate": 0.2, "n-butanol": 0.15}
"""Where handbooks disagree more: Perry has 1098 Pa at 20 degC for the ester, Poling 1245; alcohols
do not follow Thomson's rule as well."""
WITH_RATE = {
    key: sheet
    for key, sheet in SHEETS.items()
    if sheet.evaporation_rate is not None and sheet.evaporation_rate.source != "from memory"
}
each = pytest.mark.parametrize("sheet", SHEETS.values(), ids=SHEETS)


def cas(sheet):
    return MIXTURES.get(sheet.key, sheet.cas)


def known(sheet):
    return {name: value for name, value in sheet if getattr(value, "source", None)}


def test_about_twenty_five():
    assert len(SHEETS) >= 25
    assert dict(standard().sheets) == SHEETS
    assert load_blends() == standard().blends


@each
def test_every_value_names_a_source_that_exists(sheet):
    named = {value.source for value in known(sheet).values()} | {b.source for b in sheet.breathed}
    assert named <= set(source_keys()) | {"from memory", "assumption"}
    assert {"density", "boiling_point", "vapour_pressure"} <= known(sheet).keys()


@each
def test_molar_mass_and_boiling_point(sheet):
    assert sheet.molar_mass * 1000 == pytest.approx(MW(cas(sheet)), rel=2e-4)
    assert sheet.boiling_point.value == pytest.approx(Tb(cas(sheet)), abs=1.0)


@each
def test_vapour_pressure_against_other_correlations(sheet):
    """5 to 35 degC: two points and Thomson's rule against curves with three to five constants.

    8 % is what these tables commonly differ by among themselves.
    """
    solvent = evaporating(sheet)
    for temperature in (278.15, 288.15, 298.15, 308.15):
        for other in correlations(cas(sheet), temperature):
            found = drying.vapour_pressure(solvent, temperature)
            tolerance = DIFFER.get(sheet.key, 0.08)
            assert found == pytest.approx(other, rel=tolerance), temperature


def correlations(number, temperature):
    if number in Psat_data_Perrys2_8.index:
        row = Psat_data_Perrys2_8.loc[number]
        if row.Tmin <= temperature <= row.Tmax:
            yield float(EQ101(temperature, row.C1, row.C2, row.C3, row.C4, row.C5))
    if number in Psat_data_VDI_PPDS_3.index:
        row = Psat_data_VDI_PPDS_3.loc[number]
        yield float(Wagner(temperature, row.Tc, row.Pc, row.A, row.B, row.C, row.D))


def test_most_solvents_have_another_correlation():
    assert sum(bool(list(correlations(cas(s), 293.15))) for s in SHEETS.values()) >= 17


@each
def test_limits_and_flash_points_are_those_of_the_standard_they_name(sheet):
    for name, function in (("lower_limit", LFL), ("flash_point", T_flash)):
        value = getattr(sheet, name)
        if value is not None and value.source in STANDARDS:
            arguments = {"CASRN": cas(sheet), "method": STANDARDS[value.source]}
            assert value.value == pytest.approx(function(**arguments), abs=1e-6), name


@each
def test_limits_stand_in_order(sheet):
    if sheet.lower_limit and sheet.upper_limit:
        assert sheet.lower_limit.value < sheet.upper_limit.value
    for region in ("EU", "US"):
        over = {b.over: b.value for b in sheet.breathed if b.region == region}
        assert over.get("8 h", 0) <= over.get("15 min", 1)


@pytest.mark.parametrize("sheet", WITH_RATE.values(), ids=WITH_RATE)
def test_published_evaporation_rates_are_met(sheet):
    """Those that were read; within a factor of two, as most have one figure."""
    reference = evaporating(SHEETS["n-butyl-acetate"])
    found = drying.relative_rate(evaporating(sheet), reference)
    assert 0.5 < found / sheet.evaporation_rate.value < 2.0


def test_every_kind_of_paint_has_a_blend_or_takes_none():
    families = set(load_blends().families)
    assert families <= {str(family) for family in Family}
    named = [load_blends().families, load_blends().thinners]
    used = {key for blends in named for blend in blends.values() for key in blend.shares}
    assert used <= SHEETS.keys()


GOOD = """
[[solvent]]
key = "one"
title = "One"
cas = "64-17-5"
formula = "C2H6O"
density = { value = "0.79 kg/L", source = "from memory" }
boiling_point = { value = "78 degC", source = "from memory" }
vapour_pressure = { value = "5.9 kPa", source = "from memory" }
"""


@pytest.mark.parametrize(
    ("old", "new", "where", "words"),
    [
        ('"0.79 kg/L"', '"0.79"', "solvent 'one'.*density", "has no unit"),
        ('cas = "64-17-5"', 'cas = "ethanol"', "cas", "pattern|form|must"),
        ('formula = "C2H6O"', 'formula = "C2H6N"', "formula", "pattern|form|must"),
        (', source = "from memory" }\nvap', " }\nvap", "boiling_point", "source"),
        ('title = "One"', 'titel = "One"', "titel", ""),
    ],
)
def test_faults_name_file_line_and_field(tmp_path, old, new, where, words):
    assert old in GOOD
    (tmp_path / "own.toml").write_text(GOOD.replace(old, new))
    with pytest.raises(InputErrors) as caught:
        load_solvents([tmp_path])
    text = str(caught.value)
    assert re.search(r"own\.toml:\d+", text)
    assert re.search(where.split(".*")[-1], text)
    assert re.search(words, text)


def test_a_shop_s_own_solvent_stands_in_for_ours(tmp_path: Path):
    (tmp_path / "own.toml").write_text(GOOD.replace('"one"', '"ethanol"'))
    assert load_solvents([tmp_path])["ethanol"].title == "One"
    assert len(load_solvents([tmp_path])) == len(SHEETS)


def test_the_same_key_twice_is_refused(tmp_path: Path):
    for name in ("a.toml", "b.toml"):
        (tmp_path / name).write_text(GOOD)
    with pytest.raises(InputErrors, match="holds the solvent 'one' too"):
        load_solvents([tmp_path])


def test_a_blend_must_be_whole():
    from pydantic import ValidationError

    from coatwright.model.conditions.solvent import Blend

    with pytest.raises(ValidationError, match="sum to 90 %"):
        Blend(source="x", shares={"water": 0.5, "acetone": 0.4})

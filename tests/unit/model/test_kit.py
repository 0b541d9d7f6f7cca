"""Kit that cannot be is refused, with what to write instead; what is left out has a default."""

import pytest
from pydantic import ValidationError

from coatwright.model.kit import Compressor, Filter, Gauges, Hose, Regulator

PUMP = {"delivery": "240 L/min", "receiver": "150 L", "cut_in": "6 bar", "cut_out": "8 bar"}


def test_a_pump_and_a_hose_as_files_had_them_before_are_still_whole():
    pump = Compressor.model_validate(PUMP)
    hose = Hose.model_validate({"length": "10 m", "bore": "9.5 mm"})
    assert (pump.duty, pump.clearance, pump.others, pump.delivery_at) == (0.6, 0.05, 0.0, None)
    assert (hose.couplings, hose.friction, hose.gauges) == (2, 1.25, ())
    assert (Filter().dew_point, Regulator().place) == (None, "wall")


@pytest.mark.parametrize(
    ("part", "changed", "told"),
    [
        (Compressor, {**PUMP, "receiver": "900 mL"}, "900 mL is no receiver; write its volume"),
        (Compressor, {**PUMP, "clearance": "40 %"}, "delivers next to nothing at 8 bar"),
        (Compressor, {**PUMP, "cut_in": "9 bar"}, "cut_in is above cut_out"),
        (Compressor, {**PUMP, "duty": "0 %"}, "0 % is out of range"),
        (Filter, {"flow": "0 L/min"}, "no air passes; write its nominal flow"),
        (Regulator, {"flow": "0 L/min"}, "no air passes"),
        (Hose, {"length": "10 m", "bore": "9.5 mm", "coupling_flow": "0 L/min"}, "no air passes"),
        (Hose, {"length": "10 m", "bore": "9.5 mm", "couplings": 20}, "less than or equal to 6"),
        (Gauges, {"gun": "g", "wall": "2 bar", "at_gun": "3 bar"}, "at_gun is above wall"),
        (
            Gauges,
            {"gun": "g", "wall": "3 bar", "at_gun": "2 bar", "released": "2.5 bar"},
            "wall is above released",
        ),
    ],
)
def test_refused(part, changed, told):
    with pytest.raises(ValidationError, match=told):
        part.model_validate(changed)

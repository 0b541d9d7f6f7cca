"""Solvent shut in under the next layer, as a margin."""

from coatwright.engines import drying
from coatwright.figures import Figure
from coatwright.model.material import Material
from coatwright.planning.conditions.blends import Solvents, standard
from coatwright.planning.conditions.drying import (
    SHEET_WEATHER,
    Case,
    Laid,
    Weather,
    air_of,
    landed_share,
    wet_coat,
)
from coatwright.planning.conditions.window_plan import Trapped
from coatwright.sentences import say


def trapped(
    material: Material,
    laid: Laid,
    weather: Weather,
    waits: tuple[float, float],
    solvents: Solvents | None = None,
) -> Trapped:
    """Solvent shut in when the next layer goes on, as a ratio to what the sheet's practice leaves.

    waits: flash-off kept between the coats, and from the last coat to the next layer [s]. The
    sheet's practice is its shortest flash, its earliest recoat and its usual film at 20 degC.
    """
    case = Case(material, laid, weather, solvents or standard())
    usual = case.usual
    share = landed_share(material)
    blend, water = case.blend()
    real = _left_in(wet_coat(blend, laid.coat, share), air_of(weather, water), _number(laid), waits)
    kept = (material.flash.min, material.recoat.min)
    sheet = _left_in(
        wet_coat(blend, usual.coat, share), air_of(SHEET_WEATHER, water), _number(usual), kept
    )
    ratio = real / max(sheet, 1e-9)
    source, formula = "equal-residue", "coat upon coat, each laid on what the one below still holds"
    return Trapped(
        product=material.key,
        left=Figure(real, "film", "formula", source, formula),
        sheet=Figure(sheet, "film", "formula", source, formula),
        ratio=Figure(
            ratio, "count", "formula", source, "left today / left by the sheet's practice"
        ),
        why=_trapped_why(ratio),
    )


def _trapped_why(ratio: float) -> str:
    if ratio > 1.1:
        return say(
            "more solvent is shut in than the sheet reckons with: wait longer, or lay it thinner"
        )
    if ratio < 0.9:
        return say("less solvent is shut in than the sheet reckons with")
    return say("as the sheet reckons with")


def _number(laid: Laid) -> int:
    return max(round(laid.layer / laid.coat), 1)


def _left_in(coat: drying.Coat, air: drying.Air, coats: int, waits: tuple[float, float]) -> float:
    return drying.layered_residue(coat, air, (waits[0],) * (coats - 1) + (waits[1],))

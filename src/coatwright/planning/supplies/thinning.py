"""A cup of paint timed through the flow cup: how much thinner it still takes to spray."""

from coatwright.engines import rheology
from coatwright.errors import InputError
from coatwright.figures import Figure
from coatwright.model.material import Material
from coatwright.planning.strokes.ready import thinner_viscosity, wanted_viscosity
from coatwright.planning.supplies.mixsheet import DOSE_SPREAD
from coatwright.sentences import say


def thinner_to_add(material: Material, seconds: float, mass: float, share: float = 0.0) -> Figure:
    """Thinner [kg] that brings a mix of that mass [kg] to the middle of the sheet's cup seconds.

    seconds: what the sheet's own flow cup says of the mix as it is, at the paint's temperature;
    the viscosity that atomises is wanted at whatever temperature. share: thinner that is in it
    already, as a share of base and hardener. 0 if it is thin enough; never past the sheet's most.
    Raises InputError where the sheet names no thinner, RangeError outside the cup's range.
    """
    thinner = material.component("thinner")
    if thinner is None or material.thinning is None:
        raise InputError(
            say("{material} is not thinned", material=material.title),
            instead=say("spray it as it is, or warm it"),
        )
    now = rheology.kinematic_viscosity(material.spray.cup, seconds)
    wanted, thin = wanted_viscosity(material), thinner_viscosity(material)
    part = rheology.share_for(wanted, now, thin) if now > wanted else 0.0
    density = _density(material, share)
    volume = mass / density
    left = max(material.thinning.max - share, 0.0) / (1 + share)
    asked = part / (1 - part)
    added = min(asked, left) * volume * thinner.density
    stopped = (
        say("; stopped at the sheet's most: warm the paint for the rest") if asked > left else ""
    )
    return Figure(
        added, "mass", "formula", "refutas-maples",
        "thinner that blends the timed viscosity to the middle of the sheet's range" + stopped,
        {"timed": f"{seconds:g} s, {material.spray.cup}", "mix": f"{mass * 1e3:.0f} g"},
        (added * (1 - DOSE_SPREAD), added * (1 + DOSE_SPREAD)) if added else None,
        say("the blending rule is good to 30 % of the dose: add half, stir, time it "
"again"),
    )  # fmt: skip


def _density(material: Material, share: float) -> float:
    parts = [(c.density, c.parts) for c in material.components if c.role != "thinner"]
    mixed = sum(part for _, part in parts)
    mass = sum(density * part for density, part in parts)
    thinner = material.component("thinner")
    assert thinner is not None  # asked for by the caller
    return (mass + share * mixed * thinner.density) / (mixed * (1 + share))

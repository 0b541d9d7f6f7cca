"""The Plan: everything computed for a job, as plain frozen data made of Figures and sentences.

No behaviour here beyond look-up: faces read it, `figures.walk` gives every Figure its address.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Literal

import numpy as np
from numpy.typing import NDArray

from coatwright.figures import Figure

if TYPE_CHECKING:
    from coatwright.planning.conditions.air_plan import AirCard, AirHold, AirSpell
    from coatwright.planning.conditions.window_plan import Hour, WindowMap
    from coatwright.planning.day.plan import DayPlan

Float = NDArray[np.float64]
Severity = Literal["note", "caution", "fault", "ruin"]


@dataclass(frozen=True, slots=True)
class Caution:
    """A hazard, in the words the person needs, where it is met. Every face must print it."""

    key: str
    hazard: str
    where: Literal["mixing", "spraying", "rubbing", "stripping", "air", "storing"]
    text: str
    source: str


@dataclass(frozen=True, slots=True)
class Finding:
    """What one rule says of one step."""

    rule: str
    title: str
    severity: Severity
    verdict: Literal["yes", "yes if", "no"]
    layer: str
    reason: str
    failure: str
    remedy: str
    needs: tuple[str, ...]
    experts_differ: bool
    source: str


@dataclass(frozen=True, slots=True)
class Step:
    """One thing to do before or between layers (test, strip, abrade, degrease, pretreat).

    act is its name in data/work.toml, before the key of the product it prepares for, grade the
    P-grade if it abrades.
    """

    key: str
    text: str
    hours: Figure
    money: Figure
    act: str = ""
    before: str = ""
    grade: str = ""


@dataclass(frozen=True, slots=True)
class SectionBand:
    """One band of the section drawing, metal upwards: film laid and what rubbing takes off."""

    key: str
    title: str
    family: str
    laid: Figure
    rubbed: Figure
    old: bool = False


@dataclass(frozen=True, slots=True)
class Rub:
    """Rubbing down one layer with one grade."""

    key: str
    grade: str
    takes: Figure
    left: Figure
    break_through: Figure
    reason: str


@dataclass(frozen=True, slots=True)
class Profile:
    """Dry film across the strokes on the developed section, all coats laid (SI arrays)."""

    across: Float
    low: Float
    mean: Float
    high: Float
    wanted_low: float
    wanted_high: float
    one_coat_wet: Float
    run_limit: float
    facets: tuple[tuple[str, float, float], ...]
    strokes: Float


@dataclass(frozen=True, slots=True)
class Choice:
    """One alternative the solver weighed, with its price."""

    key: str
    text: str
    paint: Figure
    minutes: Figure
    run_chance: Figure
    light_chance: Figure
    chosen: bool
    why_not: str = ""


@dataclass(frozen=True, slots=True)
class StrokeRecipe:
    """Set-up and strokes for one area, product, gun and hand."""

    key: str
    area: str
    product: str
    gun: str
    gun_title: str
    hand: str
    spray_in: str
    direction: Literal["along", "across"]
    nozzle: Figure
    pressure: Figure
    fan: Figure
    fan_length: Figure
    fluid: Figure
    fluid_share: Figure
    distance: Figure
    speed: Figure
    pace: Figure
    pitch: Figure
    overlap: Figure
    strokes: Figure
    overrun: Figure
    coats: Figure
    wet_coat: Figure
    dry_coat: Figure
    dry_total: Figure
    thinnest: Figure
    run_limit: Figure
    run_chance: Figure
    light_chance: Figure
    capture: Figure
    transfer: Figure
    overspray: Figure
    trigger_time: Figure
    spray_minutes: Figure
    paint: Figure
    droplets: Figure
    profile: Profile
    choices: tuple[Choice, ...]
    advice: tuple[str, ...]
    within_bounds: bool
    shortfall: str = ""
    run_bound: Figure | None = None
    light_bound: Figure | None = None


@dataclass(frozen=True, slots=True)
class LayerPlan:
    """One layer of a system on one patch. recipe is the key of a StrokeRecipe, or ''."""

    key: str
    product: str
    title: str
    family: str
    coats: Figure
    wanted: Figure
    laid: Figure
    flash: Figure
    recoat_from: Figure
    recoat_until: Figure | None
    past_window: str
    recipe: str
    rubs: tuple[Rub, ...]
    findings: tuple[Finding, ...]


@dataclass(frozen=True, slots=True)
class Route:
    """One possible system for a patch, ranked. stripped: the old paint comes off first."""

    key: str
    title: str
    products: tuple[str, ...]
    possible: bool
    film: Figure
    days: Figure
    money: Figure
    steps: tuple[Step, ...]
    findings: tuple[Finding, ...]
    summary: str
    stripped: bool = False


@dataclass(frozen=True, slots=True)
class PatchPlan:
    """What goes on one patch, and why."""

    key: str
    ground: str
    share: Figure
    surface: Figure
    trusted: bool
    trust_reason: str
    chosen_by: Literal["person", "rules"]
    route: Route
    alternatives: tuple[Route, ...]
    layers: tuple[LayerPlan, ...]
    section: tuple[SectionBand, ...]
    film_total: Figure


@dataclass(frozen=True, slots=True)
class AreaPlan:
    """One area of the job."""

    key: str
    title: str
    shape: str
    orientation: str
    access: str
    surface: Figure
    run: Figure
    breadth: Figure
    patches: tuple[PatchPlan, ...]
    note: str = ""


@dataclass(frozen=True, slots=True)
class Pour:
    """One line of a mix sheet, in pouring order."""

    key: str
    title: str
    volume: Figure
    mass: Figure
    on_scale: Figure


@dataclass(frozen=True, slots=True)
class Batch:
    """One mixed quantity: which areas it serves, how to pour it, how long it lasts."""

    key: str
    product: str
    title: str
    volume: Figure
    pours: tuple[Pour, ...]
    serves: tuple[str, ...]
    pot_life: Figure | None
    use_time: Figure
    left: Figure
    stir_wait: Figure
    session: str


@dataclass(frozen=True, slots=True)
class ProductNeed:
    """How much of one product the job takes, ready to spray, and why."""

    key: str
    title: str
    volume: Figure
    on_surface: Figure
    overspray: Figure
    gun_losses: Figure
    test_cards: Figure
    reserve: Figure
    thinner_share: Figure
    cup_seconds: Figure
    cup: str
    voc: Figure
    voc_limit: Figure | None
    voc_verdict: str
    by_area: Mapping[str, Figure]
    batches: tuple[Batch, ...]


@dataclass(frozen=True, slots=True)
class Purchase:
    """One line of the buying list; held: what stands on the shelf already."""

    key: str
    title: str
    need: Figure
    packs: Mapping[str, int]
    bought: Figure
    left: Figure
    keeps: Figure | None
    price: Figure
    note: str = ""
    held: Figure | None = None


@dataclass(frozen=True, slots=True)
class CostLine:
    """One line of the cost: money, and of a consumable how much of it."""

    key: str
    title: str
    amount: Figure
    quantity: Figure | None = None


@dataclass(frozen=True, slots=True)
class Swing:
    """What one line does to the sum: its share of the uncertainty, and its range with tax."""

    key: str
    title: str
    share: Figure
    amount: Figure


@dataclass(frozen=True, slots=True)
class StageBill:
    """What is due when a stage is done and looked at."""

    key: str
    title: str
    hours: Figure
    amount: Figure


@dataclass(frozen=True, slots=True)
class Cost:
    """What it comes to, as a distribution, what drives it, and what is due when.

    half: half of such jobs come to less; odds: (chance, what it stays under), with tax.
    """

    currency: str
    lines: tuple[CostLine, ...]
    net: Figure
    tax: Figure
    total: Figure
    drivers: tuple[str, ...]
    half: Figure
    odds: tuple[tuple[float, float], ...]
    swings: tuple[Swing, ...]
    deposit: Figure
    stages: tuple[StageBill, ...]


@dataclass(frozen=True, slots=True)
class Outlook:
    """What air and weather do to the plan. start: when the hours begin, "" for the usual shop."""

    air: "tuple[AirHold, ...]"
    air_card: "AirCard | None"
    spells: "tuple[AirSpell, ...]"
    windows: "WindowMap"
    hours: "tuple[Hour, ...]"
    start: str


@dataclass(frozen=True, slots=True)
class Plan:
    """The whole computed plan of a job."""

    title: str
    invented: bool
    currency: str
    painter: str
    colour: str
    surface: Figure
    areas: tuple[AreaPlan, ...]
    recipes: Mapping[str, StrokeRecipe]
    products: tuple[ProductNeed, ...]
    purchases: tuple[Purchase, ...]
    consumables: tuple[CostLine, ...]
    cost: Cost
    cautions: tuple[Caution, ...]
    notes: tuple[str, ...] = field(default=())
    outlook: Outlook | None = None
    day: "DayPlan | None" = None

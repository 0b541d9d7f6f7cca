"""The invented sheets of the scripted histories, in SI; typical of each class, from no tin."""

from dataclasses import dataclass

MIN, HOUR, DAY = 60.0, 3600.0, 86400.0
UM, BAR = 1e-6, 1e5
NOUGHT = 273.15  # degC to K


@dataclass(frozen=True)
class Sheet:
    """What a product's sheet and the plan say of one coat and of its layer."""

    family: str
    coats: int
    dry: float
    wet: float
    run_limit: float
    least: float
    most: float
    flash: float
    recoat_from: float
    recoat_until: float | None
    sand_from: float
    cured: float
    coarsest: str
    cup: tuple[float, float]
    pot_life: float | None
    parts: dict[str, float]
    metal_least: float = 15.0 + NOUGHT
    past: str = "abrade"
    lifting: tuple[float, float] | None = None
    pressure: float = 2.0 * BAR
    pressure_least: float = 1.7 * BAR


ETCH = Sheet(
    "etch primer", 1, 9 * UM, 60 * UM, 110 * UM, 6 * UM, 13 * UM, 8 * MIN, 1 * HOUR, 24 * HOUR,
    4 * HOUR, 8 * HOUR, "P80", (14, 18), 12 * HOUR,
    {"etch-base": 0.20, "etch-activator": 0.18}, metal_least=12 + NOUGHT,
)  # fmt: skip
EPOXY = Sheet(
    "epoxy primer", 2, 32 * UM, 75 * UM, 125 * UM, 50 * UM, 85 * UM, 20 * MIN, 12 * HOUR, 72 * HOUR,
    18 * HOUR, 48 * HOUR, "P80", (18, 25), 6 * HOUR,
    {"epoxy-base": 0.40, "epoxy-hardener": 0.30, "epoxy-thinner": 0.08}, metal_least=12 + NOUGHT,
)  # fmt: skip
HIGH_BUILD = Sheet(
    "two-pack high-build primer", 3, 42 * UM, 95 * UM, 170 * UM, 90 * UM, 155 * UM, 10 * MIN,
    4 * HOUR, 168 * HOUR, 4 * HOUR, 16 * HOUR, "P80", (28, 45), 45 * MIN,
    {"build-base": 0.80, "build-hardener": 0.14, "two-pack-thinner": 0.05},
    pressure=2.1 * BAR,
)  # fmt: skip
POLYESTER = Sheet(
    "sprayable polyester", 2, 150 * UM, 180 * UM, 330 * UM, 200 * UM, 400 * UM, 10 * MIN,
    4 * HOUR, 72 * HOUR, 3 * HOUR, 8 * HOUR, "P80", (30, 60), 25 * MIN,
    {"polyester-base": 0.90, "polyester-hardener": 0.030},
)  # fmt: skip
BASE = Sheet(
    "solvent basecoat", 3, 10 * UM, 48 * UM, 90 * UM, 20 * UM, 42 * UM, 8 * MIN, 20 * MIN,
    24 * HOUR, 16 * HOUR, 16 * HOUR, "P600", (15, 18), None,
    {"colour-base": 0.45, "base-thinner": 0.40}, past="abrade and recoat",
)  # fmt: skip
LACQUER = Sheet(
    "two-pack lacquer", 2, 30 * UM, 58 * UM, 95 * UM, 50 * UM, 76 * UM, 10 * MIN, 16 * HOUR,
    24 * HOUR, 16 * HOUR, 24 * HOUR, "P800", (16, 20), 90 * MIN,
    {"lacquer-base": 0.50, "lacquer-hardener": 0.26, "two-pack-thinner": 0.03},
)  # fmt: skip
SOLID = Sheet(
    "two-pack solid colour", 2, 30 * UM, 62 * UM, 100 * UM, 48 * UM, 76 * UM, 10 * MIN, 16 * HOUR,
    48 * HOUR, 16 * HOUR, 24 * HOUR, "P500", (16, 20), 2 * HOUR,
    {"solid-base": 0.55, "solid-hardener": 0.27, "two-pack-thinner": 0.06},
)  # fmt: skip
SYNTHETIC = Sheet(
    "synthetic enamel", 2, 26 * UM, 58 * UM, 90 * UM, 40 * UM, 75 * UM, 20 * MIN, 5.5 * DAY,
    None, 5 * DAY, 7 * DAY, "P320", (20, 30), None,
    {"enamel-base": 0.60, "white-spirit": 0.05}, lifting=(6 * HOUR, 5 * DAY),
)  # fmt: skip

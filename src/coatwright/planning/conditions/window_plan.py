"""What the window map and the go or no-go say, as plain frozen data made of Figures."""

from dataclasses import dataclass

from coatwright.figures import Figure


@dataclass(frozen=True, slots=True)
class Timing:
    """One time of a sheet and what it is today: sheet value, corrected value, and why.

    free is what the laws alone say, before the sheet's own least or most is held.
    """

    key: str
    sheet: Figure
    corrected: Figure
    free: Figure
    why: str


@dataclass(frozen=True, slots=True)
class Corrected:
    """Every time of a sheet at today's temperature, humidity, air movement and real film.

    flash and recoat_from are never below the sheet's shortest, recoat_until never above its
    longest. under_cover is through_dry in air at rest, as under a loose cover put on after the
    flash; seal_by how long a porous primer may wait before it must be sealed (None: not porous).
    doubt says what the laws do not know of this day; empty if nothing.
    """

    product: str
    flash: Timing
    recoat_from: Timing
    recoat_until: Timing | None
    sand_from: Timing | None
    through_dry: Timing
    pot_life: Timing | None
    under_cover: Timing
    seal_by: Timing | None
    doubt: str = ""


@dataclass(frozen=True, slots=True)
class Trapped:
    """Solvent left in a layer when the next goes on, against what the sheet's own practice leaves.

    ratio 1 is as on the sheet; above it more is shut in (sinkage, pop, wrinkling), below it less.
    """

    product: str
    left: Figure
    sheet: Figure
    ratio: Figure
    why: str


@dataclass(frozen=True, slots=True)
class Baked:
    """A bake: how warm the metal gets, when it reaches the sheet's temperature, and the cure."""

    product: str
    metal: Figure
    reaches: Figure | None
    cure: Figure
    enough_after: Figure | None
    why: str


@dataclass(frozen=True, slots=True)
class Lapse:
    """What it takes once a window has closed: working hours, paint and money."""

    key: str
    text: str
    hours: Figure
    paint: Figure
    money: Figure
    wait: Figure


@dataclass(frozen=True, slots=True)
class Window:
    """When the next layer may go on one layer of one patch: opens, best, closes.

    Times count from the start of the map, in seconds; stamps are the same as clock time ("" if
    the map was given no date). closes is None where the sheet sets no limit. shut: it closes
    before it opens on this day, so that abrading is the only way. final: nothing follows, the
    window only matters for another coat of the same.
    """

    key: str
    area: str
    patch: str
    product: str
    title: str
    laid: Figure
    opens: Figure
    best: Figure
    closes: Figure | None
    stamps: tuple[str, str, str, str]
    past: str
    why: str
    shut: bool = False
    lapse: Lapse | None = None
    final: bool = False


@dataclass(frozen=True, slots=True)
class WindowMap:
    """Every window of a job, what lapses next first."""

    windows: tuple[Window, ...]
    start: str
    notes: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Vapour:
    """Solvent in the air of a room from one mix sprayed in one go: never a statement of safety.

    peak is a share of the lower flammable limit, to be held under `ceiling`; breathing how many
    times over the limits for breathing the mixture comes; clear_after how long after the last
    trigger until both have fallen away again. unknown names solvents without a limit on file.
    """

    product: str
    paint: Figure
    peak: Figure
    ceiling: Figure
    breathing: Figure
    clear_after: Figure
    fresh_air: Figure
    over: bool
    unknown: tuple[str, ...]
    cautions: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Check:
    """One thing looked at: its figure, the bound, and whether it holds."""

    key: str
    value: Figure
    bound: Figure
    holds: bool
    text: str


@dataclass(frozen=True, slots=True)
class Go:
    """One product at one hour: go, go if, or no go, with everything against it.

    "go" means only that nothing on this list is against it; sheet, local rules and eyes decide.
    """

    key: str
    title: str
    verdict: str
    reasons: tuple[str, ...]
    checks: tuple[Check, ...]
    flash: Figure
    cured: Figure
    hardener: str
    thinner: str
    vapour: Vapour


@dataclass(frozen=True, slots=True)
class Hour:
    """The shop at one hour, and what may be sprayed then."""

    key: str
    time: Figure
    stamp: str
    air: Figure
    spraying_air: Figure
    metal: Figure
    humidity: Figure
    dew_point: Figure
    margin: Figure
    products: tuple[Go, ...]

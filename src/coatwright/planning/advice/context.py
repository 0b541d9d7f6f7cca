"""Where, when and for what a patch is coated: all that a rule may ask beside the layers."""

from dataclasses import dataclass

from coatwright.model.area import Area
from coatwright.model.job import Job

DAY = 86400.0


@dataclass(frozen=True, slots=True)
class Context:
    """The circumstances of one patch (SI).

    wait is how long primed metal waits for its next layer where metal_waits is true; bare_for is
    how long bare ground has stood since it was abraded.
    """

    finish: str = "good"
    orientation: str = "vertical"
    zone: str = "outside"
    access: str = "open"
    metal_waits: bool = True
    wait: float = 3 * DAY
    bare_for: float = 0.0
    spot_repair: bool = False
    stands_outdoors: bool = False
    break_through: bool = False
    air: float = 293.15
    metal: float = 293.15
    humidity: float = 0.55

    @classmethod
    def of(cls, area: Area, job: Job) -> "Context":
        """The circumstances of an area of a job."""
        climate = job.workshop.climate
        return cls(
            finish=area.finish,
            orientation=area.orientation,
            zone=area.zone,
            access=area.access.kind,
            metal_waits=job.metal_waits,
            air=climate.air,
            metal=climate.air if climate.metal is None else climate.metal,
            humidity=climate.humidity,
        )

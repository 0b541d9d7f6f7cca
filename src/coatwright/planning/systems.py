"""Which system goes on which patch: the person's own, reviewed, or the best the rules find."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from coatwright.errors import Infeasible
from coatwright.model.area import Area
from coatwright.model.job import Job
from coatwright.model.material import Material
from coatwright.model.substrate import Patch
from coatwright.planning.advice.context import Context
from coatwright.planning.advice.pricing import Price, simple_price
from coatwright.planning.advice.routes import Adviser
from coatwright.planning.advice.telling import trust
from coatwright.planning.plan import Finding, Route
from coatwright.sentences import joined


@dataclass(frozen=True, slots=True)
class Chosen:
    """The system of one patch, with what the rules say of each of its layers."""

    area: Area
    patch: Patch
    route: Route
    alternatives: tuple[Route, ...]
    materials: tuple[Material, ...]
    by_person: bool
    trusted: bool
    trust_reason: str

    @property
    def surface(self) -> float:
        """Surface of the patch [m2]."""
        return self.area.net() * self.patch.share

    def findings(self, product: str) -> tuple[Finding, ...]:
        """What the rules say of one product of the route."""
        return tuple(f for f in self.route.findings if f.layer == product)


def price_of(job: Job, area: Area, patch: Patch, adviser: Adviser) -> Price:
    """Prices for ranking routes on a patch, at the workshop's labour rate."""
    rate = job.workshop.rates.hour.amount
    return simple_price(area.net() * patch.share, rate, adviser.work)


def routes_on(
    job: Job, area: Area, patch: Patch, adviser: Adviser, library: Mapping[str, Material]
) -> tuple[Route, ...]:
    """Every route from what is on a patch to the job's topcoat, best first."""
    goal = [library[key] for key in job.topcoat]
    price = price_of(job, area, patch, adviser)
    return adviser.routes(patch, goal, Context.of(area, job), price)


def choose(
    job: Job, areas: Sequence[Area], adviser: Adviser, library: Mapping[str, Material]
) -> tuple[Chosen, ...]:
    """The system of every patch of the areas.

    Raises NotFound for a product without a sheet, Infeasible where the rules leave no way.
    """
    return tuple(
        _choose(job, area, patch, adviser, library) for area in areas for patch in area.patches
    )


def _choose(
    job: Job, area: Area, patch: Patch, adviser: Adviser, library: Mapping[str, Material]
) -> Chosen:
    context = Context.of(area, job)
    found = routes_on(job, area, patch, adviser, library)
    if patch.system is not None:
        wanted = [library[key] for key in patch.system]
        route = adviser.review(wanted, patch, context, price_of(job, area, patch, adviser)).route
    else:
        route = _best(area, patch, found)
    trusted, reason = trust(adviser.stack(patch, context))
    return Chosen(
        area,
        patch,
        route,
        tuple(r for r in found if r.key != route.key),
        tuple(library[key] for key in route.products),
        patch.system is not None,
        trusted,
        reason,
    )


def _best(area: Area, patch: Patch, found: Sequence[Route]) -> Route:
    possible = [route for route in found if route.possible]
    if not possible:
        reasons = joined("; ", (route.summary for route in found[:2]))
        raise Infeasible(
            f"no system may go on patch '{patch.key}' of '{area.key}'",
            instead=reasons or "the rules leave no way to the wanted topcoat",
        )
    return possible[0]

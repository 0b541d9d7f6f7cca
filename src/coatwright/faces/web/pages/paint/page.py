"""Paint: how much of each product, its mixes, and the mix bench with the scale."""

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from coatwright.actions import money
from coatwright.actions.floor import mixbench
from coatwright.errors import CoatwrightError
from coatwright.faces.papers.press import code
from coatwright.faces.web.answers import along, anybody, kept
from coatwright.faces.web.app import shop_of
from coatwright.faces.web.view import page


async def show(request: Request) -> Response:
    """Every product with its mixes, and what to buy."""
    shop, key = shop_of(request), request.path_params["job"]
    job = await run_in_threadpool(shop.open, key)
    plan = await run_in_threadpool(shop.planned, key)
    part = await along(listed, request, shop=True, clock="day") if plan else ""
    return page(request, "paint/page.html", job=job, part=part)


async def listed(request: Request) -> Response:
    """The products; computed now if they have not been."""
    shop, key = shop_of(request), request.path_params["job"]
    plan = await run_in_threadpool(shop.plan, key)
    mixes = await run_in_threadpool(mixbench.to_mix, shop, key)
    made = await run_in_threadpool(mixbench.mixes_made, shop, key)
    buy = await run_in_threadpool(money.to_buy, shop, key, shop.clock().astimezone().date())
    return page(
        request, "paint/_list.html", job=None, key=key, plan=plan, buy=buy, mixes=mixes, made=made,
        currency=plan.currency, titles={area.key: area.title for area in plan.areas},
    )  # fmt: skip


async def bench(request: Request) -> Response:
    """One mix on the scale."""
    shop, key = shop_of(request), request.path_params["job"]
    job = await run_in_threadpool(shop.open, key)
    found = await run_in_threadpool(mixbench.mix_bench, shop, key, request.path_params["mix"])
    data = {
        "mix": found.name,
        "product": found.need.key,
        "step": found.step,
        "density": found.density,
        "pot": found.batch.pot_life.value if found.batch.pot_life else None,
        "parts": [{"key": t.key, "kg": t.exact} for t in found.targets],
    }
    return page(request, "paint/bench.html", job=job, bench=found, data=data)


async def thinner(request: Request) -> Response:
    """Thinner to add after the flow cup has been timed."""
    shop, key = shop_of(request), request.path_params["job"]
    asked = request.query_params
    try:
        found = await run_in_threadpool(
            mixbench.thinner, shop, key, request.path_params["product"],
            asked.get("seconds", ""), asked.get("mass", ""),
        )  # fmt: skip
    except CoatwrightError as fault:
        return page(request, "recipes/_fault.html", job=None, fault=fault.sentence)
    return page(request, "paint/_thinner.html", job=None, found=found)


async def label(request: Request) -> Response:
    """A label for the cup, with a code that opens its page."""
    shop, key = shop_of(request), request.path_params["job"]
    job = await run_in_threadpool(shop.open, key)
    found = await run_in_threadpool(mixbench.mix_bench, shop, key, request.path_params["mix"])
    address = str(request.url).removesuffix("/label")
    return page(
        request, "paint/label.html", job=job, bench=found, code=code(address), made=found.made
    )


routes = [
    Route("/jobs/{job}/paint", kept(show, shop=True, clock="day")),
    Route("/jobs/{job}/paint/list", kept(listed, shop=True, clock="day", by=anybody)),
    Route("/jobs/{job}/paint/{product}/thinner", thinner),
    Route("/jobs/{job}/mixes/{mix:path}/label", label),
    Route("/jobs/{job}/mixes/{mix:path}", kept(bench, shop=True)),
]

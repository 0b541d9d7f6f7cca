"""The mix bench in a browser: a slip is put right on the phone as the engine would.

The page reckons by itself, so that it works while the network is down. What it shows is held here
to engines.mixing.over_pour, the smallest mix in ratio that contains what is in the cup.
"""

import json
import random
import re
from functools import partial

import numpy as np
import pytest

from coatwright.engines import mixing
from coatwright.planning.supplies.mixsheet import pours, ready_mix
from web_server import served, sprayed_board

pytestmark = pytest.mark.browser

SHOWN = 0.06e-3
"""The page shows a tenth of a gram [kg]."""

POUR = """readings => {
    const boxes = [...document.querySelectorAll('[data-real]')];
    boxes.forEach((box, i) => { box.value = readings[i]; });
    boxes[0].dispatchEvent(new Event('input', {bubbles: true}));
    const text = name => [...document.querySelectorAll(`[data-${name}]`)].map(e => e.textContent);
    return {
        target: text('target').map(Number), alone: text('alone').map(Number),
        slip: !document.querySelector('[data-slip]').hidden,
        more: !document.querySelector('[data-more]').hidden,
        grams: Number(document.querySelector('[data-grams]').textContent || 0),
        part: Number(document.querySelector('[data-more]').dataset.part ?? -1),
    };
}"""

PARTS = re.compile(r'(?<=id="mix">).*?(?=</script>)', re.DOTALL)


@pytest.fixture(scope="module")
def shop(tmp_path_factory):
    with sprayed_board(tmp_path_factory.mktemp("shop")) as made:
        yield made


@pytest.fixture(scope="module")
def need(shop):
    return next(n for n in shop.plan("board").products if n.batches and len(n.batches[0].pours) > 2)


@pytest.fixture
def page(browser, shop, need):
    with served(shop) as address:
        context = browser.new_context(viewport={"width": 390, "height": 844})
        opened = context.new_page()
        opened.goto(f"{address}/jobs/board/mixes/{need.batches[0].key}")
        yield opened
        context.close()


def engine_wants(ready, planned, in_cup):
    """Mass of each component in all [kg]: the engine's, and never less than the batch planned."""
    more = mixing.over_pour(in_cup, ready.parts, ready.densities)
    return np.maximum(np.asarray(in_cup) + more, planned)


def test_every_slip_is_put_right_as_the_engine_puts_it_right(page, shop, need):
    """Sixty random pours: some components in the cup, up to a third too much or a bit short."""
    bench = shop.open("board").bench
    ready = ready_mix(bench.library[need.key], bench.job.workshop)
    planned = np.array([one.mass.value for one in need.batches[0].pours])
    chance = random.Random(20_261)
    slips = adds = 0
    for _ in range(60):
        count = chance.randint(1, len(planned))
        in_cup = np.zeros(len(planned))
        for place in range(count):
            in_cup[place] = planned[place] * chance.uniform(0.97, 1.35)
        scale = np.round(np.cumsum(in_cup) * 1e3, 1)
        readings = [f"{one:.1f}" if n < count else "" for n, one in enumerate(scale)]
        in_cup = np.diff(scale[:count], prepend=0.0) / 1e3
        in_cup = np.concatenate([in_cup, np.zeros(len(planned) - count)])
        seen = page.evaluate(POUR, readings)
        wanted = engine_wants(ready, planned, in_cup)
        poured = in_cup > 0
        alone = np.where(poured, in_cup, wanted)
        assert np.array(seen["alone"]) / 1e3 == pytest.approx(alone, abs=SHOWN)
        assert np.array(seen["target"]) / 1e3 == pytest.approx(np.cumsum(alone), abs=SHOWN)
        short = wanted - in_cup
        if count == len(planned) and (short > 2 * bench.job.workshop.scale.resolution).any():
            adds += 1
            assert seen["more"]
            assert seen["grams"] / 1e3 == pytest.approx(short[seen["part"]], abs=SHOWN)
        if (wanted > planned * 1.05).any():
            slips += 1
            assert seen["slip"]
    assert min(slips, adds) > 10  # both ways of being wrong were really tried


def test_no_slip_asks_for_nothing(page, need):
    """Poured to the sheet, the page keeps to the sheet and the mix may be stirred."""
    readings = [f"{one.on_scale.value * 1e3:.1f}" for one in need.batches[0].pours]
    seen = page.evaluate(POUR, readings)
    assert (seen["slip"], seen["more"]) == (False, False)
    assert page.locator("[data-mixed]").is_enabled()


def answered(body, route):
    route.fulfill(body=body, content_type="text/html")


def test_what_the_scale_cannot_show_is_no_slip(page, shop, need):
    """Whatever the size of a mix, poured until the scale shows what the page says, it is ready.

    A step of the scale is much of a light part, and would make the heavy ones grams short.
    """
    bench = shop.open("board").bench
    ready = ready_mix(bench.library[need.key], bench.job.workshop)
    text, told = page.content(), json.loads(page.locator("#mix").text_content())
    for volume in (63e-6, 110e-6, 230e-6, 470e-6, 610e-6, 980e-6):
        masses = [line.mass.value for line in pours(ready, volume, told["step"])]
        parts = [one | {"kg": kg} for one, kg in zip(told["parts"], masses, strict=True)]
        body = PARTS.sub(json.dumps(told | {"parts": parts}), text)
        page.route(page.url, partial(answered, body), times=1)
        page.reload()
        page.locator("[data-real]").first.dispatch_event("input")  # reckoned anew of other masses
        for row in page.locator("li[data-part]").all():
            row.get_by_role("button", name="Poured").click()
        assert page.locator("[data-more]").is_hidden()
        assert page.locator("[data-slip]").is_hidden()
        assert page.locator("[data-mixed]").is_enabled()

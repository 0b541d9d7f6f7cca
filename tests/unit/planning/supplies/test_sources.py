"""Every figure of paint and money names a source that exists."""

import tomllib
from importlib.resources import files

from coatwright.figures import Figure, walk
from coatwright.planning.supplies.batching import product_needs
from coatwright.planning.supplies.buying import Work, buying_list, consumables_for
from coatwright.planning.supplies.cost import Bill, Labour, cost_of
from coatwright.planning.supplies.mixsheet import mix_sheet
from coatwright.planning.supplies.quantity import Demand
from paint import gun, sheets, workshop

FOLDER = files("coatwright") / "data" / "sources"
KEYS = {
    key
    for file in FOLDER.iterdir()
    if file.name.endswith(".toml")
    for key in tomllib.loads(file.read_text("utf-8"))
}
PLAIN = {"job file", "common practice, no source"}


def known(source: str) -> bool:
    return source in KEYS | PLAIN or source.removeprefix("sheet:") in sheets()


def every(thing: object) -> list[tuple[str, Figure]]:
    found = walk(thing)
    for path, figure in list(found):
        found += [(f"{path}.{name}", inner) for name, inner in walk(dict(figure.inputs))]
    return found


def test_every_figure_has_one() -> None:
    materials, shop, spraying = sheets(), workshop(), gun()
    rows = [
        Demand("bay", key, 1, 7e-4, 3e-4, 600.0, 0.1, 0.1, spraying, surface=3.0)
        for key in materials
    ]
    needs = product_needs(rows, materials, shop)
    purchases = buying_list(needs, materials, shop)
    work = Work(10.0, 10.0, {"P320": 5.0}, 1.0)
    lines = consumables_for(work, rows, needs, materials, shop)
    hours = Labour("rub", "rub", Figure(3600.0, "hours", "assumed", "common practice, no source"))
    cost = cost_of(purchases, lines, Bill((hours,)), needs, shop)
    mixes = [mix_sheet(material, shop, volume=5e-4) for material in materials.values()]
    found = every((needs, purchases, lines, cost, mixes))
    assert len(found) > 500
    assert [path for path, figure in found if not known(figure.source)] == []

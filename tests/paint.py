"""A gun, a shop and a two-pack paint with round numbers, and the shipped sheets, for tests."""

from functools import cache
from importlib.resources import files
from pathlib import Path

from coatwright.intake import toml
from coatwright.model.kit import Climate, Footprint, Gun, Rates, Scale, Workshop
from coatwright.model.material import Component, Material, Pack, Thinning

WARM = 293.15


def gun(key: str = "gun", cup: float = 6e-4, residue: float = 4e-5) -> Gun:
    """3 mL/s through a cup of 600 mL."""
    return Gun(
        key=key, title=key, nozzle=1.3e-3, kind="hvlp", cup=cup,
        footprint=Footprint(length=0.25, width=0.06, spot=0.03), fluid=3e-6, fluid_pressure=2e5,
        air=5e-3, pressure_min=1e5, pressure_max=3e5, distance_min=0.1, distance_max=0.2,
        transfer=0.6, residue=residue,
    )  # fmt: skip


def workshop(air: float = WARM, **more: object) -> Workshop:
    """A shop with one gun, a cup of 1 L and a scale of 0.1 g."""
    usual: dict[str, object] = {
        "title": "shop", "guns": (gun(),), "rates": Rates(labour="40 GBP/h"),
        "climate": Climate(air=air), "scale": Scale(resolution=1e-4), "mixing_cup": 1e-3,
    }  # fmt: skip
    return Workshop(**(usual | more))  # type: ignore[arg-type]


def packs(*rows: tuple[float, str]) -> tuple[Pack, ...]:
    """Packs by litres and price."""
    return tuple(Pack(size=litres * 1e-3, price=price) for litres, price in rows)


def two_pack(key: str = "colour", thinner: float = 0.1, **more: object) -> Material:
    """2:1 with so much thinner; densities 1.30, 1.05, 0.87, VOC mass fractions 0.3077, 0.35, 1."""
    usual = sheet("solid-two-pack").model_dump() | {
        "key": key,
        "title": f"two-pack {key}",
        "components": (
            Component(
                key=f"{key}-base", title="base", role="base", parts=2, density=1300.0,
                volume_solids=0.5, voc=0.3077 * 1300, opened_life=3.15e7,
                packs=packs((1, "40 GBP"), (3, "100 GBP")),
            ),
            Component(
                key=f"{key}-hardener", title="hardener", role="hardener", parts=1, density=1050.0,
                volume_solids=0.5, voc=0.35 * 1050, packs=packs((0.5, "20 GBP"), (1, "35 GBP")),
            ),
            Component(
                key="thinner", title="two-pack thinner", role="thinner", parts=0, density=870.0,
                volume_solids=0.0, voc=870.0, packs=packs((1, "8 GBP"), (5, "30 GBP")),
            ),
        ),
        "thinning": Thinning(min=thinner, max=thinner, usual=thinner),
    }  # fmt: skip
    return Material.model_validate(usual | more)


@cache
def sheets() -> dict[str, Material]:
    """The shipped product sheets by key."""
    folder = Path(str(files("coatwright"))) / "data" / "products"
    found = (toml.fill(toml.load(file), Material) for file in sorted(folder.glob("*.toml")))
    return {material.key: material for material in found}


def sheet(key: str) -> Material:
    """One of the shipped product sheets."""
    return sheets()[key]

"""The walk finds every Figure of a nested structure, once, with an address to ask for it by."""

from dataclasses import dataclass

import numpy as np

from coatwright.figures import Figure, walk


def figure(value: float) -> Figure:
    return Figure(value, "length", "formula", "derived")


@dataclass(frozen=True)
class Leaf:
    key: str
    film: Figure


@dataclass(frozen=True)
class Tree:
    total: Figure
    leaves: tuple[Leaf, ...]
    named: dict[str, Figure]
    pairs: list[Figure]
    missing: Figure | None
    words: tuple[str, ...]
    samples: np.ndarray


TREE = Tree(
    figure(1),
    (Leaf("roof", figure(2)), Leaf("sill", figure(3))),
    {"epoxy": figure(4)},
    [figure(5), figure(6)],
    None,
    ("a", "b"),
    np.zeros(3),
)


def test_every_figure_has_an_address():
    assert [(path, found.value) for path, found in walk(TREE)] == [
        ("total", 1),
        ("leaves.roof.film", 2),
        ("leaves.sill.film", 3),
        ("named.epoxy", 4),
        ("pairs.0", 5),
        ("pairs.1", 6),
    ]


def test_addresses_can_be_put_below_another():
    assert [path for path, _ in walk(TREE.leaves, "plan.leaves")] == [
        "plan.leaves.roof.film",
        "plan.leaves.sill.film",
    ]


def test_a_figure_alone_and_things_without_any():
    one = figure(7)
    assert walk(one, "x") == [("x", one)]
    assert walk("text") == walk(3.0) == walk(None) == walk(Leaf) == []


def test_what_a_figure_was_made_from_is_not_a_figure_of_the_plan():
    made = Figure(8.0, "length", "formula", "derived", inputs={"film": figure(9)})
    assert walk({"made": made}) == [("made", made)]

"""Areas worked on in one go: alike in their layers, together no more than a cup of paint."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from coatwright.model.kit import Workshop
from coatwright.model.material import Material
from coatwright.planning.day import habits
from coatwright.planning.day.works import AreaWork, LayerWork
from coatwright.sentences import joined, say


@dataclass(frozen=True)
class Room:
    """What a set must fit: the mixing cup [m3], and pot lives by product [s]."""

    cup: float
    lives: Mapping[str, float | None]


@dataclass(frozen=True)
class AreaSet:
    """Areas done one after another, pockets first: all take the same products in the same order."""

    key: str
    works: tuple[AreaWork, ...]

    @property
    def title(self) -> str:
        """Its areas as a person lists them, the first few by name."""
        names = [work.area.title for work in self.works]
        if len(names) > 3:
            return say(
                "{names}, {names2} and {names3} more areas",
                names=names[0],
                names2=names[1],
                names3=len(names) - 2,
            )
        return (
            names[0]
            if len(names) == 1
            else say("{names} and {names2}", names=joined(", ", names[:-1]), names2=names[-1])
        )

    @property
    def zone(self) -> str:
        """Where its areas are."""
        return self.works[0].area.zone

    @property
    def hand(self) -> str:
        """Who sprays it."""
        return self.works[0].hand

    @property
    def metal(self) -> bool:
        """Whether any of it is bare metal."""
        return any(work.metal for work in self.works)

    @property
    def products(self) -> tuple[str, ...]:
        """Its products in order."""
        return self.works[0].chain

    def layer(self, index: int) -> tuple[LayerWork, ...]:
        """One layer, area by area."""
        return tuple(work.layers[index] for work in self.works)

    def coats(self, index: int) -> int:
        """Most coats any of its areas takes of a layer."""
        return max(len(layer.coats) for layer in self.layer(index))


def mixed(material: Material) -> bool:
    """Whether a product is mixed in pots, rather than used as it comes from the tin."""
    return len(material.components) > 1 or material.pot_life is not None


def room_of(workshop: Workshop, lives: Mapping[str, float | None]) -> Room:
    """What a set must fit in this shop."""
    return Room(workshop.mixing_cup, lives)


def area_sets(works: Sequence[AreaWork], room: Room) -> tuple[AreaSet, ...]:
    """The sets of a job, in the order of its areas; single areas where there are few."""
    groups: list[list[AreaWork]] = []
    for work in works:
        home = next((g for g in groups if len(works) > habits.FEW_AREAS and _joins(work, g, room)),
                    None)  # fmt: skip
        if home is None:
            groups.append([work])
        else:
            home.append(work)
    ordered = [sorted(group, key=lambda one: not one.pocket) for group in groups]
    return tuple(
        AreaSet(f"set-{number}" if len(group) > 1 else group[0].area.key, tuple(group))
        for number, group in enumerate(ordered, 1)
    )


def _joins(work: AreaWork, group: Sequence[AreaWork], room: Room) -> bool:
    return _kind(work) == _kind(group[0]) and all(
        _fits(work, group, room, index) for index in range(len(work.layers))
    )


def _kind(work: AreaWork) -> tuple[object, ...]:
    """What must be alike: products, place, hand, ground, and whether a test keeps it back."""
    tested = any(act.wait > 0.0 for act in work.layers[0].acts)
    return work.chain, work.area.zone, work.hand, work.metal, tested


def _fits(work: AreaWork, group: Sequence[AreaWork], room: Room, index: int) -> bool:
    """Whether one coat of one layer still fits the cup and the pot life."""
    layers = [one.layers[index] for one in (*group, work)]
    material = layers[0].material
    for coat in range(max(len(layer.coats) for layer in layers)):
        coats = [layer.coats[coat] for layer in layers if coat < len(layer.coats)]
        if mixed(material) and sum(one.paint for one in coats) > room.cup:
            return False
        life = room.lives.get(material.key)
        taken = sum(one.seconds for one in coats) + habits.MIXING + habits.GUN_CLEANING
        if life is not None and taken + material.induction > life * habits.POT_SHARE:
            return False
    return True

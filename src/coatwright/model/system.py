"""A paint system: the ordered layers on a substrate (the term of ISO 12944)."""

from coatwright.model.material import Material
from coatwright.model.quantity import Part


class PaintSystem(Part):
    """Products in order, metal outwards."""

    materials: tuple[Material, ...]

    @property
    def keys(self) -> tuple[str, ...]:
        """Product keys in order."""
        return tuple(material.key for material in self.materials)

"""The paint record for the owner: plan and record joined into plain data."""

from coatwright.actions.dossier.making import dossier, dossier_in, dossier_of
from coatwright.actions.dossier.told import Dossier

__all__ = ["Dossier", "dossier", "dossier_in", "dossier_of"]

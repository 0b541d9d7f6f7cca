"""Coatwright: the film, the paint, the mix and the money of a respray, from shape and stroke."""

__version__ = "0.1.0"

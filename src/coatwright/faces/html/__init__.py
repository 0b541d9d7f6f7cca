"""The plan as one HTML file that needs nothing else: no script, no network, prints well."""

from coatwright.faces.html.page import render

__all__ = ["render"]

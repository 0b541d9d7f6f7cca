"""Shared pictures as SVG text; each also comes as rows or a sentence for those who read."""

from coatwright.faces.drawing.choices import choices_svg, risk_svg
from coatwright.faces.drawing.profile import limit_text, profile_rows, profile_svg
from coatwright.faces.drawing.section import section_rows, section_scale, section_svg

__all__ = [
    "choices_svg",
    "limit_text",
    "profile_rows",
    "profile_svg",
    "risk_svg",
    "section_rows",
    "section_scale",
    "section_svg",
]

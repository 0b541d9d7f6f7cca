"""Shared pictures as SVG text; each also comes as rows or a sentence for those who read."""

from coatwright.faces.drawing.choices import choices_svg, risk_svg
from coatwright.faces.drawing.ink import look
from coatwright.faces.drawing.profile import limit_text, profile_rows, profile_svg
from coatwright.faces.drawing.section import coats_svg, section_rows, section_scale, section_svg
from coatwright.faces.drawing.trace import pressure_rows, pressure_svg
from coatwright.faces.drawing.weather import day_rows, day_svg, go_svg
from coatwright.faces.drawing.windows import windows_svg

__all__ = [
    "choices_svg",
    "coats_svg",
    "day_rows",
    "day_svg",
    "go_svg",
    "limit_text",
    "look",
    "pressure_rows",
    "pressure_svg",
    "profile_rows",
    "profile_svg",
    "risk_svg",
    "section_rows",
    "section_scale",
    "section_svg",
    "windows_svg",
]

"""Setting a paper: data and pictures into a template, out comes a tagged PDF.

All text goes in as data, so nothing a person wrote is ever taken for markup. The texts of the
templates stand in them in English, each as t("..."); other languages go in as data too.
"""

import json
import re
from collections.abc import Iterator, Mapping
from functools import cache
from importlib.resources import files
from importlib.resources.abc import Traversable
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any, Final, Literal

import segno
import typst

from coatwright.faces.telling import ENGLISH, Tongue

Paper = Literal["a4", "us-letter"]

STANDARD: Final = "ua-1"
"""PDF/UA-1 (ISO 14289-1): every picture has words beside it, every page its structure."""


def press(
    template: str,
    data: Mapping[str, Any],
    paper: Paper = "a4",
    pictures: Mapping[str, bytes] | None = None,
    tongue: Tongue = ENGLISH,
) -> bytes:
    """A paper as PDF. pictures: photographs by the name that the data calls them.

    tongue: the language of what the template says, and by which the paper is tagged. The same data
    gives the same bytes: no moment of making is written into the file.
    """
    said = {**data, "paper": paper, "lang": tongue.key, "texts": _told(tongue)}
    with TemporaryDirectory() as place:
        root = Path(place)
        for name, text in _templates().items():
            (root / name).write_text(text, encoding="utf-8")
        for name, picture in (pictures or {}).items():
            (root / name).write_bytes(picture)
        made: bytes = typst.compile(
            str(root / f"{template}.typ"),
            root=str(root),
            format="pdf",
            ignore_system_fonts=True,
            sys_inputs={"data": json.dumps(said, ensure_ascii=False)},
            pdf_standards=[STANDARD],
        )
    return made


@cache
def _templates() -> Mapping[str, str]:
    """Each template by the name of its file."""
    found: list[Traversable] = list((files("coatwright.faces.papers") / "templates").iterdir())
    return {one.name: one.read_text("utf-8") for one in found if one.name.endswith(".typ")}


_TEXT: Final = re.compile(r'\bt\("([^"]+)"\)')


def template_texts() -> Iterator[str]:
    """Every text that stands in a template."""
    for text in _templates().values():
        yield from _TEXT.findall(text)


def _told(tongue: Tongue) -> Mapping[str, str]:
    """The texts of the templates in a language; none for English, in which they stand there."""
    if tongue.key == "en":
        return {}
    return {text: tongue.translate(text) for text in template_texts()}


def prints(name: str, picture: bytes) -> bool:
    """Whether a photograph can be set at all: one that is cut short would spoil the whole paper."""
    with TemporaryDirectory() as place:
        root = Path(place)
        (root / name).write_bytes(picture)
        (root / "one.typ").write_text(f'#image("{name}")', encoding="utf-8")
        try:
            typst.compile(str(root / "one.typ"), root=place, format="pdf", ignore_system_fonts=True)
        except typst.TypstError:
            return False
    return True


def code(address: str) -> str:
    """A QR code (ISO/IEC 18004) of an address, as SVG text."""
    made: str = segno.make(address, error="m").svg_inline(scale=4, border=2, dark="#000")
    return made

"""Setting a paper: data and pictures into a template, out comes a tagged PDF.

All text goes in as data, so nothing a person wrote is ever taken for markup.
"""

import json
from collections.abc import Mapping
from importlib.resources import files
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any, Final, Literal

import segno
import typst

Paper = Literal["a4", "us-letter"]

STANDARD: Final = "ua-1"
"""PDF/UA-1 (ISO 14289-1): every picture has words beside it, every page its structure."""


def press(
    template: str,
    data: Mapping[str, Any],
    paper: Paper = "a4",
    pictures: Mapping[str, bytes] | None = None,
) -> bytes:
    """A paper as PDF. pictures: photographs by the name that the data calls them.

    The same data gives the same bytes: no moment of making is written into the file.
    """
    source = Path(str(files("coatwright.faces.papers"))) / "templates"
    with TemporaryDirectory() as place:
        root = Path(place)
        for path in source.glob("*.typ"):
            (root / path.name).write_bytes(path.read_bytes())
        for name, picture in (pictures or {}).items():
            (root / name).write_bytes(picture)
        made: bytes = typst.compile(
            str(root / f"{template}.typ"),
            root=str(root),
            format="pdf",
            ignore_system_fonts=True,
            sys_inputs={"data": json.dumps({**data, "paper": paper}, ensure_ascii=False)},
            pdf_standards=[STANDARD],
        )
    return made


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

"""Reads a PDF back: its text, whether it is tagged, the words that stand for its pictures."""

import io
from collections.abc import Iterator

import pypdf

MARGIN = 54.0
"""Head and foot of a page [pt]: what repeats there is no part of the running text."""


def text_of(pdf: bytes) -> str:
    """All running text, spaces made even."""
    return even("\n".join(map(_running, pypdf.PdfReader(io.BytesIO(pdf)).pages)))


def _running(page: pypdf.PageObject) -> str:
    kept: list[str] = []
    top = float(page.mediabox.height) - MARGIN

    def see(text: str, page: list[float], line: list[float], *_: object) -> None:
        height = line[4] * page[1] + line[5] * page[3] + page[5]
        if MARGIN < height < top or not text.strip():
            kept.append(text)

    page.extract_text(visitor_text=see)
    return "".join(kept)


def even(text: str) -> str:
    """Text with every run of white space as one space, and none before a stop."""
    return " ".join(text.replace("\xa0", " ").split())


def bare(text: str) -> str:
    """Text without any white space: where a cell breaks its lines does not count."""
    return "".join(text.split())


def size_of(pdf: bytes) -> tuple[int, int]:
    """Width and height of the first page [pt]."""
    box = pypdf.PdfReader(io.BytesIO(pdf)).pages[0].mediabox
    return round(box.width), round(box.height)


def standard_of(pdf: bytes) -> str:
    """The part of PDF/UA that the file claims to keep."""
    reader = pypdf.PdfReader(io.BytesIO(pdf))
    assert reader.trailer["/Root"]["/MarkInfo"]["/Marked"]
    data = reader.trailer["/Root"]["/Metadata"].get_object().get_data().decode()
    return data.split("pdfuaid:part>")[1].split("<")[0]


def alternatives(pdf: bytes) -> list[str]:
    """The words that stand for each picture, in order."""
    root = pypdf.PdfReader(io.BytesIO(pdf)).trailer["/Root"]["/StructTreeRoot"]
    return list(_alternatives(root))


def kinds(pdf: bytes) -> set[str]:
    """The kinds of element that the structure is made of."""
    root = pypdf.PdfReader(io.BytesIO(pdf)).trailer["/Root"]["/StructTreeRoot"]
    return {str(node["/S"]) for node in _nodes(root) if "/S" in node}


def _alternatives(root: object) -> Iterator[str]:
    for node in _nodes(root):
        if node.get("/S") == "/Figure":
            yield str(node.get("/Alt", ""))


def _nodes(node: object) -> Iterator[pypdf.generic.DictionaryObject]:
    if isinstance(node, pypdf.generic.IndirectObject):
        node = node.get_object()
    if isinstance(node, pypdf.generic.ArrayObject):
        for one in node:
            yield from _nodes(one)
    elif isinstance(node, pypdf.generic.DictionaryObject):
        yield node
        if "/K" in node:
            yield from _nodes(node["/K"])

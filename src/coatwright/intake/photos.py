"""A photograph from a file: looked at before it is decoded, so that a fault names the file.

Only the first bytes are understood here: what kind of picture it is and how large. Turning the
bytes into pixels, upright as the EXIF orientation says, is the test card's own affair.
"""

import struct
from collections.abc import Iterator
from pathlib import Path
from typing import Final, NamedTuple

from coatwright.errors import InputError
from coatwright.sentences import say

MOST_BYTES: Final = 40_000_000
MOST_PIXELS: Final = 80_000_000
LEAST_SIDE: Final = 300

_JPEG: Final = b"\xff\xd8\xff"
_PNG: Final = b"\x89PNG\r\n\x1a\n"
_HEIF: Final = (b"heic", b"heix", b"mif1", b"hevc", b"avif")
# Start-of-frame segments hold the size; C4, C8 and CC are tables.
_FRAMES: Final = frozenset(range(0xC0, 0xD0)) - {0xC4, 0xC8, 0xCC}


class Photo(NamedTuple):
    """A photograph as it lies in its file, and its size in pixels before any turning."""

    file: str
    encoded: bytes
    width: int
    height: int


def read_photo(path: Path) -> Photo:
    """A photograph from a JPEG or PNG file; InputError names the file and what would be right."""
    file = str(path)
    try:
        size = path.stat().st_size
        if size > MOST_BYTES:
            raise InputError(
                say(
                    "the file has {size:.0f} MB, {most:.0f} MB are allowed",
                    size=size / 1000000.0,
                    most=MOST_BYTES / 1000000.0,
                ),
                file=file,
                instead=say("save the picture smaller; 12 megapixels are plenty"),
            )
        encoded = path.read_bytes()
    except OSError as fault:
        raise InputError(
            say("the file cannot be read ({fault})", fault=fault.strerror or "unknown reason"),
            file=file,
            instead=say("check the path and that you may read it"),
        ) from None
    width, height = _size(encoded, file)
    _sensible(width, height, file)
    return Photo(file, encoded, width, height)


def _size(encoded: bytes, file: str) -> tuple[int, int]:
    if encoded.startswith(_JPEG):
        found = next(_frames(encoded), None)
    elif encoded.startswith(_PNG) and len(encoded) >= 24:
        found = struct.unpack(">II", encoded[16:24])
    elif encoded[8:12] in _HEIF:
        raise InputError(
            say("this is a HEIF picture, which is not read"),
            file=file,
            instead=say("set the phone's camera to JPEG, or save the picture as JPEG"),
        )
    else:
        raise InputError(
            say("this is no JPEG or PNG picture"), file=file, instead=say("save it as JPEG or PNG")
        )
    if found is None:
        raise InputError(say("the picture is damaged"), file=file, instead=say("copy it anew"))
    return int(found[0]), int(found[1])


def _frames(encoded: bytes) -> Iterator[tuple[int, int]]:
    """Width and height from every frame header of a JPEG file."""
    at = 2
    while at + 9 < len(encoded) and encoded[at] == 0xFF:
        mark = encoded[at + 1]
        if mark == 0xFF:
            at += 1
            continue
        if mark in _FRAMES:
            height, width = struct.unpack(">HH", encoded[at + 5 : at + 9])
            yield width, height
        at += 2 + struct.unpack(">H", encoded[at + 2 : at + 4])[0]


def _sensible(width: int, height: int, file: str) -> None:
    if width * height > MOST_PIXELS:
        raise InputError(
            say(
                "the picture has {width} x {height} pixels, {most:.0f} million are allowed",
                width=width,
                height=height,
                most=MOST_PIXELS / 1000000.0,
            ),
            file=file,
            instead=say("save it smaller; 12 megapixels are plenty"),
        )
    if min(width, height) < LEAST_SIDE:
        raise InputError(
            say("the picture has only {width} x {height} pixels", width=width, height=height),
            file=file,
            instead=say("use the picture as the camera saved it, not a thumbnail"),
        )

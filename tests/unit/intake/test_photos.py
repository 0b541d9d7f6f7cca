"""Photographs: what is no picture, too large or damaged is refused by name."""

import struct

import cv2
import numpy as np
import pytest

from coatwright.engines.card.rectify import decode
from coatwright.errors import InputError
from coatwright.intake import photos
from coatwright.intake.photos import read_photo


def picture(suffix=".jpg", width=640, height=480):
    pixels = np.zeros((height, width, 3), np.uint8)
    pixels[: height // 4, : width // 4] = (255, 255, 255)
    return cv2.imencode(suffix, pixels)[1].tobytes()


def turned(orientation):
    """The JPEG with an EXIF segment that holds nothing but its orientation (EXIF tag 0x0112)."""
    entry = struct.pack(">HHIHH", 0x0112, 3, 1, orientation, 0)
    body = b"Exif\0\0MM\0*\0\0\0\x08" + struct.pack(">H", 1) + entry + b"\0\0\0\0"
    plain = picture()
    return plain[:2] + b"\xff\xe1" + struct.pack(">H", len(body) + 2) + body + plain[2:]


@pytest.mark.parametrize("suffix", [".jpg", ".png"])
def test_size_and_bytes(tmp_path, suffix):
    file = tmp_path / f"card{suffix}"
    file.write_bytes(picture(suffix))
    found = read_photo(file)
    assert (found.width, found.height) == (640, 480)
    assert found.encoded == file.read_bytes()


# Where the white corner stands once the picture is upright, by EXIF 2.3, tag Orientation.
CORNERS = {1: (0, 0), 2: (0, 1), 3: (1, 1), 4: (1, 0), 5: (0, 0), 6: (0, 1), 7: (1, 1), 8: (1, 0)}


@pytest.mark.parametrize(("orientation", "corner"), CORNERS.items())
def test_turned_as_its_exif_says(tmp_path, orientation, corner):
    file = tmp_path / "card.jpg"
    file.write_bytes(turned(orientation))
    pixels = decode(np.frombuffer(read_photo(file).encoded, np.uint8))
    assert pixels.shape[:2] == ((480, 640) if orientation < 5 else (640, 480))
    row, column = (-20 * end + 10 * (1 - end) for end in corner)
    assert pixels[row, column].min() > 240
    assert pixels[pixels.shape[0] // 2, pixels.shape[1] // 2].max() < 15


@pytest.mark.parametrize(
    ("content", "sentence"),
    [
        (b"", "this is no JPEG or PNG picture; save it as JPEG or PNG"),
        (b"GIF89a" + bytes(40), "this is no JPEG or PNG picture; save it as JPEG or PNG"),
        (
            b"\0\0\0\x18ftypheic" + bytes(40),
            "this is a HEIF picture, which is not read; set the phone's camera to JPEG, or save "
            "the picture as JPEG",
        ),
        (picture()[:12], "the picture is damaged; copy it anew"),
        (
            picture(width=120, height=90),
            "the picture has only 120 x 90 pixels; use the picture as the camera saved it, not a "
            "thumbnail",
        ),
    ],
)
def test_what_is_no_photograph(tmp_path, content, sentence):
    file = tmp_path / "card.jpg"
    file.write_bytes(content)
    with pytest.raises(InputError) as refused:
        read_photo(file)
    assert str(refused.value) == f"{file}: {sentence}"


def test_a_huge_one_is_refused_before_it_is_decoded(tmp_path, monkeypatch):
    head = b"\x89PNG\r\n\x1a\n" + struct.pack(">I", 13) + b"IHDR" + struct.pack(">II", 60000, 60000)
    file = tmp_path / "card.png"
    file.write_bytes(head)
    with pytest.raises(InputError, match="60000 x 60000 pixels, 80 million are allowed"):
        read_photo(file)
    monkeypatch.setattr(photos, "MOST_BYTES", 10)
    with pytest.raises(InputError, match="the file has 0 MB, 0 MB are allowed"):
        read_photo(file)


def test_no_such_file(tmp_path):
    with pytest.raises(InputError, match="No such file"):
        read_photo(tmp_path / "gone.jpg")

"""Attached files, each under the SHA-256 of what is in it, so that none can change unseen."""

import hashlib
import os
import re
from pathlib import Path
from tempfile import NamedTemporaryFile

from coatwright.errors import NotFound, StoreError

_NAME = re.compile(r"[0-9a-f]{64}")


class Files:
    """A folder of attached files: aa/aabbcc... ; a file is whole or not there at all."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder

    def put(self, data: bytes) -> str:
        """Keep a file; its SHA-256, once it is safely on disk."""
        name = digest(data)
        place = self._place(name)
        if place.exists() and digest(place.read_bytes()) == name:
            return name
        try:
            place.parent.mkdir(parents=True, exist_ok=True)
            with NamedTemporaryFile(dir=place.parent, prefix=".new-", delete=False) as new:
                new.write(data)
                new.flush()
                os.fsync(new.fileno())
            Path(new.name).replace(place)
            for folder in (place.parent, self.folder):
                _sync(folder)
        except OSError as fault:
            raise StoreError(f"a file cannot be kept: {fault}", where=str(self.folder)) from fault
        return name

    def get(self, name: str) -> bytes:
        """What is in a file, checked against its name."""
        place = self._place(name)
        try:
            data = place.read_bytes()
        except OSError as fault:
            raise NotFound(f"the attached file {name} is not there", where=str(place)) from fault
        if digest(data) != name:
            raise StoreError(f"the attached file {name} was changed or damaged", where=str(place))
        return data

    def has(self, name: str) -> bool:
        """Whether there is such a file."""
        return _NAME.fullmatch(name) is not None and self._place(name).exists()

    def _place(self, name: str) -> Path:
        if not _NAME.fullmatch(name):
            raise NotFound(f"'{name}' is not the SHA-256 of a file")
        return self.folder / name[:2] / name


def digest(data: bytes) -> str:
    """SHA-256 in hexadecimal."""
    return hashlib.sha256(data).hexdigest()


def _sync(folder: Path) -> None:
    """Write the names in a folder to disk; Windows has no such thing."""
    if os.name == "nt":
        return
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)

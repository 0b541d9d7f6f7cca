"""Scripts, styles and pictures as they are served: read once, compressed once, kept by phones.

Their address holds a mark that changes with any of them, as a folder: what a module imports from
beside it has the same mark, so that none is ever stale, and none runs twice under two addresses.
"""

import gzip
import hashlib
import mimetypes
import re
from collections.abc import Mapping
from functools import cache
from importlib.resources import files
from pathlib import Path
from typing import Final, NamedTuple

from markupsafe import Markup
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response

FOR_GOOD: Final = "public, max-age=31536000, immutable"

_NOTE: Final = re.compile(r"/\*.*?\*/\s*", re.DOTALL)
_MARKED: Final = re.compile(r"[0-9a-f]{10}/")


class Asset(NamedTuple):
    """One file: as it is, compressed, and what kind of thing it is."""

    data: bytes
    packed: bytes
    kind: str


@cache
def assets() -> Mapping[str, Asset]:
    """Every file of static/, by its path in there."""
    root = Path(str(files("coatwright.faces.web"))) / "static"
    return {
        path.relative_to(root).as_posix(): _read(path)
        for path in sorted(root.rglob("*"))
        if path.is_file()
    }


@cache
def mark() -> str:
    """Changes with every script, style sheet and picture: part of their addresses."""
    found = hashlib.sha256()
    for asset in assets().values():
        found.update(asset.data)
    return found.hexdigest()[:10]


def address(path: str) -> str:
    """Where a file of static/ is served, to be kept for good."""
    return f"/static/{mark()}/{path}"


@cache
def style(path: str) -> Markup:
    """A style sheet inside its page: what is seen first then waits for one answer, not for two."""
    text = assets()[path].data.decode()
    return Markup("<style>{}</style>").format(Markup(_NOTE.sub("", text).strip()))


async def give(request: Request) -> Response:
    """A file; asked for without its mark, or with that of an older Coatwright, the way to it."""
    path: str = request.path_params["path"]
    name = _MARKED.sub("", path, count=1)
    asset = assets().get(name)
    if asset is None:
        raise HTTPException(404)
    if path != f"{mark()}/{name}":
        return RedirectResponse(address(name), headers={"Cache-Control": "no-cache"})
    headers = {"Cache-Control": FOR_GOOD, "Vary": "Accept-Encoding"}
    if takes_gzip(request) and len(asset.packed) < len(asset.data):
        headers["Content-Encoding"] = "gzip"
        return Response(asset.packed, media_type=asset.kind, headers=headers)
    return Response(asset.data, media_type=asset.kind, headers=headers)


def takes_gzip(request: Request) -> bool:
    """Whether who asks can read what is compressed."""
    return "gzip" in request.headers.get("accept-encoding", "")


def _read(path: Path) -> Asset:
    data = path.read_bytes()
    kind = mimetypes.guess_type(path.name)[0] or "application/octet-stream"
    kind = "text/javascript" if path.suffix == ".js" else kind
    return Asset(data, gzip.compress(data, 9, mtime=0), kind)

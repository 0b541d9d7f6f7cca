"""How a phone comes to trust the certificate of the workshop: step by step, and the file itself."""

from pathlib import Path

from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import FileResponse, Response
from starlette.routing import Route

from coatwright.faces.web.certificate import fingerprint
from coatwright.faces.web.view import page


async def show(request: Request) -> Response:
    """The steps; without https, what that costs and how to have it."""
    authority = _authority(request)
    mark = fingerprint(authority) if authority else ""
    return page(request, "trust/page.html", job=None, fingerprint=mark, host=request.url.hostname)


async def give(request: Request) -> Response:
    """The certificate of the workshop as its own authority. The key stays where it is."""
    authority = _authority(request)
    if authority is None:
        raise HTTPException(404)
    return FileResponse(
        authority, media_type="application/x-x509-ca-cert", filename="workshop-authority.pem"
    )


def _authority(request: Request) -> Path | None:
    found: Path | None = request.app.state.https
    return found


routes = [Route("/trust", show), Route("/trust/authority.pem", give)]

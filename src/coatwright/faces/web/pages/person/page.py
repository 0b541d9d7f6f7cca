"""Who holds this phone, and how it shows things: kept on the phone alone."""

from urllib.parse import quote

from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.routing import Route

from coatwright.faces.web.answers import kept
from coatwright.faces.web.view import COOKIES, page

YEAR = 365 * 24 * 3600


async def show(request: Request) -> Response:
    """The page that asks."""
    back = _inside(request.query_params.get("back", "/"))
    return page(request, "person/page.html", job=None, back=back)


async def keep(request: Request) -> Response:
    """Keep the answers on the phone, and go back."""
    form = await request.form()
    response = RedirectResponse(_inside(str(form.get("back") or "/")), 303)
    for name, cookie in COOKIES.items():
        value = str(form.get(name) or "").strip()[:80]
        response.set_cookie(cookie, quote(value), max_age=YEAR, samesite="lax")
    return response


def _inside(path: str) -> str:
    """A path of this app, never an address elsewhere."""
    return path if path.startswith("/") and not path.startswith("//") else "/"


routes = [Route("/person", kept(show)), Route("/person", keep, methods=["POST"])]

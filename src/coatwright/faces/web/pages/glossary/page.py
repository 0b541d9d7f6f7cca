"""Trade words with what they are called elsewhere, to be searched."""

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from coatwright.actions.checking.glossary import glossary
from coatwright.faces.web.answers import kept
from coatwright.faces.web.view import page


async def show(request: Request) -> Response:
    """All words, or those that hold what is searched for."""
    search = request.query_params.get("search", "").strip()
    part = request.headers.get("hx-request") == "true"
    template = "glossary/_words.html" if part else "glossary/page.html"
    return page(request, template, job=None, words_found=glossary(search), search=search)


routes = [Route("/glossary", kept(show))]

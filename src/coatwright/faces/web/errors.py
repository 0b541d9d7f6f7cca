"""What a page says when something is wrong: one sentence, and the way back."""

from collections.abc import Callable, Mapping
from typing import Any

from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import Response

from coatwright.errors import CoatwrightError, InputError, NotFound
from coatwright.faces.web.view import page
from coatwright.sentences import say


def handlers() -> Mapping[Any, Callable[..., Any]]:
    """Handlers by kind of error."""
    return {CoatwrightError: _ours, HTTPException: _https}


async def _ours(request: Request, fault: Exception) -> Response:
    assert isinstance(fault, CoatwrightError)
    status = 404 if isinstance(fault, NotFound) else 422 if isinstance(fault, InputError) else 409
    return page(request, "fault.html", status=status, sentence=fault.sentence, job=None)


async def _https(request: Request, fault: Exception) -> Response:
    assert isinstance(fault, HTTPException)
    said = say("there is no such page") if fault.status_code == 404 else fault.detail
    return page(request, "fault.html", status=fault.status_code, sentence=said, job=None)

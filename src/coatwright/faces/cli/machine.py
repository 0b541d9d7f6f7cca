"""Errors for machines: the same words as on the screen, as JSON."""

import json
from typing import Any

from coatwright.errors import CoatwrightError, InputErrors


def error_json(error: CoatwrightError, code: int) -> str:
    """An error as JSON: the same words as on the screen, and the exit code."""
    faults = error.faults if isinstance(error, InputErrors) else (error,)
    return json.dumps(
        {
            "error": type(error).__name__,
            "exit_code": code,
            "faults": [_fault(fault) for fault in faults],
        },
        ensure_ascii=False,
        indent=2,
    )


def _fault(fault: CoatwrightError) -> dict[str, Any]:
    found: dict[str, Any] = {
        "sentence": fault.sentence,
        "what": fault.what,
        "where": fault.where,
        "instead": fault.instead,
    }
    for name in ("file", "line", "field"):
        if getattr(fault, name, None):
            found[name] = getattr(fault, name)
    return found

"""How kernels are compiled: once, kept beside their module, without what nobody calls them by."""

from collections.abc import Callable
from typing import Any, Final, TypeVar

from numba import njit

Function = TypeVar("Function", bound=Callable[..., Any])

_OPTIONS: Final[Any] = {
    "cache": True, "nogil": True, "error_model": "numpy", "no_cfunc_wrapper": True,
}  # fmt: skip


def kernel(function: Function) -> Function:
    """Compiled when it is first called."""
    made: Function = njit(**_OPTIONS)(function)
    return made


def inside(function: Function) -> Function:
    """Compiled for kernels alone: without a way in for Python that takes less time."""
    made: Function = njit(**_OPTIONS | {"no_cpython_wrapper": True})(function)
    return made

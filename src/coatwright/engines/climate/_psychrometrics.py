"""The library PsychroLib, set to SI once, in plain Python.

Where numba is installed the library wraps every function for arrays, and the first call then
compiles for several seconds. One reading an hour needs no compiler: the plain functions, which the
library keeps in `func_list`, are put back. Its unit system is a global switch; nothing else in the
package touches it.
"""

import psychrolib  # type: ignore[import-untyped]

for _name, _plain in getattr(psychrolib, "func_list", ()):
    setattr(psychrolib, _name, _plain)
psychrolib.isIP = getattr(psychrolib.isIP, "py_func", psychrolib.isIP)
psychrolib.has_numba = False
psychrolib.SetUnitSystem(psychrolib.SI)

__all__ = ["psychrolib"]

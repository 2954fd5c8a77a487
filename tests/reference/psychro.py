"""PsychroLib as plain Python: beside Numba it compiles every one of its functions, in every process of the tests.

That takes 9 s before the first number, and few are asked of it.
"""

import sys

import pytest

with pytest.MonkeyPatch.context() as patch:
    patch.setitem(sys.modules, "numba", None)  # to import it fails, and PsychroLib goes on without
    import psychrolib

psychrolib.SetUnitSystem(psychrolib.SI)

__all__ = ["psychrolib"]

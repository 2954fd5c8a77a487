"""Whole nights of the shipped scenarios by another solver: SUNDIALS' CVODE.

It takes simtent's right-hand side and nothing else: its steps, orders, corrections and Jacobian are its own, at 1e-9
relative and 1e-7 K absolute. So these lines hold how a night is solved, not what it is made of: a wrong law is wrong in
both. A night of known heat is carried from jump to jump by the test itself, one with a fire by simtent's own agenda,
which is another thing that these lines do not hold; moments at which something is done at the stove are left out, for
there the two may tell what was before it or after it.
"""

from functools import partial

import pytest

from simtent.driver import drive
from simtent.run import run

from .claims import LIBRARY, at_most, case, claims
from .nights import apart, driven, heat_apart, ours
from .sources import SUNDIALS

SUBJECT = "Whole nights by another solver"
KNOWN = {"larch_bench": "known heat", "snow_saddle": "known heat"}
QUICK = {**KNOWN, "sedge_hollow": "fire", "yard_burn": "fire in the open"}
LONG = {"fence_shelf": "fire", "gauge_bar": "fire", "stone_sheep": "fire"}
night = partial(claims, digits=2, marks=[pytest.mark.compiled])
long = partial(claims, digits=2, marks=[pytest.mark.compiled, pytest.mark.slow])


def cases(nights):
    return [case(f"{name}, {what}", None, name) for name, what in nights.items()]


SIMULATE = {"unit": "K", "allowed": at_most(0.005), "laws": [run]}
DRIVE = {"unit": "K", "allowed": at_most(0.05), "laws": [drive]}


@night(
    "Air of every layer (the stove in the open) by simulate, all night: furthest from CVODE",
    SUNDIALS,
    LIBRARY,
    cases=cases(QUICK),
    **SIMULATE,
)
def test_simulate(name):
    return apart(name, ours(name))


@night("The same by the compiled driver", SUNDIALS, LIBRARY, cases=cases(QUICK), **DRIVE)
def test_drive(name):
    return apart(name, driven(name))


@long("Longer nights by simulate", SUNDIALS, LIBRARY, cases=cases(LONG), **SIMULATE)
def test_longer_by_simulate(name):
    return apart(name, ours(name))


@long("Longer nights by the compiled driver", SUNDIALS, LIBRARY, cases=cases(LONG), **DRIVE)
def test_longer_by_drive(name):
    return apart(name, driven(name))


@night(
    "Heat along every path of the night by simulate: furthest from CVODE, over the largest",
    SUNDIALS,
    LIBRARY,
    allowed=at_most(1e-4),
    laws=[run],
    cases=cases(KNOWN),
)
def test_heat(name):
    return heat_apart(name, ours(name))

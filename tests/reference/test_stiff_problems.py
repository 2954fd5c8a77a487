"""Two stiff problems of the IVP test set through simtent's solvers: HIRES (8 substances), Robertson (3).

They are carried as amounts of a network, so that they pass through everything a night does: stops, tolerances, SciPy's
solver, and the compiled driver's own steps. What is told is the relative error of the worst number at the end, against
the test set's reference. Beside it stands in the line's name what SciPy's solver was found to reach by itself at the
same relative tolerance; its absolute one is not recorded.
"""

from functools import partial

import pytest

from simtent.assembly.whole_night import whole_night
from simtent.network.solve import solve

from .claims import SECOND_HAND, at_most, case, claims
from .sources import IVP_TEST_SET
from .stiff_problems import HIRES, ROBERTSON, by_driver, by_network, by_scipy

SUBJECT = "Stiff problems"
stiff = partial(claims, digits=2)


@stiff(
    "HIRES at 321.8122, relative tolerance 1e-6, absolute 1e-10",
    IVP_TEST_SET,
    SECOND_HAND,
    allowed=at_most(1e-5),
    laws=[solve],
    cases=[
        case("Radau (by itself 1.3e-7)", None, "Radau", allowed=at_most(4e-7)),
        case("BDF (by itself 8.7e-6)", None, "BDF", allowed=at_most(2.6e-5)),
        case("LSODA (by itself 2.9e-6)", None, "LSODA", allowed=at_most(9e-6)),
    ],
)
def test_hires(method):
    return by_network(HIRES, method, 1e-6)


@stiff(
    "Robertson's problem at 1e11, relative tolerance 1e-6, absolute 1e-14",
    IVP_TEST_SET,
    SECOND_HAND,
    allowed=at_most(2.1e-3),
    laws=[solve],
    cases=[
        case("Radau (by itself 4.6e-7)", None, "Radau", allowed=at_most(4.6e-7)),
        case("BDF (by itself 1.8e-3)", None, "BDF", allowed=at_most(1e-4)),
        case("LSODA (by itself 2.1e-3)", None, "LSODA", allowed=at_most(1e-4)),
    ],
)
def test_robertson(method):
    return by_network(ROBERTSON, method, 1e-6)


@pytest.mark.parametrize("problem", [HIRES, ROBERTSON], ids=["HIRES", "Robertson"])
@pytest.mark.parametrize("method", ["Radau", "BDF", "LSODA"])
def test_as_good_as_scipy_alone(problem, method):
    assert by_network(problem, method, 1e-6) < 3.0 * by_scipy(problem, method, 1e-6)


@stiff(
    "The same problems by the compiled driver's steps",
    IVP_TEST_SET,
    SECOND_HAND,
    allowed=at_most(1e-4),
    laws=[whole_night],
    cases=[
        case("HIRES, relative tolerance 1e-6", None, HIRES, 1e-6),
        case("HIRES, 1e-8", None, HIRES, 1e-8, allowed=at_most(1e-5)),
        case("Robertson, 1e-6", None, ROBERTSON, 1e-6),
        case("Robertson, 1e-8", None, ROBERTSON, 1e-8, allowed=at_most(1e-5)),
    ],
)
def test_driver(problem, rtol):
    return by_driver(problem, rtol)

"""What finer tolerances, cells and layers bring, as orders that are seen.

An error that falls as the tolerance does has order 1; one that falls by four when cells are halved, order 2. Errors are
taken against what is exact or another solver's (the matrix exponential, CVODE at 1e-10, the half space), but for the
layers of air: there is no exact night, so it is told by which power of the layers' thickness less each doubling moves
it than the one before. Order 1 is what is expected of them, since streams are carried upwind, and more while they are
few. That a night hardly changes when layers are doubled does not show that it is right.
"""

from functools import partial

import numpy as np
import pytest

from simtent.assembly.whole_night import whole_night
from simtent.driver import drive
from simtent.network import Accuracy
from simtent.network.kernels import add_links
from simtent.network.solve import solve
from simtent.network.stepper import correct
from simtent.run import run as run_night
from tests.network import stepping
from tests.network.plain import run

from .bodies import SOIL
from .claims import CLOSED_FORM, LIBRARY, PUBLISHED, at_least, between, case, claims
from .driven import driven
from .linear_networks import built, forty
from .nights import at_tolerance
from .refined import column_flow, moved, slope
from .sources import MATHEMATICS, SHAMPINE, SUNDIALS
from .test_linear_networks import TIMES, exact
from .walls_in_closed_form import flow_into

SUBJECT = "Refinement"
TOLERANCES = (1e-4, 1e-5, 1e-6, 1e-7, 1e-8)
refined = partial(claims, digits=2, marks=[pytest.mark.compiled])
slowly = partial(claims, digits=2, marks=[pytest.mark.compiled, pytest.mark.slow])
AS_TOLERANCE = between(0.7, 1.3)


def forty_off(way, tolerance):
    """Furthest of the 40 nodes from the exponential [K]."""
    if way == "driver":
        states = driven(built(forty()), TIMES, tolerance, tolerance).states
    else:
        states = run(built(forty()), TIMES, Accuracy(way, tolerance, tolerance)).states
    return np.abs(states[:, :40] - exact(forty())).max()


# SciPy's BDF subtracts rows of its table that it has not filled yet, and reads none of the result.
@pytest.mark.filterwarnings("ignore:invalid value encountered in subtract:RuntimeWarning")
@refined(
    "Network of 40 nodes: by which power of the tolerance the error falls from 1e-4 to 1e-8",
    MATHEMATICS,
    CLOSED_FORM,
    allowed=AS_TOLERANCE,
    laws=[solve],
    cases=[case(method, None, method) for method in ("LSODA", "BDF", "Radau")],
)
def test_tolerance_of_a_network(method):
    return slope(TOLERANCES, [forty_off(method, tolerance) for tolerance in TOLERANCES])


@refined(
    "The same by the compiled driver",
    MATHEMATICS,
    CLOSED_FORM,
    allowed=AS_TOLERANCE,
    laws=[whole_night],
    cases=[case("its own steps", None, "driver")],
)
def test_tolerance_of_the_driver(way):
    return slope(TOLERANCES, [forty_off(way, tolerance) for tolerance in TOLERANCES])


@slowly(
    "Whole nights: by which power of the tolerance the air comes closer to CVODE at 1e-10, from 1e-4 to 1e-8",
    SUNDIALS,
    LIBRARY,
    allowed=AS_TOLERANCE,
    laws=[run_night, drive],
    cases=[
        case("larch_bench by LSODA", None, "larch_bench", "LSODA"),
        case("larch_bench by the driver", None, "larch_bench", "driver"),
        case("snow_saddle by LSODA", None, "snow_saddle", "LSODA"),
        case("snow_saddle by the driver", None, "snow_saddle", "driver"),
    ],
)
def test_tolerance_of_a_night(name, way):
    return slope(TOLERANCES, [at_tolerance(name, way, tolerance) for tolerance in TOLERANCES])


COUNTS = (40, 80, 160)


def order_of_steps(order):
    """Orders seen at the end, and half way in the last step, from 80 to 160 steps; the worse of the two."""
    misses = []
    for count in COUNTS:
        found = stepping.steps(order, count)
        wanted = stepping.exact(stepping.rate, np.array([0.0, 1.0 - 0.5 / count, 1.0]))
        misses.append([np.abs(found[0] - wanted[2]).max(), np.abs(found[1] - wanted[1]).max()])
    return float(np.log2(np.array(misses[-2]) / misses[-1]).min())


@refined(
    "Formulas of the driver at one length of steps, 80 and 160 of them: order seen (at the end and within a step, the "
    "lower)",
    SHAMPINE,
    PUBLISHED,
    allowed=at_least(1.0),
    laws=[correct],
    cases=[case(f"order {order}", None, order, allowed=at_least(order - 0.3)) for order in range(1, 6)],
)
def test_order_of_steps(order):
    return order_of_steps(order)


HOUR, FILM = 3600.0, 8.0


@refined(
    "simtent's 8 cells of ground behind a film of 8 W/(m2 K), an hour after a step, each cut in half again and again: "
    "by which power of the cells' size the flow comes closer to that into a half space",
    MATHEMATICS,
    CLOSED_FORM,
    allowed=between(1.7, 2.3),
    laws=[solve, add_links],
    cases=[
        case("from 8 to 16 cells", None, 1, allowed=between(1.4, 2.6)),
        case("from 16 to 32", None, 2),
        case("from 32 to 64", None, 4),
    ],
)
def test_cells_of_ground(parts):
    misses = [abs(column_flow(n, FILM, HOUR) - flow_into(SOIL, HOUR, FILM)) for n in (parts, 2 * parts)]
    return float(np.log2(misses[0] / misses[1]))


LAYERS = [
    case(f"{name}, {n} to {2 * n} over {2 * n} to {4 * n} layers", None, name, n)
    for name in ("larch_bench", "snow_saddle")
    for n in (8, 16)
]


@slowly(
    "Layers of air in nights of known heat, head, waist, cot and floor in the mean: by which power of their thickness "
    "the next doubling moves less",
    MATHEMATICS,
    CLOSED_FORM,
    allowed=between(0.5, 2.2),
    laws=[run_night],
    cases=LAYERS,
)
def test_layers(name, layers):
    return float(np.log2(moved(name, layers) / moved(name, 2 * layers)))

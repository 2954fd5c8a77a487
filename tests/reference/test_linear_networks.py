"""Any network of constant conductances is a matrix, and its temperatures are that matrix' exponential.

Networks are drawn by seed (`linear_networks.py` tells how): 2 kW into one node for 20 minutes, nothing for 40, eight
times in 8 hours, all nodes and a boundary at 0 at first. Their exact temperatures come from NumPy and SciPy's `expm`,
from stretch to stretch; the network is built of `simtent.network`'s nodes, links and a source, and solved tightly
(1e-9), by SciPy's LSODA and by the compiled driver's own steps. More of them, with pulses, are drawn anew by
Hypothesis in `tests/network/test_closed_forms.py`.
"""

from functools import lru_cache, partial

import numpy as np
import pytest
from scipy.linalg import expm

from simtent.assembly.whole_night import whole_night
from simtent.network import Accuracy
from simtent.network.kernels import add_links, add_sources
from simtent.network.solve import solve
from tests.network.plain import run

from .claims import CLOSED_FORM, at_most, case, claims, off
from .driven import driven
from .linear_networks import HOURS, OFF, ON, POWER, SWITCHES, built, drawn, forty, matrix
from .sources import MATHEMATICS

SUBJECT = "Linear networks"
TIMES = np.arange(0.0, HOURS * 3600.0 + 1.0, 1200.0)
NETWORKS = {
    "40 nodes": forty(),
    **{f"seed {s}, {n} nodes": drawn(s, n) for s, n in ((2, 3), (3, 12), (4, 25))},
}
linear = partial(claims, laws=[solve, add_links, add_sources])


def exact(parts):
    """Temperatures every 20 minutes; the heat is constant over each of them."""
    n, a = parts.capacity.size, matrix(parts)
    heat = np.zeros(n)
    heat[parts.heated] = POWER / parts.capacity[parts.heated]
    forced = np.zeros((n + 1, n + 1))
    forced[:n, :n], forced[:n, n] = a, heat
    on, off_ = expm(forced * ON), expm(a * ON)
    assert OFF == 2.0 * ON
    states = [np.zeros(n)]
    for _ in range(SWITCHES):
        states.append((on @ np.append(states[-1], 1.0))[:n])
        states += [off_ @ states[-1], off_ @ off_ @ states[-1]]
    return np.array(states)


@lru_cache
def solved(name):
    parts = NETWORKS[name]
    return run(built(parts), TIMES, Accuracy(rtol=1e-9, atol=1e-9)).states[:, : parts.capacity.size]


@linear(
    "40 nodes with time constants from 10 s to 20 days after 8 h of a switched source: warmest and coldest node",
    MATHEMATICS,
    CLOSED_FORM,
    unit="K",
    allowed=off(1e-6),
    digits=8,
    cases=[case("matrix exponential, noted to a millionth", (17.554596, 1.280515))],
)
def test_forty_nodes():
    last = solved("40 nodes")[-1]
    return last.max(), last.min()


def test_the_exponential_is_what_is_noted():
    last = exact(forty())[-1]
    assert (last.max(), last.min()) == pytest.approx((17.554596, 1.280515), abs=6e-7)


@linear(
    "Furthest from the exponential of all nodes, every 20 minutes",
    MATHEMATICS,
    CLOSED_FORM,
    unit="K",
    allowed=at_most(2e-6),
    digits=2,
    cases=[case(name, None, name) for name in NETWORKS],
)
def test_every_node_all_the_time(name):
    return np.abs(solved(name) - exact(NETWORKS[name])).max()


@linear(
    "The 40 nodes at the usual tolerance of a night, 1e-6 and 1e-4 K: furthest from the exponential",
    MATHEMATICS,
    CLOSED_FORM,
    unit="K",
    allowed=at_most(0.002),
    digits=2,
    cases=[case(method, None, method) for method in ("LSODA", "BDF", "Radau")],
)
def test_usual_tolerance(method):
    states = run(built(forty()), TIMES, Accuracy(method=method)).states[:, :40]
    return np.abs(states - exact(forty())).max()


@claims(
    "The same networks through the compiled driver, 1e-8: furthest from the exponential",
    MATHEMATICS,
    CLOSED_FORM,
    unit="K",
    allowed=at_most(1e-5),
    digits=2,
    laws=[whole_night, add_links, add_sources],
    marks=[pytest.mark.compiled],
    cases=[case(name, None, name) for name in NETWORKS],
)
def test_driver(name):
    parts = NETWORKS[name]
    states = driven(built(parts), TIMES, 1e-8, 1e-8).states[:, : parts.capacity.size]
    return np.abs(states - exact(parts)).max()

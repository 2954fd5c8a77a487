"""HIRES and Robertson's problem: begin, end and what is known of it, and ways to come there."""

from typing import Any, NamedTuple

import numpy as np
from scipy.integrate import solve_ivp

from simtent.network import Accuracy, Builder, solve
from simtent.network.arrays import Array

from . import stiff_kernels as kernels
from .driven import driven

NOTHING = np.zeros((0, 2), np.int64)


class Problem(NamedTuple):
    """Right-hand side, Jacobian, begin, when it ends and where (the test set's reference), absolute tolerance."""

    rates: Any
    slopes: Any
    begin: tuple[float, ...]
    until: float
    end: tuple[float, ...]
    atol: float

    @property
    def net(self) -> Builder:
        """A network that carries the problem as amounts."""
        net = Builder(end=self.until)
        net.node(1.0, start=0.0, group="nothing")
        for k, start in enumerate(self.begin):
            net.amount(f"y{k + 1}", start=start, scale=1.0)
        return net


HIRES = Problem(
    kernels.hires_rates,
    kernels.hires_slopes,
    (1.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0057),
    321.8122,
    (
        7.371312573325668e-4,
        1.442485726316185e-4,
        5.888729740967575e-5,
        1.175651343283149e-3,
        2.386356198831331e-3,
        6.238968252742796e-3,
        2.849998395185769e-3,
        2.850001604814231e-3,
    ),
    1e-10,
)
ROBERTSON = Problem(
    kernels.robertson_rates,
    kernels.robertson_slopes,
    (1.0, 0.0, 0.0),
    1e11,
    (2.083340149701255e-8, 8.333360770334713e-14, 0.9999999791665050),
    1e-14,
)


def off(problem: Problem, end: Array) -> float:
    """Relative error of the worst number of the problem."""
    return float(np.abs(end / problem.end - 1.0).max())


def by_network(problem: Problem, method: str, rtol: float) -> float:
    """Through `simtent.network.solve`."""
    net = problem.net
    arrays, start = net.freeze()
    answer = solve(
        lambda t, state, rows: problem.rates(t, state, 0.0, rows),
        arrays,
        start,
        net.jump_times(),
        np.array([0.0, problem.until]),
        Accuracy(method, rtol, problem.atol),
        lambda t, state, rows: problem.slopes(t, state, 0.0, rows),
    )
    return off(problem, answer.states[-1, 1:])


def by_scipy(problem: Problem, method: str, rtol: float) -> float:
    """By SciPy alone."""
    answer = solve_ivp(
        lambda t, y: problem.rates(t, np.append(0.0, y), 0.0, NOTHING)[1:],
        (0.0, problem.until),
        problem.begin,
        method,
        rtol=rtol,
        atol=problem.atol,
        jac=lambda t, y: problem.slopes(t, np.append(0.0, y), 0.0, NOTHING)[1:, 1:],
    )
    return off(problem, answer.y[:, -1])


def by_driver(problem: Problem, rtol: float) -> float:
    """By the compiled driver's steps."""
    times = np.array([0.0, problem.until])
    answer = driven(problem.net, times, rtol, problem.atol, rates=problem.rates, slopes=problem.slopes)
    return off(problem, answer.states[-1, 1:])

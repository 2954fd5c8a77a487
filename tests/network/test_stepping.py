"""The stepping: its coefficients against the conditions of order, its kernels against NumPy, its order and stability.

Conditions of a Rosenbrock method of order 3 with any matrix: E. Hairer and G. Wanner, Solving Ordinary Differential
Equations II, section IV.7, from memory: one for each tree whose meagre knots may carry f or the matrix.
"""

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from simtent.network import stepping, wmethod

A, G, B = np.array(wmethod.A), np.array(wmethod.C), np.array(wmethod.B)
ALPHA, GAMMA, ONE = A.sum(axis=1), G.sum(axis=1), np.ones(4)
METHOD = wmethod.method()
SECOND = {"f": (ONE, 1.0), "f'f": (ALPHA, 1.0 / 2.0), "Jf": (GAMMA, 0.0)}
THIRD = {
    "f''ff": (ALPHA**2, 1.0 / 3.0),
    "f'f'f": (A @ ALPHA, 1.0 / 6.0),
    "f'Jf": (A @ GAMMA, 0.0),
    "Jf'f": (G @ ALPHA, 0.0),
    "JJf": (G @ GAMMA, 0.0),
}


@pytest.mark.parametrize("tree", [*SECOND, *THIRD])
def test_order_three_with_any_matrix(tree):
    vector, wanted = (SECOND | THIRD)[tree]
    assert B @ vector == pytest.approx(wanted, abs=1e-14)


@pytest.mark.parametrize("tree", SECOND)
def test_the_embedded_method_has_order_two_with_any_matrix(tree):
    vector, wanted = SECOND[tree]
    assert np.array(wmethod.EMBEDDED) @ vector == pytest.approx(wanted, abs=1e-14)


def test_the_embedded_method_differs_in_order_three():
    assert abs(np.array(wmethod.EMBEDDED) @ ALPHA**2 - 1.0 / 3.0) > 0.05


def test_stiffly_accurate():
    """The weights are the last row of both triangles together."""
    assert pytest.approx(A[3] + G[3], abs=1e-15) == B
    assert ALPHA[3] == 1.0


def test_vanishes_at_infinity():
    """Stability function 1 + z b (1 - z (A + G))^-1 1 for a part of great speed: L-stable."""
    for z in (-1e3, -1e6, -1e9):
        assert abs(1.0 + z * B @ np.linalg.solve(np.eye(4) - z * (A + G), ONE)) < 3.0 / abs(z)


@pytest.mark.parametrize("theta", [0.1, 0.5, 0.9, 1.0])
def test_within_a_step(theta):
    weights = np.array([theta, theta**2, theta**3]) @ wmethod.within_a_step()
    assert weights.sum() == pytest.approx(theta, abs=1e-14)
    assert weights @ ALPHA == pytest.approx(theta**2 / 2.0, abs=1e-14)
    assert weights @ GAMMA == pytest.approx(0.0, abs=1e-14)
    assert weights @ ALPHA**2 == pytest.approx(theta**3 / 3.0, abs=1e-14)
    assert weights @ (A + G) @ (ALPHA + GAMMA) == pytest.approx(theta**3 / 6.0, abs=1e-14)
    if theta == 1.0:
        assert pytest.approx(B, abs=1e-14) == weights


def many(n, seed):
    """A matrix with zeros, its own part on the diagonal the largest."""
    random = np.random.default_rng(seed)
    matrix = random.normal(size=(n, n)) * (random.random((n, n)) < 0.3)
    return matrix - np.diag(np.abs(matrix).sum(axis=1))


@pytest.mark.parametrize("seed", range(5))
def test_factors_solve_what_numpy_solves(seed):
    jacobian = many(14, seed)
    unknowns = np.array([3, 0, 1, 7, 9, 12, 13, 5])
    matrix, right = np.empty((8, 8)), np.random.default_rng(seed + 50).normal(size=8)
    assert stepping.prepare(matrix, jacobian, unknowns, 0.7)
    x = right.copy()
    stepping.substitute(matrix, x)
    wanted = np.linalg.solve(0.7 * np.eye(8) - jacobian[np.ix_(unknowns, unknowns)], right)
    assert x == pytest.approx(wanted, rel=1e-12)


def test_a_pivot_that_vanishes_is_told():
    assert not stepping.prepare(np.empty((2, 2)), np.diag([0.0, 0.5]), np.arange(2), 0.5)
    assert not stepping.prepare(np.empty((1, 1)), np.array([[np.nan]]), np.arange(1), 0.5)


BEGIN = (1.0, 0.5, 0.2, 0.0)


def rate(t, y):
    """A small stirred system that depends on time; its last number is what went along a path."""
    a, b, c = y[:3]
    watts = 3.0 * (np.cos(t) - a)
    return np.array([watts - 0.5 * a * b, 0.5 * a * b - b**2 + 0.1 * np.sin(2.0 * t), b**2 - c, watts])


def slope(t, y):
    return np.column_stack([(rate(t, y + e) - rate(t, y - e)) / 2e-6 for e in 1e-6 * np.eye(4)])


def steps(count, jacobian, until=2.0, rate=rate):
    """The end, the state half way in the last step, and the last estimate of the error."""
    state, h, unknowns = np.array(BEGIN), until / count, np.arange(3)
    sums, matrix, x = np.zeros((4, 4)), np.zeros((3, 3)), np.zeros(3)
    trial, new, half = np.zeros(4), np.zeros(4), np.zeros(4)
    for n in range(count):
        t, there = n * h, jacobian(n * h, state)
        assert stepping.prepare(matrix, there, unknowns, 1.0 / (h * METHOD.gamma))
        for k in range(4):
            stepping.stage_state(METHOD, k, sums, state, trial)
            seen = rate(t + METHOD.alpha[k] * h, trial)
            stepping.stage_sum(METHOD, k, h, seen, matrix, there, unknowns, (3, 4), x, sums)
        stepping.end_of_step(METHOD, sums, state, new)
        stepping.within_step(METHOD, sums, state, 0.5, half)
        miss = stepping.missed(METHOD, sums, state, new, unknowns, 0.0, np.full(4, 1.0))
        state = new.copy()
    return state, half, miss


MATRICES = {
    "exact": slope,
    "kept from the beginning": lambda _t, _y: slope(0.0, np.array(BEGIN)),
    "none": lambda _t, _y: np.zeros((4, 4)),
}


@pytest.mark.parametrize("name", MATRICES)
def test_observed_order(name):
    exact = solve_ivp(rate, (0.0, 2.0), BEGIN, method="DOP853", rtol=1e-13, atol=1e-14).y[:, -1]
    misses = [np.abs(steps(n, MATRICES[name])[0] - exact).max() for n in (40, 80, 160)]
    orders = np.log2(np.array(misses[:-1]) / misses[1:])
    assert (orders > 2.8).all()


def test_the_estimate_falls_with_the_third_power_of_the_step():
    estimates = [steps(n, slope, until=0.1)[2] for n in (1, 2, 4)]
    assert (np.log2(np.array(estimates[:-1]) / estimates[1:]) > 2.6).all()


def test_half_way_in_a_step():
    """Order 3 with the exact matrix: the miss of one step falls with its fourth power; without any, with its third."""
    for name, least in (("exact", 3.6), ("none", 2.6)):
        misses = []
        for h in (0.1, 0.05, 0.025):
            _, half, _ = steps(1, MATRICES[name], until=h)
            exact = solve_ivp(rate, (0.0, h / 2.0), BEGIN, method="DOP853", rtol=1e-13, atol=1e-14)
            misses.append(np.abs(half - exact.y[:, -1]).max())
        assert (np.log2(np.array(misses[:-1]) / misses[1:]) > least).all()


@pytest.mark.parametrize("name", MATRICES)
def test_what_is_kept_stays(name):
    """All that entered by the path is found in the three, or left by the last: a sum that the rates keep at 0."""

    def closed(t, y):
        jacobian = MATRICES[name](t, y).copy()
        jacobian[3] = jacobian[:3].sum(axis=0)
        return jacobian

    def keeping(t, y):
        out = rate(t, y)
        out[3] = out[:3].sum()
        return out

    end, half, _ = steps(25, closed, rate=keeping)
    for state in (end, half):
        assert state[:3].sum() - 1.7 == pytest.approx(state[3], abs=1e-13)

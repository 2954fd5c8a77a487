"""Steps of one length and order by the driver's own kernels, on a small system whose right answer is known."""

import math

import numpy as np
from scipy.integrate import solve_ivp

from simtent.network import factors, multistep, stepper
from simtent.network.backward import formulas
from simtent.network.rooms import room_for_solver

FORMULAS = formulas()
BEGIN = (1.0, 0.5, 0.2, 0.0)
STATES = len(BEGIN)


def rate(t, y):
    """A small stirred system that depends on time; its last number is what went along a path."""
    a, b, c = y[:3]
    watts = 3.0 * (np.cos(t) - a)
    return np.array([watts - 0.5 * a * b, 0.5 * a * b - b**2 + 0.1 * np.sin(2.0 * t), b**2 - c, watts])


def slope(t, y, rate=rate):
    return np.column_stack([(rate(t, y + e) - rate(t, y - e)) / 2e-6 for e in 1e-6 * np.eye(STATES)])


def exact(rate, moments):
    return solve_ivp(rate, (0.0, moments[-1]), BEGIN, "DOP853", moments, rtol=1e-13, atol=1e-14).y.T


def solver(rtol=0.0):
    return room_for_solver(
        STATES,
        rates=0.0,  # these kernels call neither
        slopes=0.0,
        unknowns=np.arange(3),
        paths=(3, 4),
        rtol=rtol,
        tolerance=np.full(STATES, 1.0),
        enough=0.01,
        most=4,
    )


def steps(order, count, until=1.0, corrections=6, rate=rate, slope=slope):
    """The end of steps of one length and order from an exact past, and the state half way in the last step."""
    s, h = solver(), until / count
    begin = exact(rate, np.arange(order + 1) * h)[::-1]
    for j in range(order + 1):
        s.past[j] = sum((-1) ** i * math.comb(j, i) * begin[i] for i in range(j + 1))
    alpha = FORMULAS.alpha[order]
    for n in range(order, count):
        stepper.take_jacobian(slope(n * h, s.past[0]), s)
        assert factors.factor(s.factors, s.jacobian, s.unknowns, alpha / h)
        multistep.forecast(s.past, order, FORMULAS.gamma, alpha, s.ahead, s.psi, s.change)
        s.trial[:] = s.ahead
        for _ in range(corrections):
            stepper.correct(h / alpha, rate((n + 1) * h, s.trial), s)
        multistep.append(s.past, order, s.change)
    half = np.zeros(STATES)
    multistep.at_share(s.past, order, -0.5, half)
    return s.past[0].copy(), half

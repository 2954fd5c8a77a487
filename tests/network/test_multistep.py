"""The stepping: its formulas against what is published of them, its kernels against NumPy, its sums.

The order its steps are seen to have is held in tests/reference/test_refinement.py.
"""

import math

import numpy as np
import pytest

from simtent.network import factors, multistep, stepper
from simtent.network.backward import KAPPA, MOST_ORDER
from simtent.network.rooms import room_for_factors
from tests.network.stepping import BEGIN, FORMULAS, STATES, rate, slope, solver, steps

ORDERS = range(1, MOST_ORDER + 1)
# degrees from the negative real axis within which a formula is stable, orders 1 to 5: table 1 of Shampine and Reichelt,
# SIAM Journal on Scientific Computing 18 (1997), from memory
STABLE = (90.0, 90.0, 80.0, 66.0, 51.0)


def differences(order, ratio=1.0, power=None):
    """Backward differences of t^power at 0 with a step `ratio`, shape (orders + 3, 1)."""
    past = np.zeros((MOST_ORDER + 3, 1))
    values = [(-k * ratio) ** power if k or power else float(power == 0) for k in range(order + 1)]
    for j in range(order + 1):
        past[j] = sum((-1) ** i * math.comb(j, i) * values[i] for i in range(j + 1))
    return past


def residual(order, power):
    """What a step's formula leaves of t^power, from 0 to 1, and the change over the forecast."""
    past, ahead, psi, change = differences(order, power=power), np.zeros(1), np.zeros(1), np.ones(1)
    alpha = FORMULAS.alpha[order]
    multistep.forecast(past, order, FORMULAS.gamma, alpha, ahead, psi, change)
    assert change[0] == 0.0
    change = 1.0 - ahead[0]
    return change - (power / alpha - psi[0]), change


@pytest.mark.parametrize("order", ORDERS)
def test_a_polynomial_of_the_order_is_met(order):
    for power in range(order + 1):
        left, change = residual(order, power)
        assert left == pytest.approx(0.0, abs=1e-9)
        assert change == pytest.approx(0.0, abs=1e-9)


@pytest.mark.parametrize("order", ORDERS)
def test_the_estimate_is_what_is_left_of_the_next_power(order):
    """To leading order; the formula's own residual is in units of alpha."""
    left, change = residual(order, order + 1)
    assert change == pytest.approx(math.factorial(order + 1))
    assert -left * FORMULAS.alpha[order] == pytest.approx(FORMULAS.miss[order] * change)


def test_the_second_order_without_the_free_part():
    """3/2, -2, 1/2: E. Hairer and G. Wanner, Solving Ordinary Differential Equations II, section V.1, from memory."""
    assert FORMULAS.gamma[2] == 3.0 / 2.0
    assert KAPPA[5] == 0.0
    assert FORMULAS.gamma[5] == pytest.approx(137.0 / 60.0)


def locus(order, angles):
    """h times the eigenvalue at which a formula has a root on the unit circle."""
    back = 1.0 - np.exp(-1j * angles)
    gamma = FORMULAS.gamma
    return sum(back**j / j for j in range(1, order + 1)) - KAPPA[order] * gamma[order] * back ** (order + 1)


@pytest.mark.parametrize("order", ORDERS)
def test_stable_within_the_published_angle(order):
    z = locus(order, np.linspace(1e-2, np.pi, 20_000))
    left = z[z.real < -1e-9]
    found = np.degrees(np.abs(np.pi - np.abs(np.angle(left)))).min() if left.size else 90.0
    assert min(found, 90.0) == pytest.approx(STABLE[order - 1], abs=1.0)


@pytest.mark.parametrize("order", ORDERS)
@pytest.mark.parametrize("ratio", [0.3, 1.0, 2.5])
def test_another_step_keeps_the_polynomial(order, ratio):
    for power in range(order + 1):
        past = differences(order, power=power)
        multistep.regrid(past, order, ratio, np.zeros((MOST_ORDER + 1, 1)))
        assert past[: order + 1] == pytest.approx(differences(order, ratio, power)[: order + 1], abs=1e-9)


@pytest.mark.parametrize("order", ORDERS)
def test_within_a_step(order):
    out = np.zeros(1)
    for power in range(order + 1):
        past = differences(order, power=power)
        for x in (-1.0, -0.7, -0.2, 0.0):
            multistep.at_share(past, order, x, out)
            assert out[0] == pytest.approx(x**power, abs=1e-9)


def many(n, seed):
    """A matrix with zeros, its own part on the diagonal the largest."""
    random = np.random.default_rng(seed)
    matrix = random.normal(size=(n, n)) * (random.random((n, n)) < 0.3)
    return matrix - np.diag(np.abs(matrix).sum(axis=1))


@pytest.mark.parametrize("seed", range(5))
def test_factors_solve_what_numpy_solves(seed):
    jacobian = many(14, seed)
    unknowns = np.array([3, 0, 1, 7, 9, 12, 13, 5])
    found, right = room_for_factors(8), np.random.default_rng(seed + 50).normal(size=8)
    factors.find_places(found, jacobian, unknowns)
    assert factors.factor(found, jacobian, unknowns, 0.7)
    x = right.copy()
    factors.substitute(found, x)
    wanted = np.linalg.solve(0.7 * np.eye(8) - jacobian[np.ix_(unknowns, unknowns)], right)
    assert x == pytest.approx(wanted, rel=1e-12)


def test_a_pivot_that_vanishes_is_told():
    for jacobian in (np.diag([0.0, 0.5]), np.array([[np.nan]])):
        found, unknowns = room_for_factors(len(jacobian)), np.arange(len(jacobian))
        factors.find_places(found, jacobian, unknowns)
        assert not factors.factor(found, jacobian, unknowns, 0.5)


def test_corrections_with_a_poor_matrix_come_to_the_same_end():
    kept = slope(0.0, np.array(BEGIN))
    poor, good = steps(3, 40, corrections=30, slope=lambda _t, _y: kept), steps(3, 40)
    assert poor[0] == pytest.approx(good[0], abs=1e-10)


@pytest.mark.parametrize("corrections", [1, 2])
def test_what_is_kept_stays_however_far_the_corrections_went(corrections):
    """All that entered by the path is found in the three, or left by the last: a sum that the rates keep at 0."""

    def keeping(t, y):
        out = rate(t, y)
        out[3] = out[:3].sum()
        return out

    def poor(_t, _y):
        jacobian = slope(0.0, np.array(BEGIN), keeping)
        jacobian[3] = jacobian[:3].sum(axis=0)
        return jacobian

    end, half = steps(2, 25, corrections=corrections, rate=keeping, slope=poor)
    for state in (end, half):
        assert state[:3].sum() - 1.7 == pytest.approx(state[3], abs=1e-13)


def stepping(order, step, error):
    """A solver that has made steps of a length, whose estimated errors by order from 0 are these."""
    s = solver()
    s.kept[stepper.ORDER], s.kept[stepper.STEP], s.kept[stepper.EVEN] = order, step, order
    for k in ORDERS:
        s.past[k + 1, :3] = error[k] / FORMULAS.miss[k]
    return s


@pytest.mark.parametrize(
    ("order", "error", "chosen", "grown"),
    [
        (2, (0.0, 0.9, 0.5, 0.9, 0.9, 0.9), 2, 1.0),  # not worth it
        (2, (0.0, 0.9, 1e-3, 0.9, 0.9, 0.9), 2, 0.85 * 10.0),
        (2, (0.0, 0.9, 0.5, 1e-3, 0.9, 0.9), 3, 0.85 * 1000.0**0.25),
        (2, (0.0, 1e-4, 0.5, 0.9, 0.9, 0.9), 1, 10.0),  # no more than that at once
        (3, (0.0, 0.9, 0.2, 0.9, 0.9, 0.9), 2, 1.0),  # a lower order does as well
    ],
)
def test_order_and_length_of_the_next_step(order, error, chosen, grown):
    s = stepping(order, 30.0, error)
    stepper.choose(error[order], s)
    assert s.kept[stepper.ORDER] == chosen
    assert s.kept[stepper.STEP] == pytest.approx(30.0 * grown)


@pytest.mark.parametrize(
    ("left", "step"),
    [(100.0, 30.0), (45.0, 22.5), (60.0, 30.0), (30.0, 30.0), (12.0, 12.0), (30.0 + 1e-12, 30.0)],
)
def test_a_step_before_a_stop(left, step):
    s = stepping(2, 30.0, np.ones(6))
    stepper.land(left, s)
    assert s.kept[stepper.STEP] == pytest.approx(step, rel=1e-12)


def test_the_first_step_bends_by_half_of_what_is_allowed():
    """y' = -y from 1: y'' = 1, and a tolerance of 1 for each of three alike."""
    s = solver()
    s.jacobian[:] = -np.eye(STATES)
    s.past[0] = 1.0
    assert stepper.first_step(-np.ones(STATES), s) == pytest.approx(stepper.BENT * math.sqrt(2.0))
    s.jacobian[:] = 0.0
    assert stepper.first_step(-np.ones(STATES), s) == stepper.LONGEST_FIRST
    assert stepper.first_step(np.full(STATES, np.nan), s) == stepper.LONGEST_FIRST


def test_as_many_steps_alike_as_past_states_before_another_length_is_tried():
    s = stepping(2, 30.0, (0.0, 0.9, 1e-3, 0.9, 0.9, 0.9))
    s.kept[stepper.EVEN] = 0.0
    for _ in range(2):
        stepper.choose(1e-3, s)
        assert s.kept[stepper.STEP] == 30.0
    stepper.choose(1e-3, s)
    assert s.kept[stepper.STEP] > 30.0
    assert s.kept[stepper.EVEN] == 0.0


def test_a_higher_order_that_is_hardly_worth_it_is_not_taken():
    """Its past would not be known to as many differences."""
    s = stepping(2, 30.0, (0.0, 0.9, 0.5, 0.3, 0.9, 0.9))
    stepper.choose(0.5, s)
    assert (s.kept[stepper.ORDER], s.kept[stepper.STEP]) == (2.0, 30.0)


def test_the_size_of_a_change():
    """Of unknowns alone, each over its own tolerance and its share of the state; none where it is not asked."""
    s = solver(rtol=0.1)
    s.tolerance[:] = 1.0, 2.0, math.inf, 1.0
    size = stepper.size_of(np.array([4.0, -9.0, 1e9, 1e9]), np.array([-10.0, 10.0, 0.0, 0.0]), s)
    assert size == pytest.approx(math.sqrt((2.0**2 + 3.0**2) / 2.0))


def test_another_jacobian_has_its_own_places_and_is_not_factored():
    s = solver()
    stepper.take_jacobian(-np.eye(STATES), s)
    s.kept[stepper.AGE], s.kept[stepper.FACTORED] = 7.0, 1.0
    jacobian = slope(0.3, np.array(BEGIN))
    stepper.take_jacobian(jacobian, s)
    assert (s.kept[stepper.AGE], s.kept[stepper.FACTORED], s.counts[stepper.JACOBIANS]) == (0.0, 0.0, 2)
    assert factors.factor(s.factors, s.jacobian, s.unknowns, 2.0)
    x = np.ones(3)
    factors.substitute(s.factors, x)
    assert x == pytest.approx(np.linalg.solve(2.0 * np.eye(3) - jacobian[:3, :3], np.ones(3)))


@pytest.mark.parametrize("order", ORDERS)
def test_a_solved_step_is_taken_into_all_differences(order):
    """Those of t^(order + 2) at 0, and what it is at 1: then they are those at 1."""
    power = order + 2
    values = [(1.0 - k) ** power for k in range(order + 4)]
    at_1, at_0 = (
        [sum((-1) ** i * math.comb(j, i) * of[i] for i in range(j + 1)) for j in range(order + 3)]
        for of in (values[:-1], values[1:])
    )
    past = np.zeros((MOST_ORDER + 3, 1))
    past[: order + 2, 0] = at_0[: order + 2]
    multistep.append(past, order, np.array([at_1[order + 1]]))
    assert past[: order + 3, 0] == pytest.approx(at_1, abs=1e-9)


def test_a_history_that_begins_and_one_of_another_step_know_no_further_differences():
    past = np.full((MOST_ORDER + 3, 1), 7.0)
    multistep.regrid(past, 2, 0.5, np.zeros((MOST_ORDER + 1, 1)))
    assert (past[3:5] == 0.0).all()
    multistep.begin_history(past, np.array([3.0]), np.array([0.5]), 10.0)
    assert past[:, 0].tolist() == [3.0, 5.0, *[0.0] * (MOST_ORDER + 1)]


def test_a_pivot_may_be_negative():
    """What grows faster than the step resolves."""
    jacobian, unknowns, found = np.array([[2.0, 1.0], [0.5, -1.0]]), np.arange(2), room_for_factors(2)
    factors.find_places(found, jacobian, unknowns)
    assert factors.factor(found, jacobian, unknowns, 0.5)
    x = np.ones(2)
    factors.substitute(found, x)
    assert x == pytest.approx(np.linalg.solve(0.5 * np.eye(2) - jacobian, np.ones(2)))

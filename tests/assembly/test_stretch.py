"""From stop to stop with a law that is known, in plain Python: compiled code calls laws by their address only."""

from types import SimpleNamespace

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from simtent import compiled
from simtent.assembly import stretch as stretches
from simtent.assembly.stretch import FINE, KEPT, STRAYED, Told
from simtent.network import stepper
from simtent.network.book import made, open_book
from tests.network.test_multistep import BEGIN, STATES, rate, slope, solver

pytestmark = pytest.mark.skipif(compiled.NUMBA is not None, reason="the law is a function of Python")

NOTHING = np.zeros(0)
PLAN = SimpleNamespace(orders=None, diary=None)
STOP = 2.0  # s
MOMENTS = np.array([0.3, 1.1, 1.9])
LIMIT = 0.75  # of the first state, which falls from 1
APART = 2e-5  # passed some 0.1 ms later


def law(t, state, _p, _rows):
    return rate(t, state)


def slopes(t, state, _p, _rows):
    return slope(t, state)


def exact(moments, begin=0.0, state=BEGIN):
    until = max(*moments, begin + 1e-9)
    return solve_ivp(rate, (begin, until), state, "DOP853", moments, rtol=1e-12, atol=1e-13).y.T


def careful(**fields):
    return solver()._replace(
        rates=law, slopes=slopes, rtol=1e-7, tolerance=np.full(STATES, 1e-7), enough=1e-3, most=8, **fields
    )


class Night:
    """A solver, what it tells, its book, and the state as it goes."""

    def __init__(self, past=None, times=MOMENTS):
        self.solver, self.book = careful(), open_book(past, 10_000)
        self.rows, self.state, self.t = np.array([[4, 7]]), np.array(BEGIN), 0.0
        count = times.size
        self.told = Told(
            times, np.zeros((count, STATES)), np.zeros((count, 1, 2), np.int64), np.zeros(1, np.int64)
        )

    def go(self, stop, values=NOTHING):
        self.fell = np.zeros(values.size, np.int64)
        ended, self.t = stretches.stretch(
            self.t,
            stop,
            self.state,
            None,
            self.rows,
            values,
            self.fell,
            PLAN,
            self.solver,
            self.told,
            self.book,
        )
        return ended


def test_a_stretch_ends_at_its_stop_and_tells_what_lay_within():
    night = Night()
    assert night.go(STOP) == FINE
    assert night.t == STOP
    assert night.state == pytest.approx(exact([STOP])[0], abs=1e-5)
    assert night.told.reached[0] == MOMENTS.size
    assert night.told.states == pytest.approx(exact(MOMENTS), abs=1e-5)
    assert (night.told.rows == [4, 7]).all()
    assert night.solver.rate == pytest.approx(rate(STOP, night.state))


def test_what_is_asked_for_at_the_stop_itself_is_told_after_it():
    """What is done there may move it."""
    night = Night(times=np.array([0.5, STOP]))
    night.go(STOP)
    assert night.told.reached[0] == 1
    night.rows[:] = 9
    night.go(STOP + 1.0)
    assert night.told.reached[0] == 2
    assert (night.told.rows == [[[4, 7]], [[9, 9]]]).all()
    assert night.told.states[1] == pytest.approx(exact([STOP])[0], abs=1e-5)


@pytest.mark.parametrize("moved", [True, False])
def test_steps_go_on_unless_a_stop_moved_something(moved):
    night = Night()
    night.go(STOP)
    order, step = night.solver.kept[stepper.ORDER], night.solver.kept[stepper.STEP]
    assert order > 1.0
    night.state[0] += 0.1 * moved
    begin = night.state.copy()
    went_on = stretches.begin(STOP, night.state, None, night.rows, night.solver, night.book)
    assert went_on is not moved
    if moved:
        assert night.solver.kept[stepper.ORDER] == 1.0
        assert (night.solver.past[0] == begin).all()
    else:
        assert (night.solver.kept[stepper.ORDER], night.solver.kept[stepper.STEP]) == (order, step)
    night.go(STOP + 1.0)
    assert night.state == pytest.approx(exact([STOP + 1.0], STOP, begin)[0], abs=1e-5)


def test_a_stop_where_rates_change_begins_a_history():
    night = Night()
    night.go(STOP)
    here = rate(STOP, night.state)
    assert stretches.unbroken(night.state, here, night.solver)
    night.solver.rate[0] += 1e-3 / night.solver.kept[stepper.STEP]
    assert not stretches.unbroken(night.state, here, night.solver)


def test_nothing_goes_on_where_heat_was_given_that_no_rate_reads_or_after_a_fall():
    night = Night()
    night.go(STOP)
    here = rate(STOP, night.state)
    night.state[3] += 1e-3
    assert not stretches.unbroken(night.state, here, night.solver)
    night.state[3] = night.solver.past[0, 3]
    night.solver.kept[stepper.STEP] = 0.0
    assert not stretches.unbroken(night.state, here, night.solver)


def watching(monkeypatch, *limits):
    monkeypatch.setattr(stretches, "watched", lambda which, state, _orders, _diary: state[0] - limits[which])


def when_it_falls(limit):
    def above(_t, state):
        return state[0] - limit

    above.terminal = True
    return solve_ivp(rate, (0.0, 9.0), BEGIN, "DOP853", rtol=1e-12, atol=1e-13, events=above).t_events[0][0]


def test_a_value_falls_where_it_does(monkeypatch):
    """Two at one moment, one later, and one that lay below from the beginning and is not watched."""
    watching(monkeypatch, LIMIT, LIMIT - APART, 0.5 * LIMIT, 1.1)
    night, values = (
        Night(times=np.append(np.arange(0.01, 2.0, 0.01), 9.0)),
        BEGIN[0] - np.array([LIMIT, LIMIT - APART, 0.5 * LIMIT, 1.1]),
    )
    moment = when_it_falls(LIMIT)
    assert night.go(9.0, values) == FINE
    assert night.t == pytest.approx(moment, abs=1e-4)
    assert night.state == pytest.approx(exact([moment])[0], abs=1e-4)
    assert night.state[0] == pytest.approx(LIMIT, abs=1e-5)
    assert night.fell.tolist() == [1, 1, 0, 0]
    reached = night.told.reached[0]
    assert reached == np.searchsorted(night.told.times, night.t)
    assert night.told.states[:reached] == pytest.approx(exact(night.told.times[:reached]), abs=1e-5)
    rows = made(night.book)
    assert rows.fell.tolist() == [0] * (rows.fell.size - 1) + [1]
    assert rows.until[-1] == night.t < rows.begin[-1] + rows.length[-1]
    # The step that passed the moment is no past of what follows.
    assert night.solver.kept[stepper.STEP] == 0.0
    night.go(9.0)
    assert made(night.book).how[rows.fell.size] == -1


def test_steps_gone_again_are_longer_by_as_much_as_their_stretch():
    first = Night()
    first.go(STOP)
    steps = made(first.book)
    again = Night(steps)
    assert again.go(1.1 * STOP) == FINE
    assert made(again.book).length == pytest.approx(1.1 * steps.length, rel=1e-12)
    assert (made(again.book).how == steps.how).all()
    assert again.state == pytest.approx(exact([1.1 * STOP])[0], abs=1e-4)
    assert again.book.rows[0] == steps.how.size


def test_the_last_step_gone_again_takes_what_is_left():
    """Others may have been shorter than they were, since their corrections did not fade."""
    first = Night()
    first.go(STOP)
    steps = made(first.book)
    again, end = Night(steps), steps.how.size
    again.solver.kept[stepper.STEP] = again.solver.kept[stepper.ORDER] = 1.0
    again.book.rows[0] = end - 1
    left = 3.0 * steps.length[-1]
    stretches.follow(left, end, 1.0, again.solver, again.book)
    assert again.solver.kept[stepper.STEP] == left
    assert again.solver.kept[stepper.ORDER] == steps.how[-1]


def test_steps_to_a_fall_gone_again_are_as_long_as_they_were(monkeypatch):
    watching(monkeypatch, LIMIT)
    first, values = Night(), np.array([BEGIN[0] - LIMIT])
    first.go(9.0, values.copy())
    steps = made(first.book)
    watching(monkeypatch, LIMIT + 1e-4)
    again = Night(steps)
    assert again.go(9.0, values - 1e-4) == FINE
    assert (made(again.book).length == steps.length).all()
    assert again.t - first.t == pytest.approx(when_it_falls(LIMIT + 1e-4) - when_it_falls(LIMIT), rel=0.05)


def test_a_value_that_falls_in_one_night_only_is_another_night(monkeypatch):
    first = Night()
    first.go(STOP)
    watching(monkeypatch, LIMIT)
    assert Night(made(first.book)).go(STOP, np.array([BEGIN[0] - LIMIT])) == STRAYED
    second = Night(made(first.book))
    second.go(STOP)
    assert second.go(STOP + 1.0) == STRAYED  # it has no steps for this stretch


def test_a_jacobian_serves_so_many_steps():
    night = Night()
    night.go(STOP)
    steps, jacobians = (night.solver.counts[which] for which in (stepper.STEPS, stepper.JACOBIANS))
    assert steps > KEPT
    assert jacobians >= 1 + (steps - 1) // KEPT
    night.solver.kept[stepper.AGE] = KEPT
    assert stretches.ready(STOP, 0.1, None, night.rows, night.solver)
    assert night.solver.counts[stepper.JACOBIANS] == jacobians + 1
    assert night.solver.jacobian == pytest.approx(slope(STOP, night.solver.past[0]))
    assert stretches.ready(STOP, 0.2, None, night.rows, night.solver)
    assert night.solver.factors.matrix[0, 0] == pytest.approx(5.0 - night.solver.jacobian[0, 0])


def refused():
    s = careful()
    s.kept[stepper.ORDER], s.kept[stepper.STEP], s.kept[stepper.AGE] = 3.0, 1.0, 5.0
    return s


def test_a_step_whose_error_is_too_large_is_shortened_by_it():
    s = refused()
    stretches.again_otherwise(16.0, 1, s)
    assert s.kept[stepper.STEP] == pytest.approx(stepper.CAREFUL / 2.0)
    assert s.kept[stepper.ORDER] == 3.0
    stretches.again_otherwise(4.0, 4, s)
    assert s.kept[stepper.ORDER] == 1.0


def test_a_step_that_is_not_solved_has_a_new_jacobian_first():
    s = refused()
    stretches.again_otherwise(np.inf, 1, s)
    assert s.kept[stepper.AGE] >= KEPT
    assert s.kept[stepper.STEP] == 1.0
    s.kept[stepper.AGE] = 0.0
    stretches.again_otherwise(np.inf, 2, s)
    assert s.kept[stepper.STEP] == 0.25


def test_a_book_that_is_full_stays_so():
    book = open_book(None, 1)
    for k in range(2):
        stretches.write_down(float(k), k + 1.0, 1.0, 1, 1, False, book)
    assert made(book).begin.tolist() == [0.0]


def test_corrections_go_on_until_the_step_is_solved():
    """By a Jacobian that is far off, and as far as is asked."""
    night = Night()
    night.solver = s = night.solver._replace(slopes=lambda *given: 0.5 * slopes(*given))
    stretches.begin(0.0, night.state, None, night.rows, s, night.book)
    stepper.restep(0.05 / s.kept[stepper.STEP], s)
    error = stretches.try_step(0.0, None, night.rows, s)
    formulas, c = s.formulas, 0.05 / s.formulas.alpha[1]
    left = c * rate(0.05, s.trial) - s.psi - s.change
    assert formulas.miss[1] * stepper.size_of(left, s.trial, s) < s.enough
    assert error == pytest.approx(formulas.miss[1] * stepper.size_of(s.change, s.trial, s))
    assert s.counts[stepper.CALLS] > 3


def test_a_step_that_misses_by_too_much_is_made_again_shorter(monkeypatch):
    monkeypatch.setattr(stretches, "first_step", lambda _rate, _solver: STOP)
    night = Night()
    assert night.go(STOP) == FINE
    assert night.solver.counts[stepper.REFUSED] > 0
    assert night.state == pytest.approx(exact([STOP])[0], abs=1e-5)


def test_stops_are_met_to_the_last_digit():
    night = Night()
    for stop in np.cumsum(np.full(30, 0.1)):
        assert night.go(stop) == FINE
        assert night.t == stop


def test_every_stretch_has_its_own_steps_gone_again():
    first = Night()
    first.go(STOP)
    first.go(STOP + 1.0)
    steps = made(first.book)
    again = Night(steps)
    for stretch, stop in enumerate((STOP, STOP + 1.0), start=1):
        assert again.go(stop) == FINE
        assert again.book.rows[0] == (steps.stretch <= stretch).sum()
    assert made(again.book).length == pytest.approx(steps.length, rel=1e-12)

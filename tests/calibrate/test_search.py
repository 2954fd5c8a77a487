"""The search by misfits whose answers are known: straight ones, bent ones, kinked ones, and slopes that lie."""

from dataclasses import dataclass, replace
from types import SimpleNamespace

import numpy as np
import pytest

from simtent.calibrate import search as searching
from simtent.calibrate import steps
from simtent.calibrate.misfit import Misfit
from simtent.calibrate.nights import Readings
from simtent.calibrate.outlook import Outlook, Shown
from simtent.calibrate.sought import Sought
from simtent.errors import SolveError
from simtent.identify.memory import Errors

TIMES = 600.0 * np.arange(120)
SHAPES = np.stack([np.cos(TIMES / 9e3), np.sin(TIMES / 5e3), TIMES / TIMES[-1]], axis=1)
TRUTH = np.array([0.9, -0.6, 0.4])
ERRORS = {"cot": Errors(0.3, 300.0)}


@dataclass(frozen=True)
class Toy(Outlook):
    """A night whose one sensor shows what a function of the numbers says."""

    law: object
    lies: bool = False

    def moving(self):
        return list(range(len(self.setting.sought)))

    def simulated(self, z):
        return Shown(self.law(z)[:, None], 600.0)

    def change(self, z, there, k, reach):
        found = super().change(z, there, k, reach)
        return -found if self.lies else found

    def shown(self, shown, z):
        return [shown.raw[:, 0], np.zeros(0)]

    def slopes(self, shown, raw, z):
        return [raw[:, 0], np.zeros((0, z.size))]


def straight(z):
    return 5.0 * SHAPES @ z


def toy(law=straight, lies=False, high=4.0):
    noise = 0.3 * np.random.default_rng(3).standard_normal(TIMES.size)
    sought = tuple(Sought(f"n{k}", "1", 0.0, 1.0, -4.0, high, "toy", factor=False) for k in range(3))
    night = SimpleNamespace(readings=(Readings("cot", TIMES, law(TRUTH) + noise, 0.2),), relit=(), sought=())
    return Misfit([Toy(night, SimpleNamespace(sought=sought), law, lies)])


def searched(misfit, fine=None, progress=lambda _line: None, starts=2):
    return searching.search(misfit, fine or misfit, starts, 0, progress)


def most_likely(misfit, errors):
    """Of a straight misfit, by the normal equations."""
    nothing = np.zeros(3)
    seen = misfit.seen_with_slopes(nothing, np.full(3, 0.1))
    slopes, left = misfit.slopes(seen, errors), misfit.residuals(nothing, seen, errors)
    return np.linalg.solve(slopes.T @ slopes, -slopes.T @ left)


def test_a_straight_misfit_settles_at_the_answer_of_the_normal_equations():
    misfit = toy()
    best = searched(misfit)
    assert best.settled and not best.stopped and len(best.costs) == 2
    assert best.z == pytest.approx(most_likely(misfit, best.errors), abs=1e-3)
    assert best.errors["cot"].deviation == pytest.approx(0.3, rel=0.2)


def test_slopes_that_lie_do_not_settle():
    best = searched(toy(lies=True), starts=1)
    assert not best.settled


def test_where_the_misfit_fell_since_slopes_were_taken_it_has_not_settled(monkeypatch):
    monkeypatch.setattr(searching, "OWN_SLOPES", 1)
    misfit = toy()
    best = searched(toy(lies=True), misfit, starts=1)  # all layers begin where the start did
    assert best.z == pytest.approx(most_likely(misfit, best.errors), abs=0.05)
    assert not best.settled


def test_numbers_stay_within_their_bounds_and_settle_there():
    best = searched(toy(high=0.5))
    assert best.settled
    assert best.z[0] == pytest.approx(0.5, abs=1e-6) and best.z.max() <= 0.5


def test_at_a_kink_that_no_slope_leads_out_of_it_settles():
    """The misfit is lowest where two laws meet: either side's slopes promise a fall beyond it."""

    def kinked(z):
        return straight(z) + 20.0 * abs(z[0] - TRUTH[0]) * SHAPES[:, 2]

    misfit = toy(kinked)
    best = searched(misfit)
    assert best.settled and best.z == pytest.approx(TRUTH, abs=0.1)


def test_interrupted_it_keeps_the_best_so_far():
    lines = []

    def progress(line):
        lines.append(line)
        if len(lines) == 2:
            raise KeyboardInterrupt

    misfit = toy()
    best = searched(misfit, progress=progress)
    assert best.stopped and not best.settled and "stopped" in lines[-1]
    first, last = (float(line.rpartition(" ")[2]) for line in lines[:2])
    assert last < first
    there = steps.Point(best.z, misfit.seen(best.z))
    assert steps.half_squares(misfit, there, misfit.first_errors()) == pytest.approx(last, abs=0.06)


def test_a_step_that_overshoots_is_held_back_until_it_helps():
    def bent(z):
        return 5.0 * SHAPES @ np.sinh(2.0 * z)

    misfit = toy(bent)
    begin = np.zeros(3)
    at = steps.Point(begin, misfit.seen_with_slopes(begin, np.full(3, 1e-3)))
    made = steps.step(misfit, at, ERRORS, 0.0, 0.1, 8)
    assert made.fell > 0.0 and made.held >= steps.FIRST_HELD
    after = steps.half_squares(misfit, made.point, ERRORS)
    assert made.fell == pytest.approx(steps.half_squares(misfit, at, ERRORS) - after)


def test_what_cannot_be_simulated_is_gone_round():
    def broken(z):
        if z[0] > 0.95 and z[1] > -0.55:
            raise SolveError("no step is small enough")
        return straight(z)

    best = searched(toy(broken))
    assert best.z == pytest.approx(most_likely(toy(), best.errors), abs=0.05)


def test_slopes_corrected_by_what_was_seen_lead_there():
    misfit = toy()
    here, there = np.zeros(3), np.array([0.5, -0.2, 0.1])
    seen = misfit.seen_with_slopes(here, np.full(3, 0.1))
    wrong = replace(seen, moved=tuple(1.3 * it for it in seen.moved))
    (moved,) = misfit.corrected(here, wrong, there, misfit.seen(there))
    assert (moved @ there)[:, 0] == pytest.approx(straight(there))
    across = np.array([0.2, 0.5, 0.0])  # at right angles to the step
    assert moved @ across == pytest.approx(wrong.moved[0] @ across)

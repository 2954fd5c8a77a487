"""A shipped night by another solver, SUNDIALS' CVODE, on the same right-hand side."""

import numpy as np
import pytest
from sksundae.cvode import CVODE

from simtent.assembly.rhs import shelter_rhs
from simtent.run import run
from simtent.scenario.load import load
from tests.simulate.cases import KNOWN, each

pytestmark = pytest.mark.compiled

PATHS_DO_NOT_COUNT = 1e9  # J


def in_place(model, rows):
    def rates(t, state, out):
        out[:] = shelter_rhs(t, state, model.shelter, rows)

    return rates


def by_cvode(model, times):
    """States at the times [s]; at every jump the next rows of the tables are put in force and CVODE starts anew."""
    network = model.shelter.net
    n = network.capacity.size
    tolerance = np.full(model.start.size, PATHS_DO_NOT_COUNT)
    tolerance[:n] = 1e-7
    jumps = model.net.jump_times()
    states, state = np.empty((times.size, model.start.size)), model.start.copy()
    for k, (begin, end) in enumerate(zip(jumps, [*jumps[1:], model.net.end], strict=True)):
        rates = in_place(model, network.jumps.rows[k].copy())
        wanted = (times >= begin) & (times <= end)
        stops = np.unique(np.concatenate(([begin, (begin + end) / 2.0, end], times[wanted])))
        answer = CVODE(rates, rtol=1e-9, atol=tolerance, max_num_steps=100_000).solve(stops, state)
        assert answer.success, answer.message
        states[wanted] = answer.y[np.searchsorted(stops, times[wanted])]
        state = answer.y[-1].copy()
    return states


@each(KNOWN)
def test_a_night_by_cvode(path):
    night = run(load(path))
    states = by_cvode(night.model, night.solution.times)
    n, layers = len(night.model.net.capacities), night.model.house.bands.centres.size
    assert states[:, :layers] == pytest.approx(night.solution.states[:, :layers], abs=0.005, rel=0.0)
    came = night.solution.states[-1, n:]
    assert states[-1, n:] == pytest.approx(came, abs=1e-4 * np.abs(came).max(), rel=0.0)

"""Right-hand sides and nights, written to a file: run once compiled and once in plain Python, then compared."""

import sys
from pathlib import Path

import numpy as np

from simtent import compiled
from simtent.assembly.assemble import assemble
from simtent.assembly.rhs import shelter_rhs
from simtent.readings import level_temperatures
from simtent.run import run
from simtent.scenario.load import load

STEP = 0.1  # s; below the reach of a classic Runge-Kutta step, 2.8 over the fastest rate of 13.6 1/s


def random_rates(scenario, count):
    """Rates at random states between -40 and 90 degC."""
    model = assemble(scenario)
    random = np.random.default_rng(7)
    n = len(model.net.capacities)
    rows = model.shelter.net.jumps.rows[0].copy()
    rates = []
    for _ in range(count):
        state = model.start.copy()
        state[:n] = random.uniform(233.0, 363.0, n)
        rates.append(shelter_rhs(60.0, state, model.shelter, rows))
    return np.array(rates)


def fixed_steps(scenario, seconds):
    """Temperatures after some time by classic Runge-Kutta steps of fixed length."""
    model = assemble(scenario)
    state, rows = model.start.copy(), model.shelter.net.jumps.rows[0].copy()

    def rates(t, y):
        return shelter_rhs(t, y, model.shelter, rows)

    for k in range(round(seconds / STEP)):
        t = k * STEP
        a = rates(t, state)
        b = rates(t + STEP / 2, state + STEP / 2 * a)
        c = rates(t + STEP / 2, state + STEP / 2 * b)
        d = rates(t + STEP, state + STEP * c)
        state = state + STEP / 6 * (a + 2 * b + 2 * c + d)
    return state[: len(model.net.capacities)]


def main(target, what, path):
    """Write what was asked for: rates, steps or night."""
    scenario = load(path)
    work = {
        "rates": lambda: random_rates(scenario, 1000),
        "steps": lambda: fixed_steps(scenario, 3600.0),
        "night": lambda: level_temperatures(run(scenario)),
    }
    np.savez(target, values=work[what](), compiled=compiled.NUMBA is not None)


if __name__ == "__main__":
    main(Path(sys.argv[1]), sys.argv[2], Path(sys.argv[3]))

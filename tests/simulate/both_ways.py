"""Right-hand sides and nights, written to a file: run once compiled and once in plain Python, then compared."""

import sys
from pathlib import Path

import numpy as np

from simtent import compiled
from simtent.assembly.assemble import assemble
from simtent.assembly.rhs import shelter_rhs
from simtent.readings import level_temperatures
from simtent.run import run, tend
from simtent.scenario.load import load

# s; below the reach of a classic Runge-Kutta step, 2.8 over the fastest rate: 1 1/s in the wall tent, 0.5 in the open
STEP, OPEN_STEP = 0.5, 1.0


def random_rates(scenario, count):
    """Rates at random states: nodes between -40 and 90 degC, the stove's up to 1000 degC, any wood and levers."""
    model = assemble(scenario)
    random = np.random.default_rng(7)
    n = len(model.net.capacities)
    rows = model.shelter.net.jumps.rows[0].copy()
    rates = []
    for _ in range(count):
        state = model.start.copy()
        state[:n] = random.uniform(233.0, 363.0, n)
        if model.hearth is not None:
            stoke(model, state, random)
        rates.append(shelter_rhs(60.0, state, model.shelter, rows))
    return np.array(rates)


def stoke(model, state, random):
    """Put any fire into a state in place: hot metal, wood in every slot, coals, a flow of air, levers somewhere."""
    hearth, stove = model.hearth, model.shelter.stove
    slots, places = stove.slots, stove.places
    nodes = [hearth.fire, hearth.body, *hearth.inside, *hearth.outside]
    state[nodes] = random.uniform(233.0, 1273.0, len(nodes))
    n = slots.dry.size
    state[slots.first_dry : slots.first_dry + n] = slots.dry * random.uniform(-1e-4, 1.0, n)
    state[slots.first_water : slots.first_water + n] = slots.water * random.uniform(-1e-4, 1.0, n)
    state[slots.first_caught : slots.first_caught + n] = random.choice([-3000.0, 30.0, 60.0, 1e9], n)
    state[[places.coals, places.ash, places.burnt]] = random.uniform(-1e-5, 1.0, 3)
    state[places.air] = random.uniform(-1e-3, 1e-2)
    state[[places.inlet, places.damper]] = random.choice([0.0, 0.3, 1.0], 2)
    state[places.door] = random.choice([0.0, 0.02])
    state[places.lighting] = random.choice([0.0, 1000.0])
    state[places.last_load] = random.uniform(0.0, 3.0)


def fixed_steps(scenario, seconds):
    """Temperatures, of a fire or a damp night the whole state, after classic Runge-Kutta steps of fixed length."""
    model = assemble(scenario)
    state, rows = model.start.copy(), model.shelter.net.jumps.rows[0].copy()
    step = OPEN_STEP if model.house is None else STEP
    tending = tend(scenario, model)
    due = None if tending is None else -step

    def rates(t, y):
        return shelter_rhs(t, y, model.shelter, rows)

    for k in range(round(seconds / step)):
        t = k * step
        while due is not None and due <= t:
            tending.at(t, state)
            due = tending.next_after(t)
        a = rates(t, state)
        b = rates(t + step / 2, state + step / 2 * a)
        c = rates(t + step / 2, state + step / 2 * b)
        d = rates(t + step, state + step * c)
        state = state + step / 6 * (a + 2 * b + 2 * c + d)
    return state[: len(model.net.capacities)] if tending is None and scenario.damp is None else state


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

"""Water of damp nights for tests: what a state holds, and states with any water in them."""

from dataclasses import dataclass

import numpy as np

from simtent.assembly.vapour import outdoor_ratio
from simtent.network.kernels import table_value
from simtent.physics.moist import humidity_ratio, saturation_over_water
from tests.simulate.states import State

WET = {"damp.snow": "200 g", "crew.wet_gear": "500 g"}


@dataclass(frozen=True)
class Held:
    """Water over time [kg], shape (times, layers), (times, faces), (times, things), (times,)."""

    vapour: np.ndarray
    ice: np.ndarray
    liquid: np.ndarray
    hung: np.ndarray
    bags: np.ndarray
    entered: np.ndarray
    left: np.ndarray
    sleepers: np.ndarray
    dripped: np.ndarray

    @property
    def all(self):
        """All that is inside [kg]."""
        return sum(it.sum(axis=1) for it in (self.vapour, self.ice, self.liquid, self.hung)) + self.bags

    @property
    def came(self):
        """What came and was given off, less what left [kg]."""
        return self.entered + self.sleepers - self.left

    @property
    def missed(self):
        """Most that is missing, as a share of all that was ever there."""
        through = self.all[0] + self.entered[-1] + self.sleepers[-1]
        return float(np.abs(self.all - self.all[0] - self.came).max() / through)


def held(model, states):
    """Water in the states of a model."""
    d = model.shelter.damp
    rows = {"vapour": (d.first, d.mass.size), "hung": (d.wet, d.wet_layer.size)}
    rows |= {name: (getattr(d, name), d.below.size) for name in ("ice", "liquid")}
    found = {name: states[:, first : first + count] for name, (first, count) in rows.items()}
    single = {
        "bags": d.bag,
        "entered": d.entered,
        "left": d.left,
        "sleepers": d.sleepers,
        "dripped": d.dripped,
    }
    return Held(**found, **{name: states[:, place] for name, place in single.items()})


def outdoors(state: State):
    """Humidity ratio of the outdoor air [kg/kg]."""
    p = state.model.shelter
    humidity = table_value(p.net.tables, state.rows, p.weather.humidity, state.time)
    return outdoor_ratio(state.seen()[0][0], humidity, p.weather.pressure)


def with_ratio(state: State, ratio) -> State:
    """The same with another humidity ratio [kg/kg], one or by layer, dry faces, nothing hung."""
    d, values = state.model.shelter.damp, state.values.copy()
    values[d.first : d.first + d.mass.size] = ratio * d.mass
    for first, count in ((d.ice, d.below.size), (d.liquid, d.below.size), (d.wet, d.wet_layer.size)):
        values[first : first + count] = 0.0
    return state.with_values(values)


def wetted_at_random(state: State, random) -> State:
    """Air from dry to fog, faces bare, covered or running over, wet things with any rest."""
    p = state.model.shelter
    d, values = p.damp, state.values.copy()
    air = values[: d.mass.size]
    moist = random.choice([0.05, 0.5, 0.9, 1.05], d.mass.size)
    full = [humidity_ratio(saturation_over_water(t), p.weather.pressure) for t in air]
    values[d.first : d.first + d.mass.size] = moist * full * d.mass
    for first in (d.ice, d.liquid):
        kinds = random.choice([0.0, 2e-3, 0.03, 0.15], d.below.size)
        values[first : first + d.below.size] = kinds * p.films.area
    values[d.wet : d.wet + d.wet_layer.size] = d.wet_area * random.choice([0.0, 2e-3, 0.4], d.wet_layer.size)
    return state.with_values(values)

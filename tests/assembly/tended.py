"""A stove tended by hand from moment to moment, and nights of steady cooling."""

import numpy as np

from simtent.assembly.assemble import assemble
from simtent.network.solve import Accuracy, solve
from simtent.run import tend
from tests.assembly.nights import stove_night

HOUR = 3600.0
# Moist wood of a stick 4 cm thick and 30 cm long, of a split 9 cm by 40 cm: 410 kg/m3 dry (Wood Handbook), 20 % wet.
STICK, SPLIT = (np.pi / 4.0 * thick**2 * long * 410.0 / 0.8 for thick, long in ((0.04, 0.3), (0.09, 0.4)))
DOOR = 0.3 * 0.25 * 0.30  # m2, a share of the firebox' front; common practice, no source
FIRST = [{"at": "18:00", "pieces": {"stick": 4, "split": "1.6 kg"}}]
COLD = {"from": "20:00", "to": "01:00", "when": {"level": "cot", "below": "2 degC"}, "load": {"split": 1}}
DAMPER = {"stove.damper": {"marks": {"turned": "30 %", "along": "90 %"}}, "stoking.damper": "turned"}


class Hand:
    """Someone tending a stove whose state is moved by hand from moment to moment."""

    def __init__(self, changes=None):
        night = stove_night({"stoking.load": FIRST} | dict(changes or {}))
        self.model = assemble(night)
        self.tending = tend(night, self.model)
        self.places, self.slots = self.model.shelter.stove.places, self.model.shelter.stove.slots
        self.state, self.now = self.model.start.copy(), 0.0
        self.air(15.0)
        self.tending.at(0.0, self.state)

    def until(self, t):
        """Let everything happen that is due up to a moment [s]."""
        while (due := self.tending.next_after(self.now)) is not None and due <= t:
            self.tending.at(due, self.state)
            self.now = due
        self.now = t
        return self

    def air(self, celsius):
        """All layers of air at a temperature."""
        self.state[: self.model.house.bands.centres.size] = celsius + 273.15
        return self

    def cold(self, t, celsius):
        """The first rule's level has fallen to a temperature at a moment [s]."""
        self.until(t).air(celsius)
        self.tending.noticed(t, 0, self.state)
        return self

    def coals(self, mass, *, wood=0.0):
        """What glows, and a share of all wood in the firebox that is left [kg]."""
        self.state[self.places.coals] = mass
        first, n = self.slots.first_dry, self.slots.dry.size
        self.state[first : first + n] *= wood
        self.state[self.slots.first_water : self.slots.first_water + n] *= wood
        return self

    def watched(self):
        return self.tending.watch(self.now, self.state).tolist()

    def lies(self):
        """Dry wood and water by slot [kg], and when it caught [s]."""
        n, slots = self.slots.dry.size, self.slots
        firsts = (slots.first_dry, slots.first_water, slots.first_caught)
        return [self.state[first : first + n].tolist() for first in firsts]

    def __getattr__(self, name):
        """Levers, door, match, mass of the last load as they are."""
        return self.state[getattr(self.places, name)]

    def told(self):
        return [(event.time, event.what, event.by) for event in self.tending.events]


def ruled(**changes):
    when = {"below", "coals", "level"} & set(changes)
    rule = COLD | {key: value for key, value in changes.items() if key not in when}
    return {"stoking.rule": [rule | {"when": COLD["when"] | {key: changes[key] for key in when}}]}


def cooling(model, per_hour, warms):
    """Right-hand side of a room that cools steadily, and warms for an hour from each moment that wood caught [K/h]."""
    n, slots = model.house.bands.centres.size, model.shelter.stove.slots

    def rhs(t, state, _rows):
        out = np.zeros(state.size)
        caught = state[slots.first_caught : slots.first_caught + slots.dry.size]
        warm = ((caught > 0.0) & (t >= caught) & (t < caught + HOUR)).any()
        out[:n] = (warms if warm else -per_hour) / HOUR
        return out

    return rhs


def lived_through(changes, per_hour=1.0, warms=4.0, start=5.0, coals=0.3, step=300.0):
    """A night of steady cooling by the engine, from a temperature [degC]; the first load does not warm."""
    night = stove_night({"stoking.load": FIRST} | changes)
    model = assemble(night)
    tending = tend(night, model)
    begin = model.start.copy()
    begin[: model.house.bands.centres.size] = start + 273.15
    begin[model.shelter.stove.places.coals] = coals
    times = np.arange(0.0, model.net.end + 1.0, step)
    answer = solve(
        cooling(model, per_hour, warms), model.shelter.net, begin, model.net.jump_times(), times,
        Accuracy(rtol=1e-8, atol=1e-7), script=tending,
    )  # fmt: skip
    return tending, answer


def woken(tending):
    return [event.time / HOUR for event in tending.events if event.what.startswith("woken")]

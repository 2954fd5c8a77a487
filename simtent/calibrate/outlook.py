"""What a logged night's sensors would show, and how that changes with every number that is sought."""

from collections.abc import Callable, Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass, field
from functools import partial
from typing import Any

import numpy as np

from simtent.assembly.drivers import driver
from simtent.calibrate import sensors
from simtent.calibrate.nights import Night, Readings
from simtent.calibrate.sought import Sought
from simtent.derivatives import derivatives
from simtent.driver import SWIFT, drive
from simtent.errors import InputError, SolveError
from simtent.network.arrays import Array
from simtent.network.solve import Accuracy
from simtent.readings import level_temperatures
from simtent.run import Run
from simtent.scenario.scenario import Scenario

CLOSER = (0.1,)  # of the accuracy, tried in turn where a night cannot repeat its own steps
STEP = 120.0  # s between the times at which a night is read; about
APART = 0.1  # deviations, between a night and one moved by a number that has no derivative there
HOUR = 3600.0  # s
HAIR = 1e-3  # of a deviation, by which a sensor's number is moved
ZERO_CELSIUS = 273.15
METAL = ("stove", "pipe")


@dataclass(frozen=True)
class Setting:
    """How a night's scenario follows from the numbers: those of the scenario by a common base, and the night's own.

    base     the scenario's numbers by key, at which factors stand at 1
    layers   of air; None as the scenario has it
    accuracy  of the nights
    """

    sought: tuple[Sought, ...]
    base: Mapping[str, Any]
    layers: int | None = None
    accuracy: Accuracy = SWIFT

    def replacements(self, night: Night, values: Mapping[str, float]) -> dict[str, Any]:
        """All replacements of a night's scenario."""
        changes = self.of_scenario(values)
        if self.layers is not None:
            changes["model.layers"] = self.layers
        return night.replaced(changes, values)

    def of_scenario(self, values: Mapping[str, float]) -> dict[str, Any]:
        """Replacements of the scenario's own numbers."""
        changes: dict[str, Any] = {}
        for one in self.sought:
            for key in one.keys:
                changes |= self.base[key].replacement(self._number(one, key, values[one.name]))
        return changes

    def _number(self, one: Sought, key: str, value: float) -> float:
        """A tied number moves by the factor of the first."""
        if key == one.keys[0]:
            return value
        first = self.base[one.keys[0]].number
        return float(self.base[key].number * value / first)


@dataclass(frozen=True)
class Shown:
    """A simulated night as its sensors would show it.

    raw      what hangs where, at every time: columns of `places`, then a column that begins with the chances of
             relighting, load by load; shape (times, columns)
    step     between the times [s]
    """

    raw: Array
    step: float


@dataclass(frozen=True)
class _Move:
    """One number that moves a night, counted in deviations."""

    name: str
    number: float
    size: float
    unit: str
    changes: Any = field(repr=False)

    def replacement(self, number: float) -> Mapping[str, Any]:
        """Everything that the night's scenario takes from the numbers, with this one moved."""
        return self.changes(number)  # type: ignore[no-any-return]


@dataclass(frozen=True)
class Outlook:
    """A logged night under numbers: `places` are the columns of what is simulated."""

    night: Night
    setting: Setting

    @property
    def places(self) -> tuple[str, ...]:
        """Every place where a sensor could hang."""
        scenario = self.night.scenario
        levels = tuple(scenario.levels) if scenario.shelter else ()
        return (*levels, *(METAL if scenario.stove else ()), "outdoors")

    @property
    def step(self) -> float:
        """Time between two times told [s]; it divides the night."""
        seconds = self.night.scenario.night.seconds
        return float(seconds / round(seconds / STEP))

    def moving(self) -> list[int]:
        """Indices of the numbers for which the night has to be simulated anew."""
        own = {one.name for one in self.night.sought}
        return [k for k, one in enumerate(self.setting.sought) if one.keys or one.name in own]

    def scenario(self, z: Array) -> Scenario:
        """The night's scenario."""
        return self.night.scenario.replace(self.setting.replacements(self.night, self._values(z)))

    def simulated(self, z: Array) -> Shown:
        """The night at z."""
        there = drive(self.scenario(z), accuracy=self.setting.accuracy, step=self.step)
        return Shown(self._read(there, self._before_loads(z)), self.step)

    def moved(self, z: Array, cores: int | None = None) -> tuple[Shown, Array]:
        """The night at z, and its change with every number that moves it, shape (times, columns, numbers)."""
        which = self.moving()
        moves = [self._move(z, k) for k in which]
        there, changes = self._derivatives(z, moves, cores)
        slopes = np.zeros((*there.shape, z.size))
        slopes[:, :, which] = np.moveaxis(changes, 0, -1)
        return Shown(there, self.step), slopes

    def change(self, z: Array, there: Shown, k: int, reach: float) -> Array:
        """Change of the night with the k-th number, shape (times, columns): over `reach` deviations, not over a hair.

        Air, draught and fire switch between laws as numbers move, each time with a kink; a slope over a hair tells one
        side of it, and a step of a fit goes over many. Taken the other way where this one is out of bounds, or its
        night cannot be simulated.
        """
        low, high = self.setting.sought[k].ends
        far = float(np.clip(reach, -0.25 * (high - low), 0.25 * (high - low)))
        ways = [way for way in (far, -far) if low <= z[k] + way <= high]
        for way in ways:
            moved = z.copy()
            moved[k] += way
            try:
                return np.asarray((self.simulated(moved).raw - there.raw) / way)
            except (SolveError, InputError):
                if way == ways[-1]:
                    raise
        raise AssertionError("one way lies within the bounds")

    def _derivatives(self, z: Array, moves: Sequence[_Move], cores: int | None) -> tuple[Array, Array]:
        """The night read, shape (times, columns), and its change with every move, shape (moves, times, columns).

        At the setting's accuracy; closer where a night cannot repeat its own steps; where one number has no derivative
        (a moved moment that meets another one) by two whole nights that lie further apart.
        """
        how, scenario = self.setting.accuracy, self.scenario(z)
        read = partial(self._read, rows=self._before_loads(z))
        for closer in (1.0, *CLOSER):
            accuracy = Accuracy(how.method, closer * how.rtol, closer * how.atol)
            with suppress(SolveError):
                found = derivatives(scenario, moves, read, accuracy=accuracy, step=self.step, cores=cores)
                return found.values.reshape(found.shape), found.matrix.T.reshape(-1, *found.shape)
        there = read(drive(scenario, accuracy=how, step=self.step))
        return there, np.array([self._apart(scenario, move, how, read) for move in moves])

    def _apart(self, scenario: Scenario, move: _Move, how: Accuracy, read: Callable[[Run], Array]) -> Array:
        """Change with one number by a replayed hair, or else by nights that lie `APART` to either side."""
        with suppress(SolveError):
            found = derivatives(scenario, [move], read, accuracy=how, step=self.step, cores=1)
            return found.matrix.T.reshape(found.shape)
        less, more = (
            read(drive(scenario.replace(move.replacement(move.number + far)), accuracy=how, step=self.step))
            for far in (-APART, APART)
        )
        return np.asarray((more - less) / (2.0 * APART))

    def shown(self, shown: Shown, z: Array) -> list[Array]:
        """What each sensor of the night shows at its readings' times [K], then the chances at loads."""
        values = self._values(z)
        out = [self._at(one, shown, values) for one in self.night.readings]
        return [*out, shown.raw[self._before_loads(z), -1]]

    def slopes(self, shown: Shown, raw: Array, z: Array) -> list[Array]:
        """Change of each of these with every number, shapes [m, p]."""
        values = self._values(z)
        out = []
        for one in self.night.readings:
            column = np.stack(
                [self._at(one, Shown(raw[:, :, k], shown.step), values, alone=True) for k in range(z.size)],
                axis=1,
            )
            out.append(column + self._by_sensor(one, shown, z))
        return [*out, raw[self._before_loads(z), -1]]

    def _by_sensor(self, readings: Readings, shown: Shown, z: Array) -> Array:
        """Change by the sensor's own numbers: nothing is simulated for them."""
        out = np.zeros((readings.seconds.size, z.size))
        for k, one in enumerate(self.setting.sought):
            if one.sensor == readings.place:
                two = [z.copy(), z.copy()]
                two[0][k] -= HAIR
                two[1][k] += HAIR
                less, more = (self._at(readings, shown, self._values(it)) for it in two)
                out[:, k] = (more - less) / (2.0 * HAIR)
        return out

    def _at(
        self, readings: Readings, shown: Shown, values: Mapping[str, float], *, alone: bool = False
    ) -> Array:
        """What a sensor shows at its times; with `alone`, of a change, to which its offset adds nothing."""
        place = readings.place
        one = sensors.traits(place, values, readings.logger)
        if alone:
            one = sensors.Traits(one.lag, 0.0, one.share)
        column = dict(zip(self.places, shown.raw.T, strict=False))
        beside = column.get("cot", column["outdoors"])
        stove = column.get("stove", column[place])
        felt = sensors.shown(place, column[place], stove, beside, shown.step, one)
        return np.interp(readings.seconds, shown.step * np.arange(felt.size), felt)

    def _before_loads(self, z: Array) -> list[int]:
        """Rows of the last times before each load of which it is known whether coals lit it, times moved as z says."""
        values = self._values(z)
        at = [one.at + (values.get(one.time, 0.0) if one.time else 0.0) for one in self.night.relit]
        return [max(int(np.ceil(moment / self.step)) - 1, 0) for moment in at]

    def _values(self, z: Array) -> dict[str, float]:
        return {one.name: one.value(float(x)) for one, x in zip(self.setting.sought, z, strict=True)}

    def _move(self, z: Array, k: int) -> _Move:
        """The k-th number as something to be moved by a hair."""
        one = self.setting.sought[k]
        size = (1.0 if one.factor else self._large(one)) / one.spread

        def changes(number: float) -> Mapping[str, Any]:
            other = z.copy()
            other[k] = number
            return self.setting.replacements(self.night, self._values(other))

        return _Move(one.name, float(z[k]), size, "deviations", changes)

    def _large(self, one: Sought) -> float:
        """What counts as a large change of a number that is added to, in its unit: ten kelvin, an hour of a time."""
        return float(self.setting.base[one.keys[0]].size) if one.keys else HOUR

    def _read(self, night: Run, rows: Sequence[int]) -> Array:
        """Everything that a sensor could show at every time, and at some rows the chance that a load would be lit."""
        columns = [] if night.model.house is None else [level_temperatures(night) + ZERO_CELSIUS]
        hearth = night.model.hearth
        if hearth is not None:
            pipe = night.temperatures[:, [*hearth.inside, *hearth.outside]].max(axis=1)
            columns += [night.temperatures[:, [hearth.body]], pipe[:, None]]
        columns.append(_outdoors(night)[:, None])
        columns.append(_odds(night, rows)[:, None])
        return np.concatenate(columns, axis=1)


def _odds(night: Run, rows: Sequence[int]) -> Array:
    """Chance that a load would be lit, where it is asked for; 0 at all other times."""
    odds = np.zeros(night.solution.times.size)
    if night.tending is not None:
        for row in rows:
            odds[row] = night.tending.chance(night.solution.states[row])
    return odds


def _outdoors(night: Run) -> Array:
    return driver(night.scenario.outdoors.track("air")).values(night.solution.times)


def outlooks(nights: Sequence[Night], setting: Setting) -> list[Outlook]:
    """Every night under the same numbers."""
    return [Outlook(night, setting) for night in nights]

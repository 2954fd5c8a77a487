"""What a logged night's sensors would show, and how that changes with every number that is sought."""

from collections.abc import Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass, field
from typing import Any

import numpy as np

from simtent.assembly.drivers import driver
from simtent.calibrate import sensors
from simtent.calibrate.nights import Night
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
        return Shown(
            self._read(drive(self.scenario(z), accuracy=self.setting.accuracy, step=self.step)), self.step
        )

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
        for closer in (1.0, *CLOSER):
            accuracy = Accuracy(how.method, closer * how.rtol, closer * how.atol)
            with suppress(SolveError):
                found = derivatives(
                    scenario, moves, self._read, accuracy=accuracy, step=self.step, cores=cores
                )
                return found.values.reshape(found.shape), found.matrix.T.reshape(-1, *found.shape)
        there = self._read(drive(scenario, accuracy=how, step=self.step))
        return there, np.array([self._apart(scenario, move, how) for move in moves])

    def _apart(self, scenario: Scenario, move: _Move, how: Accuracy) -> Array:
        """Change with one number by a replayed hair, or else by nights that lie `APART` to either side."""
        with suppress(SolveError):
            found = derivatives(scenario, [move], self._read, accuracy=how, step=self.step, cores=1)
            return found.matrix.T.reshape(found.shape)
        less, more = (
            self._read(
                drive(scenario.replace(move.replacement(move.number + far)), accuracy=how, step=self.step)
            )
            for far in (-APART, APART)
        )
        return np.asarray((more - less) / (2.0 * APART))

    def shown(self, shown: Shown, z: Array) -> list[Array]:
        """What each sensor of the night shows at its readings' times [K], then the chances at loads."""
        values = self._values(z)
        out = [self._at(one.place, one.seconds, shown, values) for one in self.night.readings]
        return [*out, self._chances(shown.raw)]

    def slopes(self, shown: Shown, raw: Array, z: Array) -> list[Array]:
        """Change of each of these with every number, shapes [m, p]."""
        values = self._values(z)
        out = []
        for one in self.night.readings:
            column = np.stack(
                [
                    self._at(one.place, one.seconds, Shown(raw[:, :, k], shown.step), values, alone=True)
                    for k in range(z.size)
                ],
                axis=1,
            )
            out.append(column + self._by_sensor(one.place, one.seconds, shown, z))
        chances = np.stack([self._chances(raw[:, :, k]) for k in range(z.size)], axis=1)
        return [*out, chances]

    def _by_sensor(self, place: str, seconds: Array, shown: Shown, z: Array) -> Array:
        """Change by the sensor's own numbers: nothing is simulated for them."""
        out = np.zeros((seconds.size, z.size))
        for k, one in enumerate(self.setting.sought):
            if one.sensor == place:
                two = [z.copy(), z.copy()]
                two[0][k] -= HAIR
                two[1][k] += HAIR
                less, more = (self._at(place, seconds, shown, self._values(it)) for it in two)
                out[:, k] = (more - less) / (2.0 * HAIR)
        return out

    def _at(
        self, place: str, seconds: Array, shown: Shown, values: Mapping[str, float], *, alone: bool = False
    ) -> Array:
        """What a sensor shows at times; with `alone`, of a change, to which its offset adds nothing."""
        one = sensors.traits(place, values)
        if alone:
            one = sensors.Traits(one.lag, 0.0, one.share)
        column = dict(zip(self.places, shown.raw.T, strict=False))
        beside = column.get("cot", column["outdoors"])
        stove = column.get("stove", column[place])
        felt = sensors.shown(place, column[place], stove, beside, shown.step, one)
        return np.interp(seconds, shown.step * np.arange(felt.size), felt)

    def _chances(self, raw: Array) -> Array:
        """Chance of relighting just before each load of which it is known whether coals lit it."""
        return np.asarray(raw[: len(self.night.relit), -1])

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

    def _read(self, night: Run) -> Array:
        """Everything that a sensor could show at every time, and the chance that a load would be lit."""
        columns = [] if night.model.house is None else [level_temperatures(night) + ZERO_CELSIUS]
        hearth = night.model.hearth
        if hearth is not None:
            pipe = night.temperatures[:, [*hearth.inside, *hearth.outside]].max(axis=1)
            columns += [night.temperatures[:, [hearth.body]], pipe[:, None]]
        columns.append(_outdoors(night)[:, None])
        columns.append(self._odds(night)[:, None])
        return np.concatenate(columns, axis=1)

    def _odds(self, night: Run) -> Array:
        """Chances that loads would be lit, just before each of which that is asked, then zeros.

        A load whose time is sought stands in the night's own scenario where it was moved to.
        """
        odds = np.zeros(night.solution.times.size)
        if night.tending is not None and night.scenario.stoking is not None:
            loads = night.scenario.stoking.loads
            for n, one in enumerate(self.night.relit):
                row = max(int(np.ceil(loads[one.load].at / self.step)) - 1, 0)
                odds[n] = night.tending.chance(night.solution.states[row])
        return odds


def _outdoors(night: Run) -> Array:
    return driver(night.scenario.outdoors.track("air")).values(night.solution.times)


def outlooks(nights: Sequence[Night], setting: Setting) -> list[Outlook]:
    """Every night under the same numbers."""
    return [Outlook(night, setting) for night in nights]

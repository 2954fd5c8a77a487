"""Which further measurement would tell most, computed: one more night like the last, with this measured too.

Each candidate adds what its readings would tell of all numbers; what belongs to that night alone (times and masses that
nobody noted well, a new sensor's numbers) is unknown again, and is found along with them. It is ranked by how far it
narrows the prediction of the cot's mean temperature.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np

from simtent.calibrate import numbers, sensors
from simtent.calibrate.burnt import COUNT
from simtent.calibrate.calibrated import Calibrated
from simtent.calibrate.misfit import FIRST_ERROR, FIRST_ERRORS
from simtent.calibrate.nights import FIRE_NOISE, LEVEL_NOISE, Night, Readings
from simtent.calibrate.outlook import Outlook, Setting
from simtent.calibrate.sought import Sought
from simtent.errors import InputError, SolveError
from simtent.identify.memory import Errors
from simtent.network.arrays import Array

EVERY = 300.0  # s between two readings of a further sensor
WEIGHED = 0.03  # ln-deviation of a load that is weighed
HEATER = "1500 W"  # common practice, no source
OF_FIRE = ("stove.", "wood.", "stoking.")


@dataclass(frozen=True)
class Help:
    """A further measurement.

    what       in words
    narrows    deviation of the cot's mean temperature with it, over that without it
    most       the number that it narrows most, and the deviation of that with it over that without it
    """

    what: str
    narrows: float
    most: tuple[str, float]


def helpful(found: Calibrated) -> tuple[Help, ...]:
    """Every candidate, the most helpful first; those that cannot be simulated are left out."""
    night = next((it for it in reversed(found.nights) if it.scenario.shelter), found.nights[-1])
    outlook = Outlook(night, found.misfit.outlooks[0].setting)
    shown, raw = outlook.moved(found.posterior.z)
    target, before = _target(outlook, raw), np.linalg.inv(found.posterior.covariance)
    own = _own(found, night)
    told = sum((_told(found, outlook, one, shown, raw) for one in night.readings), np.zeros_like(before))
    again = before + _without(told, own, len(before))
    like_it = [
        (what, before + _without(_padded(told, len(more)) + more, own, len(before)))
        for what, more in (*_sensors(found, outlook, shown, raw), *_weighing(found, own))
    ]
    others = [(what, before + more) for what, more in _heated(found, night)]
    helps = [_help(found, what, again, having, target) for what, having in (*like_it, *others)]
    return tuple(sorted(helps, key=lambda it: it.narrows))


def _own(found: Calibrated, night: Night) -> list[int]:
    """Numbers that belong to one night alone: those of another night like it are unknown again."""
    names = {one.name for one in night.sought} - {COUNT}
    return [k for k, one in enumerate(found.sought) if one.name in names]


def _padded(told: Array, size: int) -> Array:
    """The same with further numbers, of which it tells nothing."""
    more = size - len(told)
    return np.pad(told, ((0, more), (0, more)))


def _target(outlook: Outlook, raw: Array) -> Array:
    """Slope of the cot's mean temperature, or of the stove's where there is no cot, by every number."""
    place = "cot" if "cot" in outlook.places else "stove"
    return np.asarray(raw[:, outlook.places.index(place)].mean(axis=0))


def _help(found: Calibrated, what: str, without: Array, having: Array, target: Array) -> Help:
    less, more = np.linalg.inv(having), np.linalg.inv(without)
    narrows = float(np.sqrt((target @ less @ target) / (target @ more @ target)))
    own = [k for k, one in enumerate(found.sought) if one.keys]
    ratios = np.sqrt(np.diag(less)[own] / np.diag(more)[own])
    best = int(np.argmin(ratios))
    return Help(what, narrows, (found.sought[own[best]].name, float(ratios[best])))


def _told(found: Calibrated, outlook: Outlook, one: Readings, shown: object, raw: Array) -> Array:
    """What a sensor that is there already tells once more."""
    moved = outlook.slopes(shown, raw, found.posterior.z)[outlook.night.readings.index(one)]  # type: ignore[arg-type]
    white = found.best.errors[one.place].whitened(one.seconds, moved)
    return np.asarray(white.T @ white)


def _sensors(found: Calibrated, outlook: Outlook, shown: object, raw: Array) -> Iterator[tuple[str, Array]]:
    """A sensor at each place that has none."""
    there = {one.place for one in outlook.night.readings}
    for place in outlook.places:
        if place in there or place == "outdoors":
            continue
        own = sensors.sought_of(place)
        setting = replace(outlook.setting, sought=(*found.sought, *own))
        grid = np.arange(0.0, outlook.night.scenario.night.seconds, EVERY)
        noise = FIRE_NOISE if place in sensors.AT_FIRE else LEVEL_NOISE
        night = replace(outlook.night, readings=(Readings(place, grid, grid, noise),), relit=())
        padded = np.concatenate((raw, np.zeros((*raw.shape[:2], len(own)))), axis=2)
        z = np.concatenate((found.posterior.z, np.zeros(len(own))))
        moved = Outlook(night, setting).slopes(shown, padded, z)[0]  # type: ignore[arg-type]
        white = _errors(found, place).whitened(grid, moved)
        yield f"a sensor at {place}", white.T @ white


def _errors(found: Calibrated, place: str) -> Errors:
    """How a sensor at a place would err: as others of its kind do in this fit."""
    if place in sensors.AT_FIRE:
        return FIRST_ERRORS[place]
    mine = [one for at, one in found.best.errors.items() if at not in sensors.AT_FIRE]
    return max(mine, key=lambda one: one.deviation) if mine else FIRST_ERROR


def _without(told: Array, own: list[int], numbers: int) -> Array:
    """What is told of the fit's numbers where the night's own, and a new sensor's, have to be found too.

    told      [q, q], the numbers of a new sensor last
    own       which of the fit's numbers are the night's own; each is believed with deviation 1, as the sensor's are
    numbers   p, of the fit; the answer has shape (p, p), and tells nothing of the night's own
    """
    found = [*own, *range(numbers, len(told))]
    rest = [k for k in range(numbers) if k not in own]
    inner = told[np.ix_(found, found)] + np.eye(len(found))
    cross = told[np.ix_(rest, found)]
    out = np.zeros((numbers, numbers))
    out[np.ix_(rest, rest)] = told[np.ix_(rest, rest)] - cross @ np.linalg.solve(inner, cross.T)
    return out


def _weighing(found: Calibrated, own: list[int]) -> Iterator[tuple[str, Array]]:
    """The loads weighed whose mass is not known."""
    more = np.zeros(len(found.sought))
    for k in own:
        if found.sought[k].name.startswith("mass of the load"):
            more[k] = (found.sought[k].spread / WEIGHED) ** 2
    if more.any():
        yield "every load weighed", np.diag(more)


def _heated(found: Calibrated, night: Night) -> Iterator[tuple[str, Array]]:
    """A night with an electric heater of known power in place of the fire."""
    if night.scenario.shelter is None or night.scenario.stove is None:
        return
    heater = {
        "table": [{"at": night.scenario.night.begin, "power": HEATER}], "between": "steps", "radiant_share": "10 %",
    }  # fmt: skip
    changes = {"stove": "none", "wood": "none", "stoking": "none", "heat": heater}
    try:
        scenario = night.scenario.replace(changes)
        readings = tuple(one for one in night.readings if one.place not in sensors.AT_FIRE)
        other = replace(night, scenario=scenario, readings=readings, deeds=(), sought=(), relit=())
        kept = [k for k, one in enumerate(found.sought) if _of_shelter(one)]
        sought = tuple(found.sought[k] for k in kept)
        outlook = Outlook(other, Setting(sought, numbers.bases(found.scenario, sought)))
        z = found.posterior.z[kept]
        shown, raw = outlook.moved(z)
    except (InputError, SolveError):
        return
    whole = np.zeros((len(found.sought), len(found.sought)))
    for one, moved in zip(readings, outlook.slopes(shown, raw, z), strict=False):
        white = found.best.errors[one.place].whitened(one.seconds, moved)
        whole[np.ix_(kept, kept)] += white.T @ white
    yield f"a night with an electric heater of known power ({HEATER}) instead of the fire", whole


def _of_shelter(one: Sought) -> bool:
    """Whether a number means something without a fire; the factor on heat is not one on a heater's."""
    fire = any(key.startswith(OF_FIRE) or key == "model.heat" for key in one.keys)
    return not fire and one.sensor not in sensors.AT_FIRE and (bool(one.keys) or bool(one.sensor))

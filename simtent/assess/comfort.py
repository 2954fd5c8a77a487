"""How a night is for people: asleep beside what is printed on bag and pad, and awake by two standards.

A sleeping bag is not rated here: its own label is held against what is felt. The standards are for other people than
campers (seated and lightly clothed indoors; at work outdoors), so they compare nights and heights and judge none.
"""

from dataclasses import dataclass

import numpy as np
import xarray as xr

from simtent.assess.curves import Curve, Floats
from simtent.assess.heights import Span, air_at, at_height, awake, curve_at, felt_at, in_bed
from simtent.physics.air import standard_pressure
from simtent.physics.clothed import MINIMAL, NEUTRAL, Activity, Strain, Surroundings
from simtent.physics.clothing import CLO, beyond, required
from simtent.physics.comfort import (
    ANKLE,
    CLASSES,
    HEAD,
    STILL,
    floor_dissatisfied,
    vertical_dissatisfied,
)
from simtent.physics.moist import saturation_over_water, vapour_pressure
from simtent.scenario.scenario import Scenario

__all__ = ["Dressed", "Sleeping", "Standing", "air_at", "dressed", "felt_at", "sleeping", "standing_up"]

ZERO_CELSIUS = 273.15
HOUR = 3600.0
# Of a sleeper on a pad; common practice, no source.
CONTACT_AREA = 0.4  # m2 of the body that lie on it
CONTACT_SKIN = 306.15  # K, skin there; bag and clothes are pressed flat under it and count for nothing
OFF_THE_FLOOR = 0.15  # m; a bed higher than this has air under it
UNDERSIDE = 0.17  # m2 K/W from the underside of a cot to the air; ISO 6946, from memory
SEATED = 0.6  # m, the middle of a seated person; ISO 7726, from memory
SITTING = Activity(metabolic=70.0)  # W/m2, seated and busy with little; ISO 8996, from memory


@dataclass(frozen=True, slots=True)
class Sleeping:
    """A sleeper at a height [m], from bed to rise.

    lowest_air, lowest_felt  [degC]
    hours_below_comfort      in which it feels colder than the bag's printed comfort [h]; None without a bag
    hours_below_limit        the same by the bag's printed limit
    pad_watts                mean heat that goes down through the pad [W]; None without a pad
    under                    what the pad's lower face meets, in words
    moment                   of the lowest felt temperature [s]
    """

    height: float
    lowest_air: float
    lowest_felt: float
    hours_below_comfort: float | None
    hours_below_limit: float | None
    pad_watts: float | None
    under: str
    moment: float


@dataclass(frozen=True, slots=True)
class Standing:
    """A seated person's difference between head (1.1 m) and ankle (0.1 m), and the floor, while people are up.

    largest              of the air's differences [K], at a moment [s]
    hours_over           in which it is more than the widest class of rooms may have [h]
    dissatisfied         share of people who would complain of the largest [-]; not a number beyond the law's range
    floor                coldest surface of the bare floor [degC]
    floor_dissatisfied   share who would complain of it [-]
    """

    largest: float
    moment: float
    hours_over: float
    dissatisfied: float
    floor: float
    floor_dissatisfied: float


@dataclass(frozen=True, slots=True)
class Dressed:
    """Clothing that an awake, seated person needs [clo] at the moment [s] that asks for the most.

    neutral   to feel neither warm nor cold
    minimal   to be cold and in balance, the least that is borne
    air       [degC], as felt [degC]: at that moment
    beyond    names of conditions outside the standard's limits then
    """

    neutral: float
    minimal: float
    moment: float
    air: float
    felt: float
    beyond: tuple[str, ...]


def sleeping(scenario: Scenario, dataset: xr.Dataset, height: float) -> Sleeping:
    """How a sleeper at a height [m] fares, from bed to rise."""
    span = in_bed(scenario)
    felt, air = (curve_at(dataset, values).between(*span) for values in _both(dataset, height))
    moment, lowest = felt.lowest()
    bag, pad = scenario.crew.bag, scenario.crew.pad
    under, below = beneath(dataset, height)
    return Sleeping(
        height=height,
        lowest_air=air.lowest()[1],
        lowest_felt=lowest,
        hours_below_comfort=None if bag is None else felt.time_below(bag.comfort - ZERO_CELSIUS) / HOUR,
        hours_below_limit=None if bag is None else felt.time_below(bag.limit - ZERO_CELSIUS) / HOUR,
        pad_watts=None
        if pad is None
        else _mean(through_pad(pad, height, curve_at(dataset, below).between(*span))),
        under=under,
        moment=moment,
    )


def beneath(dataset: xr.Dataset, height: float) -> tuple[str, Floats]:
    """What a bed at a height [m] has under it, in words, and its temperature over time [degC]."""
    if height > OFF_THE_FLOOR:
        return "the air under the cot", air_at(dataset, 0.5 * height)
    surface = "floor mat" if "floor mat" in dataset["surface"].values else "floor"
    return f"the {surface}", np.asarray(dataset["surface_temperature"].sel(surface=surface).values)


def through_pad(pad: float, height: float, below: Curve) -> Curve:
    """Heat of one body down through a pad [m2 K/W] onto what is below it [degC], over time [W]; never up."""
    resistance = pad + (UNDERSIDE if height > OFF_THE_FLOOR else 0.0)
    driving = np.maximum(CONTACT_SKIN - ZERO_CELSIUS - below.values, 0.0)
    return Curve(below.seconds, CONTACT_AREA * driving / resistance)


def standing_up(scenario: Scenario, dataset: xr.Dataset) -> Standing | None:
    """Head against ankle, and the floor, while people are up; None where nobody is."""
    spans = awake(scenario)
    if not spans:
        return None
    apart = curve_at(dataset, air_at(dataset, HEAD) - air_at(dataset, ANKLE))
    floor = curve_at(dataset, dataset["surface_temperature"].sel(surface="floor").values)
    moment, largest = max((apart.between(*span).highest() for span in spans), key=lambda it: it[1])
    coldest = min(floor.between(*span).lowest()[1] for span in spans)
    return Standing(
        largest=largest,
        moment=moment,
        hours_over=sum(apart.between(*span).time_above(CLASSES[-1].difference) for span in spans) / HOUR,
        dissatisfied=vertical_dissatisfied(largest),
        floor=coldest,
        floor_dissatisfied=floor_dissatisfied(coldest + ZERO_CELSIUS),
    )


def dressed(scenario: Scenario, dataset: xr.Dataset, height: float = SEATED) -> Dressed | None:
    """What people who are up need to wear at a height [m]; None where nobody is up."""
    spans = awake(scenario)
    if not spans:
        return None
    felt, air = _both(dataset, height)
    vapour = vapour_at(scenario, dataset, height)
    up = [k for k, t in enumerate(curve_at(dataset, air).seconds) if _within(float(t), spans)]
    met = {k: _surroundings(float(air[k]), float(felt[k]), float(vapour[k])) for k in up}
    most = max(up, key=lambda k: _clo(met[k], NEUTRAL))
    return Dressed(
        neutral=_clo(met[most], NEUTRAL),
        minimal=_clo(met[most], MINIMAL),
        moment=float(curve_at(dataset, air).seconds[most]),
        air=float(air[most]),
        felt=float(felt[most]),
        beyond=beyond(met[most], SITTING),
    )


def vapour_at(scenario: Scenario, dataset: xr.Dataset, height: float) -> Floats:
    """Pressure of the vapour at a height [m] over time [Pa]; where a night counts none, that of the outdoor air."""
    if "humidity_ratio" in dataset:
        pressure = standard_pressure(scenario.site.altitude)
        ratios = at_height(dataset, "humidity_ratio", height)
        return np.array([vapour_pressure(float(ratio), pressure) for ratio in ratios])
    track, outdoors = scenario.outdoors.track("humidity"), dataset["outdoor_temperature"].values
    seconds = curve_at(dataset, outdoors).seconds
    rows = zip(seconds, outdoors, strict=True)
    return np.array(
        [track.at(float(t)) * saturation_over_water(float(out) + ZERO_CELSIUS) for t, out in rows]
    )


def _both(dataset: xr.Dataset, height: float) -> tuple[Floats, Floats]:
    """Felt and air temperature [degC]."""
    return felt_at(dataset, height), air_at(dataset, height)


def _surroundings(air: float, felt: float, vapour: float) -> Surroundings:
    """What a person meets, given air and felt temperature [degC] and vapour [Pa]; the felt is the mean of two."""
    kelvin = air + ZERO_CELSIUS
    humidity = min(max(vapour / saturation_over_water(kelvin), 0.0), 1.0)
    return Surroundings(kelvin, 2.0 * felt - air + ZERO_CELSIUS, STILL, humidity)


def _clo(around: Surroundings, strain: Strain) -> float:
    """Basic insulation of clothing that a seated person needs [clo]."""
    return required(around, SITTING, strain).basic / CLO


def _within(moment: float, spans: tuple[Span, ...]) -> bool:
    return any(begin <= moment <= end for begin, end in spans)


def _mean(curve: Curve) -> float:
    """Mean over time of a curve."""
    return float(np.trapezoid(curve.values, curve.seconds) / (curve.seconds[-1] - curve.seconds[0]))

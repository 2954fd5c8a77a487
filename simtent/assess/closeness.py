"""What stands close to a hot stove and its pipe: radiation, and the temperature at which cloth or wood stands still."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass

import numpy as np
import xarray as xr

from simtent.assess.curves import Floats
from simtent.physics.cloth import Sides, cloth_temperature
from simtent.physics.constants import STEFAN_BOLTZMANN
from simtent.physics.facing import face_factor, pipe_factor
from simtent.scenario.scenario import Scenario
from simtent.scenario.stove import Stove

ZERO_CELSIUS = 273.15
CLOTH, WOOD = 0.9, 0.9  # emissivity and absorptivity; from memory
INDOORS, WINDY, CALM = 4.0, 10.0, 4.0  # W/(m2 K), films of still and of moving air; assumptions
HOUSE_STOVE, HOUSE_PIPE = 0.914, 0.457  # m
LEAST_DISTANCE = 0.005  # m; what touches is as close as this


@dataclass(frozen=True, slots=True)
class Near:
    """What stands close: the most radiation it meets in a night, and its temperatures then.

    what      of the place, in words
    distance  from the stove's side or top [m]
    moment    index of the time
    flux      [W/m2]
    calm      temperature with still air on both sides [K]
    windy     with wind outside; as calm for what stands inside [K]
    """

    what: str
    distance: float
    moment: int
    flux: float
    calm: float
    windy: float


def close_by(scenario: Scenario, dataset: xr.Dataset) -> Iterator[Near]:
    """Everything whose distance is given, each at its worst moment; of a stove in a shelter."""
    stove = scenario.stove
    if stove is None or stove.place is None or scenario.shelter is None:
        return
    place, middle = stove.place, stove.legs + 0.5 * stove.firebox.height
    above = stove.collar + (place.from_roof or 0.0)
    for distance, what, height, onto, judged in (
        (place.from_wall, "wall", middle, beside, _fabric),
        (place.from_roof, "fabric above the stove", above, over, _fabric),
        (place.from_bed, "bedding", middle, beside, _inside),
        (place.from_wood, "stacked wood", middle, beside, _inside),
    ):
        if distance is not None:
            yield _worst(scenario, dataset, what, max(distance, LEAST_DISTANCE), height, onto, judged)


def beside(stove: Stove, distance: float) -> tuple[float, float]:
    """View factors of the body's larger side and of the pipe behind it, from a spot level with the side's middle."""
    box, pipe = stove.firebox, stove.pipe
    body = face_factor(max(box.length, box.width), box.height, distance)
    # A pipe wider than the body would reach beyond its side.
    axis = max(distance + 0.5 * min(box.length, box.width), 0.5 * pipe.diameter + distance)
    # Counted from the spot's own height up, not from the collar: else a spot so close that the collar lies steeply
    # above it would meet less of a hot pipe than one farther off.
    return body, pipe_factor(0.5 * pipe.diameter, axis, 0.0, 0.5 * box.height + pipe.inside)


def over(stove: Stove, distance: float) -> tuple[float, float]:
    """View factor of the body's top; the pipe itself is judged at its jack."""
    return face_factor(stove.firebox.length, stove.firebox.width, distance), 0.0


def flux_at(stove: Stove, factors: tuple[float, float], body: Floats, pipe: Floats) -> Floats:
    """Radiation onto a spot that sees so much of body and pipe, of these temperatures [degC], in [W/m2].

    What the spot sees of the surroundings instead is part of the cloth's own balance: counted twice, a little too much.
    """
    black = STEFAN_BOLTZMANN * stove.emissivity
    of_body, of_pipe = (min(factor, 1.0) for factor in factors)
    body_power, pipe_power = (body + ZERO_CELSIUS) ** 4, (pipe + ZERO_CELSIUS) ** 4
    # Where both would fill more than the whole view, the hotter counts first: closer is then never less.
    body_first = of_body * body_power + min(of_pipe, 1.0 - of_body) * pipe_power
    pipe_first = of_pipe * pipe_power + min(of_body, 1.0 - of_pipe) * body_power
    return np.asarray(black * np.maximum(body_first, pipe_first))


def far_flux(scenario: Scenario, dataset: xr.Dataset) -> float:
    """Most radiation that arrives at the distance of the house rule beside the stove [W/m2]."""
    assert scenario.stove is not None
    body, pipe = (dataset[f"{name}_temperature"].values for name in ("stove", "pipe"))
    return float(flux_at(scenario.stove, beside(scenario.stove, HOUSE_STOVE), body, pipe).max())


def _worst(
    scenario: Scenario,
    dataset: xr.Dataset,
    what: str,
    distance: float,
    height: float,
    onto: Callable[[Stove, float], tuple[float, float]],
    judged: Callable[[float, float, float], tuple[float, float]],
) -> Near:
    assert scenario.stove is not None
    flux = flux_at(
        scenario.stove,
        onto(scenario.stove, distance),
        dataset["stove_temperature"].values,
        dataset["pipe_temperature"].values,
    )
    moment = int(np.argmax(flux))
    at_moment = dataset["air_temperature"].values[moment]
    air = float(np.interp(height, dataset["height"].values, at_moment))
    outdoors = float(dataset["outdoor_temperature"].values[moment])
    calm, windy = judged(float(flux[moment]), air + ZERO_CELSIUS, outdoors + ZERO_CELSIUS)
    return Near(what, distance, moment, float(flux[moment]), calm, windy)


def _fabric(flux: float, inside: float, outdoors: float) -> tuple[float, float]:
    """A single cloth with the outdoors behind it."""
    calm, windy = (
        cloth_temperature(CLOTH * flux, CLOTH, Sides(inside, outdoors, INDOORS, film))
        for film in (CALM, WINDY)
    )
    return calm, windy


def _inside(flux: float, inside: float, _outdoors: float) -> tuple[float, float]:
    """The face of something thick: what is behind takes no heat, as if it gave off half on each side of a cloth."""
    face = cloth_temperature(2.0 * WOOD * flux, WOOD, Sides(inside, inside, INDOORS, INDOORS))
    return face, face

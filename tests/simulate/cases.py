"""Nights for tests: small scenarios as text, and ways to run and change them."""

from dataclasses import replace
from pathlib import Path
from tempfile import TemporaryDirectory

import numpy as np
import pytest

from simtent.assembly.assemble import Model
from simtent.assembly.jacobian import shelter_jacobian
from simtent.assembly.rhs import shelter_rhs
from simtent.network import Accuracy, Trajectory, solve
from simtent.scenario.load import load
from simtent.scenario.scenario import Scenario
from tests.solving import SWIFTLY, drive_model

SHIPPED = sorted((Path(__file__).parents[2] / "scenarios").glob("*.toml"))
ROOMS = [path for path in SHIPPED if load(path).shelter is not None]  # the others burn in the open
KNOWN = [path for path in ROOMS if load(path).heat is not None]  # the others have a fire
LATE = (
    "alder_ford",
    "fence_shelf",
    "gauge_bar",
    "stone_sheep",
)  # whole fire nights that stand in the slow part
FEW = [path for path in ROOMS if path.stem not in LATE]  # where many layers are tried

# Sky, ground, outdoors and start all at -10 degC (overcast: the sky is as warm as the air), nobody inside.
EVEN = """
format = 1
name = "even"
[night]
evening = "2031-01-05"
zone = "+00:00"
begin = "18:00"
end = "02:00"
[site]
ground = "sand or gravel"
ground_start = "-10 degC"
[outdoors]
steady = "-10 degC"
cloud = "100 %"
wind = "1 m/s"
[shelter]
shape = "box"
length = "3 m"
width = "2.5 m"
height = "2 m"
[shelter.skin]
wall = ["350 g/m2 polycotton canvas"]
roof = ["350 g/m2 polycotton canvas"]
[heat]
radiant_share = "40 %"
from_height = "20 cm"
to_height = "1.5 m"
table = [
    { at = "18:00", power = "2 kW" },
    { at = "22:00", power = "500 W" },
]
"""
# The same for any scenario; its heat stays known.
EVEN_OUT = {
    "outdoors.steady": "-10 degC",
    "outdoors.high": "none",
    "outdoors.low": "none",
    "outdoors.cloud": "100 %",
    "outdoors.wind": "0 m/s",
    "outdoors.shift": "0 K",
    "site.ground_start": "-10 degC",
    "site.ground_below": "none",
    "night.inside_at_start": "none",
}
NO_HEAT = {"heat.table": [{"at": "18:00", "power": "0 W"}]}


def each(paths, name="path"):
    """Decorator that runs a test for each scenario file, some of them in the slow part only."""
    slow = {path for path in paths if path.stem in LATE}
    rows = [pytest.param(it, id=it.stem, marks=[pytest.mark.slow] if it in slow else []) for it in paths]
    return pytest.mark.parametrize(name, rows)


def scenario(text: str = EVEN, **settings) -> Scenario:
    """Load a text; `settings` with __ for the dots of a key."""
    with TemporaryDirectory() as folder:
        path = Path(folder) / "night.toml"
        path.write_text(text)
        loaded = load(path)
    return (
        loaded.replace({key.replace("__", "."): value for key, value in settings.items()})
        if settings
        else loaded
    )


def solved(model: Model, accuracy: Accuracy | None = None, step: float = 600.0) -> Trajectory:
    """Solve an assembled model, changed by hand or not, a stove in it left alone.

    By the driver where the profile says so (tests/solving.py), unless there is a stove or an accuracy is named.
    """
    if SWIFTLY and accuracy is None and model.pile is None:
        return drive_model(model, step)
    end = model.net.end
    return solve(
        lambda t, y, rows: shelter_rhs(t, y, model.shelter, rows),
        model.shelter.net,
        model.start,
        model.net.jump_times(),
        np.append(np.arange(0.0, end - 1.0, step), end),
        accuracy or Accuracy(),
        lambda t, y, rows: shelter_jacobian(t, y, model.shelter, rows),
    )


def mean_air(model: Model, answer: Trajectory) -> np.ndarray:
    """Volume-mean air temperature over time [K]."""
    volume = model.house.bands.volume
    return answer.states[:, : volume.size] @ volume / volume.sum()


def resisting(model: Model, more: float) -> Model:
    """The model with so many times the resistance between the nodes of its skin, and nothing else changed."""
    groups = np.array([*model.net.groups, "outdoors", "sky", "water"])
    net = model.shelter.net
    inside = (groups[net.links.i] == "skin") & (groups[net.links.j] == "skin")
    strength = np.where(inside, net.links.strength / more, net.links.strength)
    return with_shelter(model, net=net._replace(links=net.links._replace(strength=strength)))


def with_shelter(model: Model, **parts) -> Model:
    """The model with parts of its arrays replaced."""
    return replace(model, shelter=model.shelter._replace(**parts))


def copies(model: Model, k: float) -> Model:
    """The shelter, stove and flue k times, joined by partitions through which no heat goes, in one air.

    Every area, volume, strength, plume, capacity and giver of water times k; heights, diameters, sizes of pieces as
    they are; what water there is stands in the state. Each fire
    sees the same pressure and the same air, so that the flue's own arrays stay those of one.
    """
    p = model.shelter
    net, room, star, stove, damp = p.net, p.room, p.star, p.stove, p.damp
    air = room._replace(
        column=room.column._replace(area=k * room.column.area, stirring=k * room.column.stirring),
        openings=room.openings._replace(strength=k * room.openings.strength),
        plumes=room.plumes._replace(equal=k * room.plumes.equal),
        feeds=room.feeds._replace(share=k * room.feeds.share),
        fan=room.fan._replace(flow=k * room.fan.flow),
    )
    return with_shelter(
        model,
        net=net._replace(
            capacity=k * net.capacity,
            links=net.links._replace(strength=k * net.links.strength),
            rays=net.rays._replace(strength=k * net.rays.strength),
            streams=net.streams._replace(strength=k * net.streams.strength),
            sources=net.sources._replace(share=k * net.sources.share),
        ),
        films=p.films._replace(area=k * p.films.area),
        outer=p.outer._replace(area=k * p.outer.area),
        gaps=p.gaps._replace(area=k * p.gaps.area),
        room=air,
        star=star._replace(area=k * star.area, share=k * star.share),
        stove=stove._replace(
            hot=stove.hot._replace(area=k * stove.hot.area),
            outer=stove.outer._replace(area=k * stove.outer.area, radiant=k * stove.outer.radiant),
        ),
        damp=damp._replace(
            mass=k * damp.mass,
            breath=k * damp.breath,
            skin=k * damp.skin,
            bag_area=k * damp.bag_area,
            wet_area=k * damp.wet_area,
        ),
    )

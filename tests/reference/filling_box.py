"""A box of equal layers of air without any wall that takes heat, a plume from a point on its floor, and openings.

What moves the air is the package's own (`simtent.assembly.streams` and `.pressure`); closed forms of such boxes are
known from the literature, and stand here beside it.
"""

from dataclasses import dataclass, field
from math import sqrt

import numpy as np
import pytest
from scipy.integrate import solve_ivp
from scipy.optimize import brentq

from simtent.assembly.parameters import Column, Fan, Openings, Plumes
from simtent.assembly.pressure import density_roots, drives, inside_pressure, mean_drive, stack_pressures
from simtent.assembly.streams import SHED_ROWS, add_streams, no_flows
from simtent.physics.air import air_density
from simtent.physics.constants import CP_AIR, GAS_CONSTANT_AIR, GRAVITY
from simtent.physics.opening import ORIFICE_EXPONENT, opening_flow, orifice_strength

SEA_LEVEL = 101325.0
NO_FAN = Fan(0.0, 0, 0)


def upright(edges, section, mixing):
    """A column of layers between edges [m], everywhere of one section [m2]."""
    edges = np.asarray(edges, float)
    centres = (edges[1:] + edges[:-1]) / 2.0
    return Column(edges, np.full(centres.size - 1, float(section)), np.diff(centres), mixing, 0.0)


def openings(column, given, exponent=ORIFICE_EXPONENT):
    """Openings at (height [m], strength), out of the wind; the upper edge of a layer belongs to it."""
    heights = np.array([height for height, _ in given], float)
    layers = np.clip(np.searchsorted(column.edges, heights) - 1, 0, column.edges.size - 2)
    count = heights.size
    return Openings(
        layers.astype(np.int64),
        heights,
        np.array([strength for _, strength in given], float),
        np.full(count, exponent),
        np.zeros(count),
        np.full(count, -1, np.int64),
        0,
    )


def throughflow(column, holes, outdoors, pressure, temps, wind=0.0, drawn=0.0):
    """Inside pressure at the floor [Pa], and the flow in through each opening [kg/s]."""
    stack = stack_pressures(column, outdoors, pressure, temps)
    drive = drives(holes, column, stack, outdoors, pressure, wind)
    roots, root_out = density_roots(column, pressure, temps), sqrt(air_density(outdoors, pressure))
    begin, passed = mean_drive(holes.strength, drive), np.empty(drive.size)
    inside = inside_pressure(holes, holes.strength, drive, root_out, roots, drawn, begin, passed)
    flows = [
        opening_flow(drive[k] - inside, holes.strength[k], holes.exponent[k], root_out, roots[layer])[0]
        for k, layer in enumerate(holes.layer)
    ]
    assert passed == pytest.approx(flows, rel=1e-12, abs=1e-15)
    return inside, passed


@dataclass(frozen=True)
class Box:
    """An adiabatic box.

    layers   of equal thickness
    height   [m]
    section  [m2]
    watts    of a point source in the middle of the floor
    orifices heights [m] and areas [m2] of sharp openings, discharge 0.6
    """

    layers: int
    height: float
    section: float
    watts: float
    orifices: tuple = ()
    outdoors: float = 273.15
    pressure: float = SEA_LEVEL
    mixing: float = 1e-6  # of the package's: next to none
    column: Column = field(init=False)
    plumes: Plumes = field(init=False)
    holes: Openings = field(init=False)

    def __post_init__(self):
        n, put = self.layers, object.__setattr__
        put(self, "column", upright(np.linspace(0.0, self.height, n + 1), self.section, self.mixing))
        climb, one = np.full((1, n), self.height / n), np.ones(1)
        put(self, "plumes", Plumes(climb, np.zeros((1, n)), one, one, one))  # no way from a virtual origin
        strengths = [(height, orifice_strength(area, 0.6)) for height, area in self.orifices]
        put(self, "holes", openings(self.column, strengths))

    @property
    def capacity(self):
        """Of each layer [J/K]; the mass of its air stays what it is at the outdoor temperature."""
        volume = self.section * self.height / self.layers
        return air_density(self.outdoors, self.pressure) * CP_AIR * volume

    @property
    def centres(self):
        return (self.column.edges[1:] + self.column.edges[:-1]) / 2.0

    @property
    def flux(self):
        """Buoyancy flux of the source [m4/s3], by definition."""
        return GRAVITY * GAS_CONSTANT_AIR * self.watts / (CP_AIR * self.pressure)

    def exchanged(self, temps):
        """What comes in and what goes out of each layer [kg/s]."""
        entering, leaving = np.zeros(self.layers), np.zeros(self.layers)
        if self.orifices:
            _, flows = throughflow(self.column, self.holes, self.outdoors, self.pressure, temps)
            np.add.at(entering, self.holes.layer, np.maximum(flows, 0.0))
            np.add.at(leaving, self.holes.layer, np.maximum(-flows, 0.0))
        return entering, leaving

    def heat(self, temps):
        """Heat that each layer gains [W], less what its own leaving air takes, and the flows between layers."""
        heat, flows = np.zeros(self.layers), no_flows(self.layers)
        entering, leaving = self.exchanged(temps)
        fed, shed = np.zeros((1, self.layers)), np.zeros((SHED_ROWS, self.layers))
        fed[0, 0] = self.watts
        add_streams(
            self.plumes, NO_FAN, self.column, self.pressure, fed, shed, entering, self.outdoors, temps, heat,
            -leaving, flows,
        )  # fmt: skip
        return heat, flows

    def run(self, moments, method="RK45", rtol=1e-6, atol=1e-6):
        """Temperatures of the layers at moments [s] from the outdoor temperature on; one row for each."""
        solved = solve_ivp(
            lambda _, temps: self.heat(temps)[0] / self.capacity,
            (0.0, moments[-1]),
            np.full(self.layers, self.outdoors),
            method,
            moments,
            rtol=rtol,
            atol=atol,
        )
        assert solved.success, solved.message
        return solved.y.T


def plume_factor(entrainment):
    """C of flow = C flux^(1/3) height^(5/3) (Morton, Taylor and Turner): closed form."""
    return 1.2 * entrainment * (0.9 * entrainment) ** (1.0 / 3.0) * np.pi ** (2.0 / 3.0)


def front(box, time, entrainment):
    """Height [m] of the first front of a sealed filling box (Baines and Turner 1969): closed form."""
    way = plume_factor(entrainment) * box.flux ** (1.0 / 3.0) * box.height ** (2.0 / 3.0) * time / box.section
    return box.height * (1.0 + 2.0 / 3.0 * way) ** -1.5


def front_step(box, entrainment):
    """Step of temperature at the first front [K]: what the plume is warmer by when it first reaches the ceiling."""
    flow = plume_factor(entrainment) * box.flux ** (1.0 / 3.0) * box.height ** (5.0 / 3.0)
    return box.watts / (air_density(box.outdoors, box.pressure) * CP_AIR * flow)


def interface(opening, entrainment):
    """Height over that of the box at which its two layers meet, for A*/H2 (Linden, Lane-Serff and Smeed 1990)."""
    factor = plume_factor(entrainment) ** 1.5
    return brentq(lambda xi: factor * sqrt(xi**5 / (1.0 - xi)) - opening, 1e-6, 1.0 - 1e-9, xtol=1e-12)


def warming(temperature, warmer, height, entrainment):
    """Heat [W] of a point source whose plume is so much warmer [K] than the air at a height [m]: closed form."""
    gravity = GRAVITY * warmer / temperature
    flux = (gravity * plume_factor(entrainment) * height ** (5.0 / 3.0)) ** 1.5
    return flux * CP_AIR * SEA_LEVEL / (GRAVITY * GAS_CONSTANT_AIR)


def sharp_layers(box, time, entrainment, steps=400):
    """Edges [m] and rise of temperature [K] of a sealed filling box, in layers that never mix (Germeles 1975, method).

    The plume's volume flow to the power 3/5 grows with its buoyancy as the closed form has it; each step takes from
    each layer what the plume draws in there, and lays what it brings to the ceiling on top.
    """
    factor, span = plume_factor(entrainment), time / steps
    thick, gravity = [box.height], [0.0]  # from the floor up, m and m/s2
    for _ in range(steps):
        flux, flow, below, left = box.flux, 0.0, 0.0, []
        for depth, here in zip(thick, gravity, strict=True):
            flux, below = flux - flow * (here - below), here
            grown = (flow**0.6 + (factor**3 * flux) ** 0.2 * depth) ** (5.0 / 3.0)
            left.append(depth - (grown - flow) * span / box.section)
            flow = grown
        thick, gravity = [*left, flow * span / box.section], [*gravity, below + flux / flow]
    return np.cumsum([0.0, *thick]), np.array(gravity) * box.outdoors / GRAVITY

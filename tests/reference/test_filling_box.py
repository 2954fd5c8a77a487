"""Air that a plume moves in a box without heat loss, against closed forms: sealed, and open below and above.

Such a box keeps a sharp interface between warm and cold air; a room of fabric, whose walls cool the air, does not.
These are limits of the moving air, not pictures of a shelter.
"""

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from simtent.assembly.streams import PLUME, ROOM
from simtent.physics.air import air_density
from simtent.physics.constants import CP_AIR
from simtent.physics.plume import ENTRAINMENT

from .filling_box import Box, front, front_step, interface, plume_factor, sharp_layers, warming

# PL10: 9 m2, 2 m, 0 degC, entrainment 0.127; front [m] at 60, 300 and 900 s. Closed form (Baines and Turner 1969).
MOMENTS = (60.0, 300.0, 900.0)
FRONTS = [(1000.0, (1.292, 0.453, 0.134)), (2000.0, (1.174, 0.361, 0.099))]


def sealed(layers, watts=1000.0):
    return Box(layers, 2.0, 9.0, watts)


def fresh_air(box, moments):
    """Height [m] that the air which was never in the plume would fill, at moments [s].

    That is what the closed form's front stands for, where no mixing blurs it. The share of fresh air in each layer is
    carried with the flows that the package moves heat with.
    """
    n, mass = box.layers, box.capacity / CP_AIR

    def rates(_, state):
        temps, fresh = state[:n], state[n:]
        heat, flows = box.heat(temps)
        plume, room = flows[PLUME], flows[ROOM]
        drawn = np.maximum(np.diff(np.concatenate(([0.0], plume, plume[-1:]))), 0.0)
        across = np.maximum(room, 0.0) * fresh[:-1] + np.minimum(room, 0.0) * fresh[1:]
        change = -drawn * fresh
        change[:-1] -= across
        change[1:] += across
        return np.concatenate((heat / box.capacity, change / mass))

    begin = np.concatenate((np.full(n, box.outdoors), np.ones(n)))
    solved = solve_ivp(rates, (0.0, moments[-1]), begin, "RK45", moments, rtol=1e-6, atol=1e-6)
    return solved.y[n:].mean(axis=0) * box.height


def half_way(box, temps):
    """Height [m] at which the air is half the front's step warmer than at first, straight between layers."""
    excess, half = temps - box.outdoors, front_step(box, ENTRAINMENT) / 2.0
    above = int(np.argmax(excess > half))
    assert above > 0
    return float(np.interp(half, excess[above - 1 : above + 1], box.centres[above - 1 : above + 1]))


@pytest.mark.parametrize(("watts", "fronts"), FRONTS)
def test_front_of_fresh_air_in_a_sealed_box(watts, fronts):
    # PL10. Measured at 24 layers: within 0.5 % of the box's height; at 12 within 1.2 %.
    for layers, close in ((24, 0.006), (12, 0.015)):
        box = sealed(layers, watts)
        assert fresh_air(box, MOMENTS) == pytest.approx(fronts, abs=close * box.height)


@pytest.mark.parametrize(("watts", "fronts"), FRONTS)
def test_front_of_warm_air_in_a_sealed_box(watts, fronts):
    # PL10, seen from the temperatures, which the layers smear: within 4 % of the height at 24 layers while the front
    # stands two layers above the floor. Lower, a temperature half way has no meaning; 48 layers reach to 900 s.
    for layers, until in ((24, 2), (48, 3)):
        box = sealed(layers, watts)
        for temps, expected in zip(box.run(MOMENTS)[:until], fronts[:until], strict=True):
            assert half_way(box, temps) == pytest.approx(expected, abs=0.04 * box.height)


@pytest.mark.parametrize(("watts", "moment"), [(1000.0, 104.0), (2000.0, 83.0)])
def test_front_half_way_down(watts, moment):
    # PL10: at half the height after 104 s (1 kW) and 83 s (2 kW).
    (height,) = fresh_air(sealed(24, watts), (moment,))
    assert height == pytest.approx(1.0, abs=0.02)


@pytest.mark.parametrize("watts", [1000.0, 2000.0])
def test_front_converges_with_the_layers(watts):
    # Upwind transport is of first order: twice as many layers, half the miss. Measured: 1.5, 0.8, 0.4 % of the height
    # at 24, 48 and 96 layers after a minute (1 kW).
    counts = (12, 24, 48, 96)
    for moment, least in ((60.0, 0.9), (300.0, 0.75)):
        misses = []
        for layers in counts:
            box = sealed(layers, watts)
            (temps,) = box.run((moment,))
            misses.append(abs(half_way(box, temps) - front(box, moment, ENTRAINMENT)) / box.height)
        assert misses == sorted(misses, reverse=True)
        order = np.log2(misses[1] / misses[3]) / 2.0
        assert least < order < 1.2, misses


@pytest.mark.parametrize("watts", [1000.0, 2000.0])
def test_temperatures_of_a_sealed_box(watts):
    # The same box calculated with sharp layers (Germeles 1975, method): where the heat lies, and how warm the top is.
    # Smearing lets the heat hang 1.1 % of the height lower after a minute, and the top be 1.7 % cooler. The constant
    # mass of a layer that has become 50 to 90 K warmer leaves its top up to 1.8 % too warm later on.
    box = sealed(24, watts)
    for moment, temps in zip(MOMENTS, box.run(MOMENTS), strict=True):
        edges, rise = sharp_layers(box, moment, ENTRAINMENT)
        excess = temps - box.outdoors
        mean = rise @ np.diff(edges) / box.height
        assert excess.mean() == pytest.approx(mean, rel=1e-3)
        middle = rise @ (edges[1:] ** 2 - edges[:-1] ** 2) / (2.0 * box.height * mean)
        assert excess @ box.centres / excess.sum() == pytest.approx(middle, abs=0.015 * box.height)
        below = np.interp(box.column.edges, edges, np.cumsum([0.0, *(rise * np.diff(edges))]))
        top = (below[-1] - below[-2]) * box.layers / box.height
        assert excess[-1] == pytest.approx(top, rel=0.02)


@pytest.mark.parametrize("layers", [1, 2, 12, 48])
def test_energy_of_a_sealed_box(layers):
    # PL11: what the layers gain is what the plume is fed with, at each moment and over the whole time.
    box = sealed(layers)
    for moment, temps in zip(MOMENTS, box.run(MOMENTS), strict=True):
        assert box.heat(temps)[0].sum() == pytest.approx(box.watts, rel=1e-9)
        assert (temps - box.outdoors).sum() * box.capacity == pytest.approx(box.watts * moment, rel=1e-9)


# PL8, PL9: opening A*/H2 and the interface over the height for entrainment 0.127 (closed form, Linden, Lane-Serff and
# Smeed 1990), with the two orifices in series: of equal areas, A* is 0.6 times the area of one.
INTERFACES = [
    (0.001, 0.1829),
    (0.0025, 0.2588),
    (0.005, 0.3342),
    (0.01, 0.4278),
    (0.02, 0.5403),
    (0.05, 0.7106),
]
# A hall, heated so that the air above is 3 K warmer: densities hardly differ, and yet the drop across each opening is
# well over the pressure about which an opening's law is rounded (0.01 Pa), and the step over the temperature about
# which a plume's going on is (0.14 K).
HALL, GROUND, WARMER = 10.0, 100.0, 3.0


def vented(layers, opening, warmer=WARMER, height=HALL, section=GROUND, ratio=1.0):
    """A box with orifices in floor and ceiling of an effective area A*/H2, the upper `ratio` times the lower.

    Its source makes the air above so many kelvin warmer, by the closed form of the plume at the interface.
    """
    lower = opening * height**2 / 0.6 * np.sqrt((1.0 + ratio**2) / (2.0 * ratio**2))
    watts = warming(273.15, warmer, height * interface(opening, ENTRAINMENT), ENTRAINMENT)
    return Box(layers, height, section, watts, ((0.0, lower), (height, ratio * lower)))


def settled(box):
    """Temperatures that no longer change [K]."""
    filling = box.section / (plume_factor(ENTRAINMENT) * (box.flux * box.height**2) ** (1.0 / 3.0))
    (temps,) = box.run((200.0 * filling,), "BDF", 1e-8, 1e-8)
    heat, _ = box.heat(temps)
    assert np.abs(heat).max() < 1e-6 * box.watts
    return temps


def interfaces(box, temps):
    """Height of the interface over that of the box, from the flow through it and from the temperatures."""
    entering, _ = box.exchanged(temps)
    volume = entering.sum() / air_density(box.outdoors, box.pressure)
    of_plume = (volume / (plume_factor(ENTRAINMENT) * box.flux ** (1.0 / 3.0))) ** 0.6
    excess = temps - box.outdoors
    return of_plume / box.height, 1.0 - excess.mean() / excess[-1]


@pytest.mark.parametrize(("opening", "expected"), INTERFACES)
def test_interface_of_a_vented_box(opening, expected):
    # Within 1 % at 24 layers, from the flow and from the temperatures.
    box = vented(24, opening)
    assert interfaces(box, settled(box)) == pytest.approx((expected, expected), rel=0.01)
    assert interface(opening, ENTRAINMENT) == pytest.approx(expected, abs=1e-4)


@pytest.mark.parametrize("warmer", [3.0, 8.0, 15.0])
def test_interface_in_a_low_room(warmer):
    # In a room of 2.2 m cut into 20 layers: within 0.7 % at 3 K, 1.6 % at 15 K, where the densities differ
    # more than the closed form allows for.
    for opening, expected in INTERFACES[1::2]:
        box = vented(20, opening, warmer, 2.2, 8.0)
        assert interfaces(box, settled(box)) == pytest.approx((expected, expected), rel=0.02)


@pytest.mark.parametrize("ratio", [0.5, 2.0])
def test_interface_with_unequal_openings(ratio):
    box = vented(24, 0.01, ratio=ratio)
    assert interfaces(box, settled(box)) == pytest.approx((0.4278, 0.4278), rel=0.01)


@pytest.mark.parametrize("opening", dict(INTERFACES))
def test_interface_of_air_a_kelvin_warmer(opening):
    # Within 0.8 % from the temperatures, 0.3 % from the flow.
    expected = dict(INTERFACES)[opening]
    box = vented(24, opening, 1.0)
    assert interfaces(box, settled(box)) == pytest.approx((expected, expected), rel=0.01)


MISSED = {0.0025: "3.3 % low from the temperatures", 0.01: "2.6 % low from the temperatures"}


@pytest.mark.parametrize(
    ("opening", "expected"),
    [
        pytest.param(*case, marks=pytest.mark.xfail(reason=MISSED[case[0]], strict=True))
        if case[0] in MISSED
        else case
        for case in INTERFACES
    ],
)
def test_interface_of_air_half_a_kelvin_warmer(opening, expected):
    # Where two layers are alike, a plume passes whole only if it is 0.14 K warmer: more than a quarter of this step.
    # How far that blurs the interface goes with where the layers are cut.
    box = vented(24, opening, 0.5)
    assert interfaces(box, settled(box))[1] == pytest.approx(expected, rel=0.01)


@pytest.mark.parametrize(("opening", "expected"), INTERFACES)
def test_flow_of_air_half_a_kelvin_warmer(opening, expected):
    # The flow is right wherever the interface blurs: within 0.5 %.
    box = vented(24, opening, 0.5)
    assert interfaces(box, settled(box))[0] == pytest.approx(expected, rel=0.01)


def test_interface_does_not_depend_on_the_heat():
    # From 0.5 to 6 K warmer, by forty times the heat: more air, but the same height.
    boxes = [vented(24, 0.005, warmer) for warmer in (0.5, 2.0, 3.0, 6.0)]
    assert boxes[-1].watts > 40.0 * boxes[0].watts
    found = [interfaces(box, settled(box))[0] for box in boxes]
    assert max(found) - min(found) < 0.003
    assert found == pytest.approx([0.3342] * 4, rel=0.01)


@pytest.mark.parametrize("layers", [6, 12, 48])
def test_interface_needs_few_layers(layers):
    # The plume takes what the openings let through wherever the layers are cut.
    box = vented(layers, 0.01)
    of_flow, _ = interfaces(box, settled(box))
    assert of_flow == pytest.approx(0.4278, rel=0.01)

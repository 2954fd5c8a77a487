"""How layers smear a temperature that a stream carries through them, against closed forms of transport and mixing."""

import numpy as np
import pytest
from scipy.integrate import solve_ivp
from scipy.special import gammaincc

from simtent.assembly.parameters import Plumes
from simtent.assembly.shape import edges_growing_upward
from simtent.assembly.streams import SHED_ROWS, add_room_air, add_streams, no_flows
from simtent.physics.air import air_density
from simtent.physics.constants import CP_AIR
from simtent.physics.mixing import STABLE

from .filling_box import NO_FAN, SEA_LEVEL, upright

OUTDOORS, SECTION = 263.15, 8.0
DENSITY = air_density(OUTDOORS, SEA_LEVEL)
NO_PLUMES = Plumes(np.zeros((0, 0)), np.zeros((0, 0)), np.zeros(0), np.zeros(0), np.zeros(0))


def room_air(column, upward, temps):
    """Heat that each layer gains [W] where air flows up from the floor to the top [kg/s], and nothing else moves."""
    gain, heat = np.zeros(temps.size), np.zeros(temps.size)
    gain[0], gain[-1] = upward, -upward
    add_room_air(column, OUTDOORS, temps, gain, heat, no_flows(temps.size)[0])
    return heat


def aired(column, upward, temps):
    """The same where outdoor air comes in at the floor and the air of the top leaves."""
    n = temps.size
    entering, gain, heat = np.zeros(n), np.zeros(n), np.zeros(n)
    entering[0], gain[-1] = upward, -upward
    add_streams(
        NO_PLUMES, NO_FAN, column, SEA_LEVEL, np.zeros((0, n)), np.zeros((SHED_ROWS, n)), entering, OUTDOORS, temps,
        heat, gain, no_flows(n),
    )  # fmt: skip
    return heat


def carried(heat_of, column, begin, moments):
    """Temperatures of the layers at moments [s]; one row for each."""
    capacity = DENSITY * CP_AIR * SECTION * np.diff(column.edges)
    solved = solve_ivp(
        lambda _, temps: heat_of(temps) / capacity,
        (0.0, moments[-1]),
        begin,
        "DOP853",
        moments,
        rtol=1e-9,
        atol=1e-9,
    )
    return solved.y.T


def test_step_carried_up_without_mixing():
    # Cold air that comes in at the floor of a warm room of 20 equal layers. Closed form: what has passed one layer
    # after another is spread as a sum of so many waits, T_k = Q(k + 1, t / time of one layer), the incomplete gamma
    # function.
    layers, height, upward = 20, 2.0, 0.05
    column = upright(np.linspace(0.0, height, layers + 1), SECTION, 1e-9)
    one = DENSITY * SECTION * height / layers / upward  # s, to fill one layer
    moments = one * np.array([1.0, 5.0, 10.0, 15.0])
    rows = carried(lambda temps: aired(column, upward, temps), column, np.full(layers, 283.15), moments)
    for moment, temps in zip(moments, rows, strict=True):
        expected = gammaincc(np.arange(1, layers + 1), moment / one)
        assert (temps - OUTDOORS) / 20.0 == pytest.approx(expected, abs=1e-7)
    # Its width: the root of the way times a layer's thickness (as by a diffusivity of half the speed times that). Of
    # 20 layers, a step that was carried half the height reaches with its 10 and 90 % over 0.40 of it.
    share = (rows[2] - OUTDOORS) / 20.0
    tenth, nine_tenths = np.interp((0.1, 0.9), share, np.arange(1, layers + 1) / layers)
    assert nine_tenths - tenth == pytest.approx(2.563 * np.sqrt(0.5 / layers), rel=0.03)
    assert nine_tenths - tenth == pytest.approx(0.40, abs=0.01)


@pytest.mark.parametrize("upward", [0.0, 0.01, 0.06, 0.5])
@pytest.mark.parametrize("mixing", [0.05, 1.0, 20.0])
def test_step_carried_up_beside_mixing(upward, mixing):
    # Closed form: a chain of layers in which heat steps up and down at fixed rates spreads with
    # 2 D t, D = (u dz / 2) coth(u dz / 2 D_mix), which is D_mix where mixing is strong and u dz / 2 where it is weak.
    layers, thick, steps = 240, 0.1, 100.0
    column = upright(thick * np.arange(layers + 1), SECTION, mixing)
    speed, own = upward / (DENSITY * SECTION), mixing * STABLE / (DENSITY * CP_AIR)
    whole = own if speed == 0.0 else speed * thick / 2.0 / np.tanh(speed * thick / (2.0 * own))
    moment = steps * thick**2 / (2.0 * whole + speed * thick)
    begin = np.where(np.arange(layers) < 80, 273.15, 274.15)
    (temps,) = carried(lambda now: room_air(column, upward, now), column, begin, (moment,))
    weight, at = np.diff(temps), column.edges[1:-1]
    assert weight.sum() == pytest.approx(1.0, abs=1e-9)
    middle = weight @ at
    assert middle - at[79] == pytest.approx(speed * moment, abs=1e-6)
    assert weight @ (at - middle) ** 2 == pytest.approx(2.0 * whole * moment, rel=1e-5)


def test_smearing_by_the_cells_beside_the_usual_mixing():
    # A shelter of 20 layers of 0.1 m with 60 g/s through 8 m2 and the mixing of air that lies stably: closed form as
    # above, the layers add 13 % to the mixing; a plain upwind scheme would add 63 %.
    speed, own, thick = 0.06 / (DENSITY * SECTION), STABLE / (DENSITY * CP_AIR), 0.1
    column = upright(thick * np.arange(3), SECTION, 1.0)
    temps = np.array([OUTDOORS, OUTDOORS + 1.0])
    cold = room_air(column, 0.06, temps)[1] + 0.06 * CP_AIR  # its own outflow put back
    # Between two layers that differ by 1 K goes C/2 with the stream's mean; what is missing to that went by diffusion.
    through = (0.5 * 0.06 * CP_AIR - cold) * thick / (SECTION * DENSITY * CP_AIR)
    expected = speed * thick / 2.0 / np.tanh(speed * thick / (2.0 * own))
    assert through == pytest.approx(expected, rel=1e-9)
    assert through / own - 1.0 == pytest.approx(0.128, abs=0.001)
    assert speed * thick / 2.0 / own == pytest.approx(0.63, abs=0.005)


@pytest.mark.parametrize("upward", [-0.3, -0.02, -1e-6, 0.0, 1e-6, 0.004, 0.02, 0.3])
@pytest.mark.parametrize("mixing", [0.05, 1.0, 20.0])
def test_steady_profile_is_exact_at_the_centres(upward, mixing):
    # Closed form of steady transport and conduction, T = a + b exp(Pe z): no layer between two held ones gains heat,
    # however the layers are cut, and what flows through is the closed form's.
    column = upright(edges_growing_upward(2.1, 20), SECTION, mixing)
    centres = (column.edges[1:] + column.edges[:-1]) / 2.0
    way = centres - centres[0]
    conductance = mixing * STABLE * SECTION  # W m/K
    slope = upward * CP_AIR / conductance
    if slope == 0.0:
        share = way / way[-1]
    elif slope * way[-1] < 100.0:
        share = np.expm1(slope * way) / np.expm1(slope * way[-1])
    else:  # the same from its warm end, where the other would overflow
        share = np.exp(slope * (way - way[-1]))
    temps = 273.15 + 15.0 * share
    heat = room_air(column, upward, temps)
    through = upward * CP_AIR * (temps[0] - OUTDOORS)
    if slope == 0.0:
        through -= conductance * 15.0 / way[-1]
    elif slope * way[-1] < 100.0:
        through -= upward * CP_AIR * 15.0 / np.expm1(slope * way[-1])
    scale = abs(upward) * CP_AIR * 25.0 + conductance * 15.0 / way[-1]
    assert heat[1:-1] == pytest.approx(0.0, abs=1e-9 * scale)
    own = upward * CP_AIR * (temps[0] - OUTDOORS)  # brought to the lowest layer at its own temperature
    assert own - heat[0] == pytest.approx(through, abs=1e-9 * scale)

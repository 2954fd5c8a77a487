"""How layers of air smear what a stream carries through them, against closed forms of transport and mixing.

Layers cannot hold a step sharp: of 20 layers, one carried half way up reaches with its 10 and 90 % over 0.4 of the
height. simtent's flux between layers adds little to a mixing that is there anyway: 13 % where plain upwind transport
would add 63 %.
"""

from functools import lru_cache, partial

import numpy as np
import pytest
from scipy.integrate import solve_ivp
from scipy.special import gammaincc

from simtent.assembly.parameters import Plumes
from simtent.assembly.shape import edges_growing_upward
from simtent.assembly.streams import SHED_ROWS, add_room_air, add_streams, no_flows
from simtent.physics.air import air_density
from simtent.physics.constants import CP_AIR
from simtent.physics.mixing import STABLE, mixing_conductivity
from simtent.physics.transport import mixing_left

from .claims import CLOSED_FORM, Margin, at_most, case, claims, off, percent
from .filling_box import NO_FAN, SEA_LEVEL, upright
from .sources import MATHEMATICS, SCHARFETTER_GUMMEL

SUBJECT = "Layers that a stream passes"
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


CARRIED = partial(claims, provenance=CLOSED_FORM, laws=[add_room_air, mixing_left, mixing_conductivity])
LAYERS, HEIGHT, UPWARD = 20, 2.0, 0.05
ONE = DENSITY * SECTION * HEIGHT / LAYERS / UPWARD  # s, to fill one layer


@lru_cache
def cold_step():
    """Share of warmth left in 20 layers after the air of 1, 5, 10 and 15 of them has come in cold at the floor."""
    column = upright(np.linspace(0.0, HEIGHT, LAYERS + 1), SECTION, 1e-9)
    moments = ONE * np.array([1.0, 5.0, 10.0, 15.0])
    rows = carried(lambda temps: aired(column, UPWARD, temps), column, np.full(LAYERS, 283.15), moments)
    return (rows - OUTDOORS) / 20.0


@CARRIED(
    "Warmth left in each of 20 layers of 0.1 m when cold air has filled so many of them from the floor, without "
    "mixing: a sum of waits, the incomplete gamma function",
    MATHEMATICS,
    allowed=off(1e-7),
    cases=[
        case(
            "air of one layer" if count == 1 else f"air of {count} layers",
            gammaincc(np.arange(1, LAYERS + 1), count),
            k,
        )
        for k, count in enumerate((1, 5, 10, 15))
    ],
)
def test_step_carried_up_without_mixing(k):
    return cold_step()[k]


@CARRIED(
    "Part of the height between its 10 and 90 % when such a step is half way up, sqrt(way x layer)",
    MATHEMATICS,
    allowed=percent(3.0),
    cases=[case("20 layers", 2.563 * np.sqrt(0.5 / LAYERS))],
)
def test_width_of_a_step():
    tenth, nine_tenths = np.interp((0.1, 0.9), cold_step()[2], np.arange(1, LAYERS + 1) / LAYERS)
    return nine_tenths - tenth


CELLS, THICK = 240, 0.1  # m


def spreading(upward, mixing):
    """Time that is followed [s], way [m] and variance [m2] by the closed form."""
    speed, own = upward / (DENSITY * SECTION), mixing * STABLE / (DENSITY * CP_AIR)
    whole = own if speed == 0.0 else speed * THICK / 2.0 / np.tanh(speed * THICK / (2.0 * own))
    moment = 100.0 * THICK**2 / (2.0 * whole + speed * THICK)
    return moment, (speed * moment, 2.0 * whole * moment)


STEPS = [(upward, mixing) for upward in (0.0, 0.01, 0.06, 0.5) for mixing in (0.05, 1.0, 20.0)]


@CARRIED(
    "Way and variance of a step that is carried up through layers of 0.1 m and mixed: speed x t and 2 D t, "
    "D = (u dz/2) coth(u dz/2 D_mix), as a chain of layers with fixed rates has it",
    MATHEMATICS,
    unit="m, m2",
    digits=5,
    allowed=Margin(rel=1e-5, off=1e-6),
    cases=[
        case(
            f"{upward:g} kg/s through 8 m2, {mixing:g} times the mixing"
            if upward
            else f"no flow, {mixing:g} times the mixing",
            spreading(upward, mixing)[1],
            upward,
            mixing,
        )
        for upward, mixing in STEPS
    ],
)
def test_step_carried_up_beside_mixing(upward, mixing):
    column = upright(THICK * np.arange(CELLS + 1), SECTION, mixing)
    begin = np.where(np.arange(CELLS) < 80, 273.15, 274.15)
    moment, _ = spreading(upward, mixing)
    (temps,) = carried(lambda now: room_air(column, upward, now), column, begin, (moment,))
    weight, at = np.diff(temps), column.edges[1:-1]
    assert weight.sum() == pytest.approx(1.0, abs=1e-9)
    middle = weight @ at
    return middle - at[79], weight @ (at - middle) ** 2


def smeared():
    """Diffusivity between two layers of 0.1 m that 60 g/s pass through 8 m2 [m2/s]: found, of the mixing, speed."""
    speed, own, thick = 0.06 / (DENSITY * SECTION), STABLE / (DENSITY * CP_AIR), 0.1
    column = upright(thick * np.arange(3), SECTION, 1.0)
    temps = np.array([OUTDOORS, OUTDOORS + 1.0])
    cold = room_air(column, 0.06, temps)[1] + 0.06 * CP_AIR  # its own outflow put back
    # Between two layers that differ by 1 K goes C/2 with the stream's mean; what is missing to that went by diffusion.
    through = (0.5 * 0.06 * CP_AIR - cold) * thick / (SECTION * DENSITY * CP_AIR)
    return through, own, speed * thick / 2.0


@CARRIED(
    "What layers of 0.1 m add to the mixing of air that lies stably, 60 g/s through 8 m2",
    SCHARFETTER_GUMMEL,
    allowed=off(0.001),
    cases=[case("share of the mixing (plain upwind: 0.63)", 0.128)],
)
def test_smearing_by_the_cells_beside_the_usual_mixing():
    through, own, upwind = smeared()
    assert through == pytest.approx(upwind / np.tanh(upwind / own), rel=1e-9)
    assert upwind / own == pytest.approx(0.63, abs=0.005)
    return through / own - 1.0


@CARRIED(
    "Share of mixing left beside a stream, x / (e^x - 1)",
    MATHEMATICS,
    allowed=percent(1e-7),
    cases=[
        case(f"x = {x:g}", float(x / np.expm1(x)) if x else 1.0, x)
        for x in (-30.0, -1.0, -1e-4, 0.0, 1e-4, 1.0, 30.0)
    ],
)
def test_mixing_left(x):
    return mixing_left(x)


def steady(upward, mixing):
    """Heat that a layer of a steady profile gains, and what flows in below the exact flow, over the heat at hand."""
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
    own = upward * CP_AIR * (temps[0] - OUTDOORS)  # brought to the lowest layer at its own temperature
    return float(np.abs([*heat[1:-1], own - heat[0] - through]).max() / scale)


@CARRIED(
    "In the steady profile of a stream and mixing, T = a + b exp(Pe z), held at both ends of 2.1 m of 20 layers: "
    "heat that any layer gains, or that goes through too much, over what flows",
    SCHARFETTER_GUMMEL,
    allowed=at_most(1e-9),
    digits=1,
    cases=[
        case(f"{mixing:g} times the mixing, eight flows from -0.3 to 0.3 kg/s", None, mixing)
        for mixing in (0.05, 1.0, 20.0)
    ],
)
def test_steady_profile_is_exact_at_the_centres(mixing):
    return max(steady(upward, mixing) for upward in (-0.3, -0.02, -1e-6, 0.0, 1e-6, 0.004, 0.02, 0.3))

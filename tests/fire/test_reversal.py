"""A flue that may run backwards: its flow, its column, its heat and mass, and the passage through no flow."""

from itertools import pairwise
from math import copysign, pi

import numpy as np
import pytest
from CoolProp.CoolProp import PropsSI
from fluids.friction import Colebrook
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import brentq

from simtent.assembly.gas_path import STILL_FLOW, forward_back
from simtent.assembly.openings import COEFFICIENTS
from simtent.assembly.parameters import Stove, floats
from simtent.assess.judge import assess
from simtent.network.arrays import Array
from simtent.readings import accounts, readings
from simtent.results import label
from simtent.run import Run, run
from tests.assembly.fire_laws import dioxide_of, gas_enthalpy, viscosity
from tests.fake_fire import ATTRS
from tests.fire import hearth
from tests.fire.burns import story
from tests.fire.hearth import AIR, BODY, COLLAR, FIRE, TOP, fired, state, temperatures

R_AIR, CP, GRAVITY = 287.055, 1006.0, 9.80665  # J/(kg K), J/(kg K), m/s2
WHOLE = sum(hearth.LENGTHS)  # m
IN_A_SHELTER = floats((0.3, 0.7))
kelvins = st.floats(240.0, 310.0)
flows = st.one_of(st.floats(-0.02, -1e-5), st.floats(-3e-5, 3e-5), st.floats(1e-5, 0.02))


def density(kelvin: float) -> float:
    """Ideal gas [kg/m3]."""
    return hearth.PRESSURE / (R_AIR * kelvin)


def settled(stove: Stove, temps: Array, suction: float, inside: float, **burning: float) -> float:
    """Air flow that does not change any more at these temperatures [kg/s]."""

    def change(air: float) -> float:
        return float(fired(stove, state(air, **burning), temps, inside, suction).carried[AIR])

    return float(brentq(change, -0.1, 0.1, xtol=1e-12))


@given(flows)
def test_a_flow_is_what_comes_less_what_goes(air: float) -> None:
    forward, backward = forward_back(air)
    assert forward >= 0.0 and backward >= 0.0
    assert forward - backward == pytest.approx(air, rel=1e-12, abs=1e-18)
    assert forward + backward >= abs(air)
    if abs(air) >= STILL_FLOW:  # one way alone
        assert min(forward, backward) == 0.0
    assert (forward, backward) == forward_back(-air)[::-1]


def test_a_flow_turns_without_a_corner() -> None:
    """The slope of what goes forward rises from 0 to 1 and nowhere steps."""
    air = np.linspace(-2.0 * STILL_FLOW, 2.0 * STILL_FLOW, 4001)
    slope = np.diff([forward_back(float(it))[0] for it in air]) / np.diff(air)
    assert slope[0] == 0.0 and slope[-1] == pytest.approx(1.0)
    assert np.diff(slope).min() > -1e-9 and np.diff(slope).max() < 1e-3
    assert sum(forward_back(0.0)) > 0.4 * STILL_FLOW  # fire never divides by nothing


@pytest.mark.parametrize("outdoors", [243.15, 283.15])
@pytest.mark.parametrize("pascal", [8.0, 30.0])
def test_a_cold_flue_carries_what_its_losses_allow_either_way(pascal: float, outdoors: float) -> None:
    """All as cold as outdoors: orifice and pipe by Darcy and Weisbach, Colebrook's factor. Library: fluids 1.3.1."""
    stove, temps = hearth.hearth(opening=60e-4), temperatures(outdoors, outdoors, outdoors)
    rho, section = density(outdoors), pi * hearth.DIAMETER**2 / 4.0
    hole = 0.62 * (60e-4 + hearth.LEAK)

    def surplus(flow: float) -> float:
        reynolds = 4.0 * flow / (pi * hearth.DIAMETER * viscosity(outdoors))
        factor = Colebrook(reynolds, 1e-3 / hearth.DIAMETER)
        losses = factor * WHOLE / hearth.DIAMETER + sum(hearth.LOSSES) + 0.3  # of the open damper, Idelchik
        lost = flow**2 / (2.0 * rho) * (1.0 / hole**2 + losses / section**2)
        return float(lost - pascal)

    wanted = brentq(surplus, 1e-3, 0.1)
    assert 4.0 * wanted / (pi * hearth.DIAMETER * viscosity(outdoors)) > 4000.0  # turbulent
    for suction in (pascal, -pascal):
        found = settled(stove, temps, suction, outdoors)
        assert found == pytest.approx(copysign(wanted, suction), rel=2e-3)


@given(kelvins, st.floats(250.0, 700.0))
def test_the_column_of_a_pipe_by_hydrostatics(outdoors: float, metal: float) -> None:
    """A trickle takes the metal's temperature, whichever way: g p H / R (1/To - 1/T), closed form.

    R is 288 J/(kg K) for air and gas alike, as in EN 13384-1 (second-hand); 287.055 here.
    """
    temps = temperatures(metal, metal, outdoors)
    wanted = GRAVITY * (WHOLE + hearth.HEIGHT) * (density(outdoors) - density(metal))
    for air, miss in ((2e-5, 0.03), (0.0, 0.01), (-2e-5, 0.03)):  # 20 mg/s take some centimetres to do so
        found = fired(hearth.hearth(IN_A_SHELTER), state(air), temps, 290.0, 0.0).readings[2]
        assert found == pytest.approx(wanted, rel=miss)


@pytest.mark.parametrize(("neutral", "runs"), [(0.85, 1.0), (1.15, -1.0)])
def test_a_flue_as_warm_as_the_room_draws_where_its_top_is_above_the_neutral_level(
    neutral: float, runs: float
) -> None:
    """Hydrostatics: it is an opening at the height of its top, and air leaves only above the neutral level."""
    room, outdoors = 290.0, 258.0
    temps = temperatures(room, room, outdoors)
    suction = -neutral * GRAVITY * (WHOLE + hearth.HEIGHT) * (density(outdoors) - density(room))
    assert suction < -3.0
    stove = hearth.hearth(IN_A_SHELTER)
    assert copysign(1.0, fired(stove, state(0.0), temps, room, suction).carried[AIR]) == runs


def test_gas_that_hardly_moves_is_as_cold_as_the_pipe() -> None:
    """Hydrostatics: a hot fire under a pipe without flow lifts by the height of its firebox alone."""
    hot, metal, outdoors = 800.0, 270.0, 258.0
    lift = GRAVITY * hearth.HEIGHT * (density(outdoors) - density(hot))
    lift += GRAVITY * WHOLE * (density(outdoors) - density(metal))
    for air, miss in ((0.0, 0.03), (STILL_FLOW, 0.1)):
        found = fired(hearth.hearth(IN_A_SHELTER), state(air), temperatures(hot, metal, outdoors), 290.0, 0.0)
        assert found.readings[2] == pytest.approx(lift, rel=miss)


def test_cold_air_in_the_pipe_keeps_a_flue_reversed() -> None:
    """Hydrostatics: the same pipe and suction let gas up or air down; it goes on as it began."""
    room, outdoors = 290.0, 258.0
    stove, temps = hearth.hearth(IN_A_SHELTER), temperatures(room, room, outdoors)
    suction = -0.85 * GRAVITY * (WHOLE + hearth.HEIGHT) * (density(outdoors) - density(room))
    up, down = (fired(stove, state(air), temps, room, suction) for air in (1e-4, -1e-3))
    assert up.carried[AIR] > 0.0 and down.carried[AIR] < 0.0


def test_a_suction_that_turns_a_cold_flue_does_not_turn_a_hot_one() -> None:
    """Common practice, no source: a flue that smokes when lit draws once it is warm."""
    stove = hearth.hearth(IN_A_SHELTER)
    assert settled(stove, temperatures(275.0, 265.0, 258.0), -3.0, 280.0) < -1e-3
    assert settled(stove, temperatures(800.0, 450.0, 258.0), -3.0, 280.0, coals=0.3) > 1e-3


@given(st.integers(0, 2**32 - 1), flows, st.floats(-20.0, 20.0), st.booleans())
def test_the_first_law_holds_both_ways(seed: int, air: float, suction: float, shelter: bool) -> None:
    """Heat of all nodes is what the paths bring, with the warmth of air drawn and without the heat that spills."""
    random = np.random.default_rng(seed)
    temps = random.uniform(240.0, 1000.0, 9)
    temps[7:] = random.uniform(235.0, 300.0, 2)
    outdoors = float(temps[7])
    inside = float(random.uniform(250.0, 310.0)) if shelter else outdoors
    stove = hearth.hearth(IN_A_SHELTER if shelter else floats(()), baffle=float(random.choice([0.0, 1.5])))
    amounts = state(air, dry=random.uniform(0.0, 1.6), coals=random.uniform(0.0, 0.5), lighting=700.0)
    out = fired(stove, amounts, temps, inside, suction)
    forward, backward = forward_back(air)
    assert out.readings[8] == backward
    brought = out.paths.sum() + forward * CP * (inside - outdoors)
    if shelter:
        brought -= out.readings[9]
    gross = np.abs(out.heat).sum() + np.abs(out.paths).sum()
    assert out.heat.sum() == pytest.approx(brought, abs=1e-12 * gross)
    assert (out.heat[7:] == 0.0).all()
    if backward == 0.0:
        assert out.readings[9] == 0.0
    elif forward == 0.0 and shelter:  # nothing but the room takes it
        assert out.paths[4] == 0.0


@given(flows, st.floats(300.0, 1000.0), st.floats(0.0, 1.6), st.floats(0.0, 0.5))
def test_mass_is_kept_both_ways(air: float, hot: float, dry: float, coals: float) -> None:
    """Wood, water, coals and ash lose what is burnt; it goes up with the air drawn, or out at the stove."""
    stove, temps = hearth.hearth(IN_A_SHELTER), temperatures(hot, 350.0, 260.0)
    out = fired(stove, state(air, dry=dry, coals=coals), temps, 285.0, 0.0)
    assert out.carried[:AIR].sum() == pytest.approx(0.0, abs=1e-15)
    made = out.carried[hearth.BURNT]
    assert out.readings[4] == air
    if air >= STILL_FLOW:
        assert out.readings[3] == pytest.approx(air + made, rel=1e-12)
    elif air <= -STILL_FLOW:
        assert out.readings[3] == air


@given(st.floats(0.0, 0.02), st.floats(300.0, 1000.0), st.floats(0.0, 1.6), st.floats(0.0, 0.5))
def test_a_fire_takes_air_from_either_side(air: float, hot: float, dry: float, coals: float) -> None:
    stove, temps = hearth.hearth(IN_A_SHELTER), temperatures(hot, 350.0, 260.0)
    one, other = (fired(stove, state(it, dry=dry, coals=coals), temps, 285.0, 0.0) for it in (air, -air))
    assert (one.carried[:AIR] == other.carried[:AIR]).all()
    assert one.readings[5:8] == pytest.approx(other.readings[5:8], rel=1e-15)


@given(st.floats(1e-4, 0.02), kelvins, st.floats(320.0, 800.0))
def test_air_that_comes_down_takes_its_heat_from_the_pipe(air: float, outdoors: float, metal: float) -> None:
    temps = temperatures(metal, metal, outdoors)
    out = fired(hearth.hearth(IN_A_SHELTER), state(-air), temps, 285.0, 0.0)
    collar, top = out.readings[:2]
    assert top == outdoors and outdoors < collar < metal
    pipe = out.heat[COLLAR : TOP + 1]
    assert (pipe < 0.0).all()
    assert (np.abs(pipe) / np.array(hearth.LENGTHS))[-1] > (np.abs(pipe) / np.array(hearth.LENGTHS))[0]
    assert -pipe.sum() == pytest.approx(air * CP * (collar - outdoors), rel=1e-9)
    assert out.heat[BODY] == pytest.approx(0.0, abs=1e-9)  # as hot as the fire, and no baffle


def test_a_reversed_flue_heats_the_room_with_its_air() -> None:
    """Nothing burns, the firebox is hot: air down the pipe leaves as hot as it. Library: CoolProp 8.0.0, within 2 %."""
    air, hot, outdoors = 5e-3, 600.0, 260.0
    out = fired(hearth.hearth(IN_A_SHELTER), state(-air), temperatures(hot, 300.0, outdoors), 285.0, 0.0)
    warmth = [PropsSI("H", "T", it, "P", hearth.PRESSURE, "Air") for it in (hot, outdoors)]
    assert out.readings[9] == pytest.approx(air * (warmth[0] - warmth[1]), rel=0.02)


def test_gas_of_the_wood_spills_too() -> None:
    """EN 13384-1's enthalpy (second-hand) of air and all that the wood gave off, above that of the outdoor air."""
    air, hot, outdoors = 2e-3, 700.0, 260.0
    now = state(-air, dry=1.6, coals=0.4)
    out = fired(hearth.hearth(IN_A_SHELTER), now, temperatures(hot, 300.0, outdoors), 285.0, 0.0)
    made, dioxide = out.carried[hearth.BURNT], dioxide_of(out.readings[5], air)
    assert made > 0.1 * air and dioxide > 5.0
    wanted = (air + made) * gas_enthalpy(hot, dioxide) - air * CP * (outdoors - 298.15)
    assert out.readings[9] == pytest.approx(wanted, rel=1e-9)


@pytest.mark.parametrize(("dry", "coals"), [(0.0, 0.0), (1.6, 0.3)])
def test_a_small_inlet_passes_hot_gas_by_the_orifice_law(dry: float, coals: float) -> None:
    """Closed form, Cd A sqrt(2 rho dP), of gas as hot as the fire; the wide pipe loses next to nothing."""
    hot, area = 700.0, 5e-4 + hearth.LEAK
    stove, temps = hearth.hearth(IN_A_SHELTER, opening=5e-4), temperatures(hot, 300.0, 260.0)
    air = settled(stove, temps, -25.0, 285.0, dry=dry, coals=coals)
    assert air < -5e-4
    out = fired(stove, state(air, dry=dry, coals=coals), temps, 285.0, -25.0)
    gas = -air + out.carried[hearth.BURNT]
    assert gas > -1.1 * air if dry else gas == -air
    assert gas == pytest.approx(0.62 * area * np.sqrt(-2.0 * density(hot) * out.readings[2]), rel=0.01)


@given(flows, st.floats(-30.0, 30.0), st.floats(0.1, 20.0), st.floats(280.0, 900.0))
def test_more_pressure_inside_drives_more_air_in(air: float, suction: float, more: float, hot: float) -> None:
    stove, temps, now = hearth.hearth(IN_A_SHELTER), temperatures(hot, 320.0, 260.0), state(air, coals=0.2)
    less, larger = (fired(stove, now, temps, 285.0, it) for it in (suction, suction + more))
    assert larger.carried[AIR] > less.carried[AIR]
    assert larger.readings[2] - less.readings[2] == pytest.approx(more, rel=1e-9)
    assert (larger.heat == less.heat).all() and (larger.paths == less.paths).all()


@given(flows, st.floats(-30.0, 30.0))
def test_a_given_draught_knows_no_suction(air: float, suction: float) -> None:
    stove, temps = hearth.hearth(IN_A_SHELTER, prescribed=12.0), temperatures(600.0, 350.0, 260.0)
    still, drawn = (fired(stove, state(air), temps, 285.0, it) for it in (0.0, suction))
    assert drawn.readings[2] == 12.0
    assert (drawn.carried == still.carried).all()


def everything(air: float, temps: Array) -> Array:
    """All that a moment of a burning stove gives, in one row."""
    now = state(air, dry=0.8, coals=0.2)
    return np.concatenate(fired(hearth.hearth(IN_A_SHELTER, baffle=1.5), now, temps, 285.0, -2.0))


@pytest.mark.parametrize("hot", [270.0, 450.0, 800.0])
def test_the_flow_turns_without_a_step_or_a_corner(hot: float) -> None:
    """Four times as many points: a quarter of the largest change, and of the largest change of slope."""
    steps, bends = [], []
    for count in (400, 1600):
        air = np.linspace(-2.5 * STILL_FLOW, 2.5 * STILL_FLOW, count + 1)
        rows = np.array([everything(float(it), temperatures(hot, 330.0, 260.0)) for it in air])
        size = np.abs(rows).max(axis=0) + 1e-12
        change = np.diff(rows, axis=0) / size
        steps.append(np.abs(change).max())
        bends.append(np.abs(np.diff(change, axis=0)).max() * count)
    for values in (steps, bends):
        for coarse, fine in pairwise(values):
            assert fine < 0.3 * coarse


def test_a_flow_that_turns_follows_in_ten_seconds() -> None:
    """From up to down under a sudden suction: a lag of first order, closed form at its last."""
    stove, temps, step = hearth.hearth(IN_A_SHELTER), temperatures(275.0, 265.0, 258.0), 0.05
    air, last = [4e-3], settled(stove, temps, -5.0, 280.0)
    for _ in range(int(120.0 / step)):
        air.append(air[-1] + step * float(fired(stove, state(air[-1]), temps, 280.0, -5.0).carried[AIR]))
    assert all(later <= earlier for earlier, later in pairwise(air))
    assert last < -1e-3 and air[-1] == pytest.approx(last, rel=1e-3)
    left = np.array(air) - last
    assert left[int(40.0 / step)] / left[int(30.0 / step)] == pytest.approx(np.exp(-1.0), rel=0.2)
    assert temps[FIRE] == 275.0  # nothing but the flow moved


@pytest.fixture(scope="module")
def windy() -> Run:
    """The story night with its only vent where a strong wind sucks hard, at a roof's edge: air comes down all night.

    A coefficient of -0.8, where our own lee sides have -0.4 at most and the pipe's end -0.5; from memory roofs' edges
    reach more.
    """
    vent = {"ridge_vent": {"area": "20 in2", "at": "6 ft", "faces": "lee"}}
    changes = {"outdoors.wind": "8 m/s", "model.leak_area": "1 cm2", "shelter.openings": vent}
    with pytest.MonkeyPatch.context() as patch:
        patch.setitem(COEFFICIENTS, "edge of timber", (0.4, -0.8))
        return run(story().replace(changes))


@pytest.mark.compiled
def test_a_night_with_the_flue_reversed_keeps_its_books(windy: Run) -> None:
    """First law and mass: nothing leaves by the flue, and all that was put on is there, burnt or not."""
    states, stove = windy.solution.states, windy.model.shelter.stove
    assert states[states.shape[0] // 50 :, stove.places.air].max() < -1e-3
    assert windy.residual < 1e-12
    told = accounts(windy)
    assert abs(told["flue"][-1]) < 1e-6 * told["fire"][-1]
    slots, places = stove.slots, stove.places
    n = slots.dry.size
    stages = [states[:, first : first + n].sum(axis=1) for first in (slots.first_water, slots.first_dry)]
    stages += [states[:, place] for place in (places.coals, places.ash, places.burnt)]
    assert windy.tending is not None
    on = [sum(e.mass for e in windy.tending.events if e.time <= t) for t in windy.solution.times]
    assert np.abs(sum(stages) - np.array(on)).max() < 1e-9 * on[-1]


@pytest.mark.compiled
def test_a_night_with_the_flue_reversed_is_told(windy: Run) -> None:
    """Whoever reads the answer learns it, from the first fire on."""
    found = assess(windy.scenario, label(*readings(windy), ATTRS))
    (told,) = [it for it in found if "backwards while something burns" in it.what]
    assert told.level == "caution" and told.when.startswith("20:4")

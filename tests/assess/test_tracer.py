"""A gas that the air of a night carries: closed forms of one room, what mixes, what stays, what a door does not do."""

from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from simtent.assess.tracer import Air, air_of, carried
from simtent.physics.emission import parts_per_million
from simtent.scenario.load import load
from tests import fake_fire, fake_night
from tests.assess.nights import labelled

PRESSURE, GAS = 101325.0, 287.055  # Pa, J/(kg K)
SCENARIOS = Path(__file__).parents[2] / "scenarios"
LAYERS = 6


def one_room(volume: float, fresh: float, hours: float, steps: int = 24) -> Air:
    """Air of one layer of a volume [m3] at 25 degC, into which so much fresh air comes [m3/h]."""
    density = PRESSURE / (GAS * 298.15)
    seconds = np.linspace(0.0, 3600.0 * hours, steps + 1)
    entering = np.full(steps + 1, fresh * density / 3600.0)
    mass = np.full((steps + 1, 1), volume * density)
    return Air(seconds, mass, entering, -entering[:, None, None])


def given_off(air: Air, grams_an_hour: float, layer: int = 0) -> np.ndarray:
    """What goes into one layer all the time [kg/s]."""
    found = np.zeros((air.seconds.size - 1, air.mass.shape[1]))
    found[:, layer] = grams_an_hour / 3.6e6
    return found


def column(up: np.ndarray, mixing: np.ndarray, fresh: float, mass: np.ndarray, hours: float) -> Air:
    """Layers on top of each other, streams that hold all night.

    `up` [kg/s] is a circulation that goes up and comes down between two layers; fresh air enters the lowest, passes
    all, and leaves at the top. So every layer keeps its mass.
    """
    layers, steps = mass.size, 48
    exchange, below = np.zeros((layers, layers)), np.arange(layers - 1)
    exchange[below + 1, below] = up + mixing + fresh
    exchange[below, below + 1] = up + mixing
    entering = np.zeros(layers)
    entering[0] = fresh
    exchange[np.arange(layers), np.arange(layers)] = -(exchange.sum(axis=1) + entering)
    times = np.linspace(0.0, 3600.0 * hours, steps + 1)
    every = np.ones(steps + 1)
    return Air(times, every[:, None] * mass, fresh * every, every[:, None, None] * exchange)


FLOWS = st.lists(st.floats(0.0, 0.2), min_size=LAYERS - 1, max_size=LAYERS - 1).map(np.array)
MASSES = st.lists(st.floats(0.05, 10.0), min_size=LAYERS, max_size=LAYERS).map(np.array)


@pytest.mark.parametrize(
    ("fresh", "grams", "ppm"),
    [(15.0, 2.0, 116.4), (30.0, 0.5, 14.6), (60.0, 10.0, 145.6)],
)
def test_a_room_settles_at_what_is_given_over_what_comes_in(fresh: float, grams: float, ppm: float) -> None:
    """C = E / Q: 1.145 mg/m3 are one ppm of carbon monoxide at 25 degC and 101.325 kPa (closed form)."""
    air = one_room(15.0, fresh, 24.0)
    last = float(parts_per_million(float(carried(air, given_off(air, grams))[-1, 0])))
    assert last == pytest.approx(ppm, rel=0.005)
    assert last == pytest.approx(1000.0 * grams / (fresh * 1.145), rel=0.005)


def test_a_room_fills_and_clears_by_its_time_constant() -> None:
    """15 m3 and 15 m3/h: an hour. 45.8 ppm after 30 min of 116.4 (closed form); cleared by exp(-t)."""
    air = one_room(15.0, 15.0, 3.0, 36)
    ppm = parts_per_million(1.0) * carried(air, given_off(air, 2.0))[:, 0]
    assert ppm[6] == pytest.approx(45.8, rel=0.005)
    hours = air.seconds / 3600.0
    assert ppm == pytest.approx(ppm[6] / (1.0 - np.exp(-0.5)) * (1.0 - np.exp(-hours)), rel=1e-9)
    cleared = carried(air, given_off(air, 0.0), start=1e-3)[:, 0]
    assert cleared == pytest.approx(1e-3 * np.exp(-hours), rel=1e-9)


@pytest.mark.parametrize("steps", [3, 36])
def test_how_often_a_night_is_told_changes_nothing_while_its_streams_hold(steps: int) -> None:
    air = one_room(15.0, 15.0, 3.0, steps)
    last = carried(air, given_off(air, 2.0))[-1, 0]
    assert parts_per_million(last) == pytest.approx(116.4 * (1.0 - np.exp(-3.0)), rel=0.005)


@given(FLOWS, FLOWS, MASSES)
def test_what_is_the_same_everywhere_stays_so(up: np.ndarray, mixing: np.ndarray, mass: np.ndarray) -> None:
    air = column(up, mixing, 0.0, mass, 4.0)
    assert carried(air, given_off(air, 0.0), start=1e-3) == pytest.approx(1e-3, rel=1e-9)


@given(FLOWS, FLOWS, MASSES, st.integers(0, LAYERS - 1))
def test_nothing_is_lost_where_nothing_enters(
    up: np.ndarray, mixing: np.ndarray, mass: np.ndarray, layer: int
) -> None:
    air = column(up, mixing, 0.0, mass, 4.0)
    there = (air.mass * carried(air, given_off(air, 3.0, layer))).sum(axis=1)
    assert there == pytest.approx(3.0 / 3.6e6 * air.seconds, rel=1e-9, abs=1e-15)


@given(FLOWS, FLOWS, st.floats(1e-4, 0.05), MASSES, st.integers(0, LAYERS - 1))
def test_what_leaves_at_last_is_what_is_given(
    up: np.ndarray, mixing: np.ndarray, fresh: float, mass: np.ndarray, layer: int
) -> None:
    """Steady: the air that leaves at the top takes E / Q with it, whatever happens on the way; no layer is below 0."""
    air = column(up, mixing, fresh, mass, 400.0 * mass.sum() / fresh / 3600.0)
    share = carried(air, given_off(air, 3.0, layer))
    assert share[-1, -1] == pytest.approx(3.0 / 3.6e6 / fresh, rel=1e-6)
    assert share.min() >= -1e-15


@given(
    FLOWS,
    FLOWS,
    st.floats(1e-3, 0.05),
    MASSES,
    st.integers(0, LAYERS - 1),
    st.floats(0.05, 0.95),
)
def test_the_mean_never_falls_as_the_air_moves_less(
    up: np.ndarray, mixing: np.ndarray, fresh: float, mass: np.ndarray, layer: int, less: float
) -> None:
    """With the vents closing and the same given off, the mean over the room rises at every time.

    For streams that hold, it must: what was given off long ago is thinned by a slower clock.
    """
    wide = column(up, mixing, fresh, mass, 4.0)
    shut = column(less * up, less * mixing, less * fresh, mass, 4.0)
    means = [
        (mass * carried(air, given_off(air, 3.0, layer))).sum(axis=1) / mass.sum() for air in (wide, shut)
    ]
    assert (means[1] >= means[0] * (1.0 - 1e-9)).all()


def test_strong_mixing_is_one_room() -> None:
    mass = np.full(LAYERS, 3.0)
    air = column(np.full(LAYERS - 1, 0.0), np.full(LAYERS - 1, 50.0), 0.005, mass, 3.0)
    share = carried(air, given_off(air, 2.0, 3))
    alone = 2.0 / 3.6e6 / 0.005 * (1.0 - np.exp(-air.seconds * 0.005 / mass.sum()))
    assert share == pytest.approx(np.repeat(alone[:, None], LAYERS, axis=1), rel=0.01)


def test_a_door_open_for_a_minute_does_not_air_five() -> None:
    """Told at a moment within, the flood through the door is not taken for the minutes before and after it."""
    air = one_room(15.0, 15.0, 2.0)
    door = air.entering.copy()
    door[10] *= 80.0
    open_once = Air(air.seconds, air.mass, door, -door[:, None, None])
    source = given_off(air, 2.0)
    assert carried(open_once, source) == pytest.approx(carried(air, source), rel=1e-12)


def test_a_door_that_stays_open_does_air() -> None:
    air = one_room(15.0, 15.0, 2.0)
    door = air.entering.copy()
    door[10:13] *= 80.0
    open_long = Air(air.seconds, air.mass, door, -door[:, None, None])
    shares = carried(open_long, given_off(air, 2.0))[:, 0]
    assert shares[12] < 0.05 * shares[10] < shares[-1]


@pytest.mark.parametrize("dataset", [fake_night.night(minutes=30.0), fake_fire.night(minutes=30.0)])
def test_streams_of_a_dataset_are_told_once_each(dataset) -> None:
    """By hand at one time: what a layer gets from below is all that goes up, and mixing; its loss all that comes."""
    air, k, n = air_of(dataset), 7, 5
    now = dataset.isel(time=k)
    streams, mixing = now["layer_flow"].values, now["mixing_flow"].values
    from_below = streams[n - 1][streams[n - 1] > 0.0].sum() + mixing[n - 1]
    from_above = -streams[n][streams[n] < 0.0].sum() + mixing[n]
    assert air.exchange[k, n, n - 1] == pytest.approx(from_below)
    assert air.exchange[k, n, n + 1] == pytest.approx(from_above)
    assert air.exchange[k, n, n] == pytest.approx(-from_below - from_above - float(now["layer_inflow"][n]))
    assert not air.exchange[k, n, : n - 1].any() and not air.exchange[k, n, n + 2 :].any()
    assert air.entering == pytest.approx(dataset["leakage_flow"].values)


@pytest.mark.compiled
@pytest.mark.parametrize("name", ["sedge_hollow", "snow_saddle"])
def test_the_air_of_a_shipped_night_adds_up(name: str) -> None:
    """What enters the layers is what enters; masses are those of the air changes; nothing is below nothing."""
    scenario = load(SCENARIOS / f"{name}.toml")
    night = labelled(scenario)
    assert night["layer_inflow"].sum("height").values == pytest.approx(night["leakage_flow"].values)
    whole = 3600.0 * night["leakage_flow"] / night["layer_mass"].sum("height")
    assert whole.values == pytest.approx(night["air_changes"].values)
    assert float(night["mixing_flow"].min()) >= 0.0
    # Nothing given off, everything at one share: it thins out, nowhere below 0, and never faster than all that enters.
    air = air_of(night)
    share = carried(air, np.zeros((air.seconds.size - 1, air.mass.shape[1])), start=1.0)
    assert share.min() >= 0.0 and share.max() <= 1.0 + 1e-12
    assert (np.diff(share.max(axis=1)) <= 1e-12).all()


@pytest.mark.compiled
def test_layers_of_a_shipped_night_keep_their_mass() -> None:
    """What streams bring a layer, less what they take, is what the openings at its height and the fire take.

    So over all layers it is what the openings bring, less the fire's; told layer by layer in the engine's own tests.
    """
    night = labelled(load(SCENARIOS / "sedge_hollow.toml"))
    through = night["layer_flow"].sum("stream").values
    nothing = np.zeros((through.shape[0], 1))
    gained = -np.diff(np.hstack([nothing, through, nothing]), axis=1)
    assert gained.sum(axis=1) == pytest.approx(0.0, abs=1e-12)
    lost = gained + night["layer_inflow"].values  # what leaves a layer by its openings, or for the fire
    assert lost.min() > -1e-9
    assert lost.sum(axis=1) == pytest.approx(night["leakage_flow"].values)

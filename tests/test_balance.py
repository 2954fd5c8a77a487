"""What warms and cools the lowest air and the floor: that nothing is left out, and each share by another way."""

from dataclasses import replace
from functools import cache

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from simtent.balance import balances
from simtent.physics.constants import CP_AIR
from simtent.readings import readings
from simtent.run import Run, run
from tests.assembly.by_hand import ByHand
from tests.assembly.test_by_hand import TENT
from tests.fire.burns import burn
from tests.portion import some, within
from tests.simulate.cases import EVEN_OUT, NO_HEAT, scenario
from tests.strategies import fires, scenarios

pytestmark = pytest.mark.compiled

CLOSED = 1e-9  # of the sum of all sizes
SHORT = {"night.end": "19:00", "heat.table": [{"at": "18:00", "power": "2 kW"}]}
LOW_AND_HIGH = {
    "shelter.openings": {
        "low_vent": {"area": "80 cm2", "at": "15 cm"},
        "ridge_vent": {"area": "100 cm2", "at": "1.8 m"},
    },
    "model.leak_below_skirt": "60 cm2",
    "levels.cot": "25 cm",
    "crew": {"asleep": 2},
    "shelter.contents": {"mass": "40 kg", "area": "5 m2", "height": "50 cm"},
}
NIGHTS = {
    "plain": {},
    "airy": LOW_AND_HIGH,
    "tent on snow": TENT,
    "fan down": LOW_AND_HIGH | {"shelter.fan": {"flow": "60 m3/h", "from": "1.8 m", "to": "10 cm"}},
    "damp": LOW_AND_HIGH
    | {
        "damp": {"snow": "1 kg", "wood": "2 kg", "gear_at": "20 cm"},
        "crew.wet_gear": "1 kg",
        "site.ground": "settled snow",
        "site.snow_density": "320 kg/m3",
        "shelter.floor": {"mat": "20 mm closed-cell foam", "mat_area": "4 m2"},
    },
    "lake": {"site.ground": "lake ice", "site.ice_thickness": "40 cm", "site.ground_start": "-5 degC"},
    "raised": {
        "shelter.floor": {"board": "18 mm plywood", "raised": "30 cm"},
        "site.ground": "none",
        "site.ground_start": "none",
    },
}


@cache
def night_of(name: str) -> Run:
    """An hour of known heat, or of a fire."""
    if name == "fire":
        return run(burn())
    return run(scenario().replace(({} if NIGHTS[name] is TENT else SHORT) | NIGHTS[name]))


def shares(
    night: Run, seconds: float = 2400.0, top: float = 0.3
) -> tuple[dict[str, float], dict[str, float]]:
    """Air and floor by name."""
    found = balances(night, seconds, top)
    return dict(found.air), dict(found.floor)


def values_at(night: Run, seconds: float) -> tuple[dict, dict, int]:
    """The values of the Dataset to be, its coordinates, and the row of a moment."""
    values, coords = readings(night)
    return values, coords, int(np.abs(night.solution.times - seconds).argmin())


def missing(night: Run, seconds: float, top: float = 0.3) -> float:
    """What the shares of air or floor miss of what is stored, over the sum of their sizes; the worse."""
    found = balances(night, seconds, top)
    return max(
        abs(sum(share.watts for share in told) - stored) / max(sum(abs(share.watts) for share in told), 1.0)
        for told, stored in ((found.air, found.air_stored), (found.floor, found.floor_stored))
    )


@pytest.mark.parametrize("top", [0.05, 0.3, 1.0, 9.0])
@pytest.mark.parametrize("name", [*NIGHTS, "fire"])
def test_shares_sum_to_what_is_stored(name: str, top: float) -> None:
    """Of the whole right-hand side, which knows nothing of the shares."""
    for seconds in (0.0, 700.0, 3600.0):
        assert missing(night_of(name), seconds, top) < CLOSED


@some(2)
@given(scenarios(hours=(2, 3)), st.floats(0.0, 1.0), st.floats(0.2, 3.0))
def test_shares_sum_in_any_camp(night, when: float, top: float) -> None:
    told = run(night)
    within(missing(told, when * told.solution.times[-1], top), CLOSED, "of all shares is missing")


@some(2)
@given(fires(hours=(2, 3)), st.floats(0.0, 1.0), st.floats(0.2, 3.0), st.integers(0, 1000))
def test_shares_sum_at_any_state_of_a_fire(night, when: float, top: float, seed: int) -> None:
    """Temperatures shaken and the flue turned round: states that no night comes to."""
    told = run(night)
    if told.model.house is None:
        return
    random = np.random.default_rng(seed)
    states = told.solution.states.copy()
    states[:, : told.temperatures.shape[1]] += random.normal(0.0, 5.0, told.temperatures.shape)
    states[:, told.model.shelter.stove.places.air] = random.normal(0.0, 5e-3, states.shape[0])
    shaken = replace(told, solution=replace(told.solution, states=states))
    within(missing(shaken, when * told.solution.times[-1], top), CLOSED, "of all shares is missing")


def test_shares_come_by_size() -> None:
    for told in (balances(night_of("airy"), 2400.0).air, balances(night_of("airy"), 2400.0).floor):
        sizes = [abs(share.watts) for share in told]
        assert sizes == sorted(sizes, reverse=True)
        assert all(sizes)


def test_nothing_warms_or_cools_where_all_is_as_cold() -> None:
    still = run(scenario().replace(SHORT | EVEN_OUT | NO_HEAT))
    found = balances(still, 1800.0)
    assert sum(abs(share.watts) for share in (*found.air, *found.floor)) < 0.05


def test_a_layer_counts_if_its_centre_lies_below() -> None:
    night = night_of("plain")
    bands = night.model.house.bands
    for k in (1, 2, 5):
        assert balances(night, 600.0, float(bands.centres[k]) + 1e-6).height == bands.edges[k + 1]
        assert balances(night, 600.0, float(bands.centres[k]) - 1e-6).height == bands.edges[k]
    assert balances(night, 600.0, 99.0).height == bands.edges[-1]


def test_the_reported_time_next_to_it_counts() -> None:
    assert balances(night_of("plain"), 740.0).seconds == 600.0
    assert balances(night_of("plain"), 760.0).seconds == 900.0


@pytest.mark.parametrize(
    ("seconds", "top", "words"), [(-1.0, 0.3, "outside"), (9e9, 0.3, "outside"), (0.0, 0.001, "centre")]
)
def test_what_cannot_be_told(seconds: float, top: float, words: str) -> None:
    with pytest.raises(ValueError, match=words):
        balances(night_of("plain"), seconds, top)


def test_a_stove_in_the_open_has_no_room() -> None:
    outside = burn().replace({"shelter": "none", "stoking.rule": "none"})
    with pytest.raises(ValueError, match="open"):
        balances(run(outside), 600.0)


@pytest.mark.parametrize("name", ["airy", "fire", "tent on snow"])
def test_the_whole_room_by_its_paths(name: str) -> None:
    """Up to the peak every surface's share is its path's, whose watts the ledger integrates."""
    night, seconds = night_of(name), 2400.0
    values, coords, row = values_at(night, seconds)
    flows = dict(zip(coords["path"], np.asarray(values["heat_flow"])[row], strict=True))
    air, floor = shares(night, seconds, 99.0)
    names = {
        "wall_to_air": "walls",
        "floor_to_air": "floor",
        "contents_to_air": "beds and gear",
        "people": "sleepers",
    }
    for path, share in names.items():
        assert air.get(share, 0.0) == pytest.approx(flows.get(path, 0.0), rel=1e-6, abs=1e-6), share
    stove = flows.get("stove_to_air", 0.0) + flows.get("pipe_to_air", 0.0)
    assert air.get("stove and pipe", 0.0) == pytest.approx(stove, rel=1e-6)
    assert floor["air above"] == pytest.approx(-flows["floor_to_air"], rel=1e-6)
    assert floor["ground at the floor's edge"] == pytest.approx(flows["ground_edge"], rel=1e-6)
    # Nothing rises out of the whole room, falls into it or is mixed with what is above.
    assert not {"mixing with the air above", "air that falls from above"} & {
        share for share, watts in air.items() if abs(watts) > 1e-6
    }


@pytest.mark.parametrize("name", ["airy", "fire", "fan down"])
def test_air_that_moves_by_what_the_dataset_shows(name: str) -> None:
    """Each stream's mass, as the Dataset tells it, times how much warmer than the mean it is."""
    night, seconds = night_of(name), 2400.0
    values, coords, row = values_at(night, seconds)
    found = balances(night, seconds)
    air, layers = dict(found.air), int(np.searchsorted(coords["height"], 0.3))
    temps, mass = np.asarray(values["air_temperature"])[row], night.model.shelter.net.capacity[:layers]
    mean = float(mass @ temps[:layers] / mass.sum())
    outdoors = np.asarray(values["outdoor_temperature"])[row]

    entering = np.asarray(values["layer_inflow"])[row, :layers].sum()
    told = sum(watts for share, watts in air.items() if share.startswith("outdoor air through"))
    assert told == pytest.approx(CP_AIR * entering * (outdoors - mean), rel=1e-9)

    up = dict(zip(coords["stream"], np.asarray(values["layer_flow"])[row, layers - 1], strict=True))
    own, upwind = up["room air"], temps[layers - 1] if up["room air"] > 0.0 else temps[layers]
    (told,) = (watts for share, watts in air.items() if share.startswith("air of the room"))
    assert told == pytest.approx(-CP_AIR * own * (upwind - mean), rel=1e-6, abs=1e-6)

    exchanged = np.asarray(values["mixing_flow"])[row, layers - 1]
    mixed = CP_AIR * exchanged * (temps[layers] - temps[layers - 1])
    assert air["mixing with the air above"] == pytest.approx(mixed, rel=1e-6, abs=1e-6)
    if name == "fan down":
        fan = (
            -up["fan"] * CP_AIR * (temps[int(np.searchsorted(night.model.house.bands.edges, 1.8)) - 1] - mean)
        )
        assert air["fan"] == pytest.approx(fan, rel=1e-9)


def test_a_plume_takes_its_heat_and_its_air_along() -> None:
    """Nearly all that source and sleepers give off low rises from there."""
    night = night_of("airy")
    values, _, row = values_at(night, 2400.0)
    air, _ = shares(night)
    given = air["heat source"] + air["sleepers"]
    risen = air["warm air that rises from the stove or heater"] + air["warm air that rises from sleepers"]
    assert risen < 0.0
    assert -risen == pytest.approx(given, rel=0.3)
    assert np.asarray(values["layer_flow"])[row, :, 0].max() > 0.0


def test_radiation_onto_the_floor_by_hand() -> None:
    """The star told apart from the package: its middle by fourth powers; the source's share by area."""
    night = night_of("airy")
    _, floor = shares(night)
    hand = ByHand(night.scenario)
    row = int(np.abs(night.solution.times - 2400.0).argmin())
    temps = night.temperatures[row]
    weights = np.array([face.weight for face in hand.inner])
    fourth = 5.670374419e-8 * np.array([temps[face.node] for face in hand.inner]) ** 4
    radiant = 0.4 * 2000.0
    (at,) = (k for k, face in enumerate(hand.inner) if face.name == "floor")
    assert floor["radiation of the heat source"] == pytest.approx(
        weights[at] / weights.sum() * radiant, rel=1e-9
    )
    walls = weights[at] * (weights @ fourth / weights.sum() - fourth[at])
    assert floor["radiation of walls and roof"] == pytest.approx(walls, rel=1e-6)


def test_a_mat_and_the_bare_floor_are_summed() -> None:
    night = night_of("tent on snow")
    values, coords, row = values_at(night, 2400.0)
    flows = dict(zip(coords["path"], np.asarray(values["heat_flow"])[row], strict=True))
    _, floor = shares(night)
    assert floor["air above"] == pytest.approx(-flows["floor_to_air"], rel=1e-6)
    assert "floor mat" in coords["surface"]


def test_what_lies_below_has_its_name() -> None:
    assert "ground below" in shares(night_of("plain"))[1]
    assert {"ground below", "ground at the floor's edge"} <= shares(night_of("lake"))[1].keys()
    assert "outdoor air below" in shares(night_of("raised"))[1]


def test_a_stove_shines_and_draws() -> None:
    air, floor = shares(night_of("fire"), 1800.0)
    assert floor["radiation of stove and pipe"] > 100.0
    assert air["stove and pipe"] > 0.0
    assert "air that the fire draws" in air
    assert "heat source" not in air and "radiation of the heat source" not in floor


def test_a_gap_under_the_skirt_cools_the_lowest_air_most() -> None:
    """A wider one more, and it is named."""
    gap = "outdoor air through the gap under the skirt"
    told = [
        shares(run(scenario().replace(SHORT | LOW_AND_HIGH | {"model.leak_below_skirt": area})))[0][gap]
        for area in ("20 cm2", "200 cm2")
    ]
    assert told[1] < told[0] < 0.0

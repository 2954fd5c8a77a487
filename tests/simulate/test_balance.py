"""The room's own balance, what a person feels, and which surface bears which name, in solved nights."""

import numpy as np
import pytest
from hypothesis import given

import simtent
from simtent.assembly.assemble import assemble
from simtent.run import run
from simtent.views import seen_from
from tests.assembly.by_hand import CP, R_AIR, ByHand
from tests.assembly.shelter_laws import SIGMA
from tests.assembly.test_by_hand import CASES
from tests.portion import some, within
from tests.simulate.cases import scenario, solved
from tests.strategies import scenarios

pytestmark = pytest.mark.compiled

INTO_AIR = (
    "source_convective",
    "people",
    "wall_to_air",
    "roof_to_air",
    "window_to_air",
    "floor_to_air",
    "contents_to_air",
    "leakage",
)
ZERO_CELSIUS = 273.15


@some(5)
@given(scenarios(hours=(2, 5)))
def test_what_the_paths_bring_into_the_air_is_what_it_stores(night):
    """The paths are integrated, the stored heat is mass times rise of temperature by hand; mixing cancels."""
    model = assemble(night)
    got = solved(model, step=1800.0)
    hand = ByHand(night)
    layers = hand.drawing.volume.size
    heat = hand.drawing.volume * hand.pressure / (R_AIR * hand.begin) * CP
    stored = (got.states[:, :layers] - hand.begin) @ heat
    there = [k for k, name in enumerate(model.net.path_names) if name in INTO_AIR]
    came = got.states[:, len(hand.capacity) :][:, there]
    throughput = np.abs(came).sum(axis=1).max()
    within(
        np.abs(came.sum(axis=1) - stored).max() / throughput, 1e-6, "of the heat through the air is missing"
    )


@pytest.fixture(scope="module", params=CASES)
def short(request):
    """Twenty minutes: the scenario, its run, its Dataset, and the shelter by hand."""
    changes = {"night.end": "18:20", "heat.table": [{"at": "18:00", "power": "3 kW"}]}
    if "door" in CASES[request.param].get("shelter.openings", {}):
        opened = [{"at": "18:05", "for": "4 min"}, {"at": "18:12", "for": "150 s"}]
        changes["shelter.openings"] = dict(CASES[request.param]["shelter.openings"])
        changes["shelter.openings"]["door"] = changes["shelter.openings"]["door"] | {"open": opened}
    night = scenario().replace(CASES[request.param] | changes)
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr("simtent.scenario.scenario.Scenario.priors", lambda _: ())
        dataset = simtent.simulate(night)
    return night, run(night).solution, dataset, ByHand(night)


def test_surfaces_are_labelled(short):
    """By hand the inner face is the innermost node of its stack, the outer face the outermost."""
    _, solution, dataset, hand = short
    faces = [*hand.inner, *hand.outer]
    temps = np.array([hand.temperatures(state) for state in solution.states])
    assert sorted(dataset["surface"].values) == sorted(face.name for face in faces)
    for face in faces:
        shown = dataset["surface_temperature"].sel(surface=face.name).values
        assert shown == pytest.approx(temps[:, face.node] - ZERO_CELSIUS, abs=1e-9), face.name


def test_the_inner_face_is_the_warmer_one_in_a_heated_shelter(short):
    _, _, dataset, _ = short
    last = dataset["surface_temperature"].isel(time=-1)
    for name in last["surface"].values:
        if name.startswith("outer "):
            assert float(last.sel(surface=name)) < float(last.sel(surface=name.removeprefix("outer "))), name


def test_operative_temperature_is_the_mean_of_air_and_of_what_is_seen(short):
    """ISO 7726, in still air; what is seen by the fourth powers of what the Dataset shows, each face by its share of
    the view (`tests/assembly/test_views.py`), what it reflects by the star's middle, the source 1 m away."""
    night, _, dataset, hand = short
    shares = assemble(night)
    names = {node: name for name, node in shares.house.surfaces.items()}
    weights = np.array([face.weight for face in hand.inner])
    shown = dataset["surface_temperature"] + ZERO_CELSIUS
    source = night.heat.radiant_share * dataset["heat_release"].values
    inner = shown.sel(surface=[face.name for face in hand.inner]).values
    middle = (inner**4 @ weights + source / SIGMA) / weights.sum()
    heights = dict(zip(dataset["height"].values, dataset["felt_temperature"].values.T, strict=True))
    levels = {
        night.levels[name]: dataset["operative_temperature"].sel(level=name).values for name in night.levels
    }
    centres = (hand.drawing.edges[1:] + hand.drawing.edges[:-1]) / 2.0
    assert dataset["height"].values == pytest.approx(centres)
    for height, felt in (heights | levels).items():
        met = (
            source
            / SIGMA
            / (16.0 * np.pi * (1.0 + (0.5 * (night.heat.from_height + night.heat.to_height) - height) ** 2))
        )
        for face in seen_from(shares, height):
            own = shown.sel(surface=names[face.node]).values ** 4
            met = met + face.share * (face.emissivity * own + (1.0 - face.emissivity) * middle)
        air = [np.interp(height, centres, row) for row in dataset["air_temperature"].values]
        assert felt == pytest.approx((air + met**0.25 - ZERO_CELSIUS) / 2.0, abs=1e-9)
    for name, height in night.levels.items():
        air = [np.interp(height, centres, row) for row in dataset["air_temperature"].values]
        assert dataset["level_temperature"].sel(level=name).values == pytest.approx(air, abs=1e-9)
        assert float(dataset["level_height"].sel(level=name)) == height


def test_what_is_shown_of_the_weather_and_the_heat(short):
    _night, solution, dataset, hand = short
    n = len(hand.capacity)
    shown = ("outdoor_temperature", "sky_temperature", "wind_speed", "leakage_flow", "heat_release")
    for k, (t, state) in enumerate(zip(solution.times, solution.states, strict=True)):
        out, sky, wind = hand.weather(t)
        by_hand = (
            out - 273.15,
            sky - 273.15,
            wind,
            hand.moved(hand.temperatures(state[:n]), t).entering.sum(),
            hand.power(t),
        )
        assert [float(dataset[name][k]) for name in shown] == pytest.approx(by_hand, rel=1e-9), t
        _, _, rates = hand.watts(hand.temperatures(state[:n]), t)
        for path in dataset["path"].values:
            flow = float(dataset["heat_flow"][k].sel(path=path))
            assert flow == pytest.approx(rates.get(path, 0.0), rel=1e-6, abs=1e-6), path


@pytest.mark.slow
def test_accounts_are_the_integrals_of_the_paths(short):
    """Trapezium rule over a fine run; stored heat from capacities by hand."""
    night, _, dataset, hand = short
    fine = run(night, step=2.0)
    states, times = fine.solution.states, fine.solution.times
    n = len(hand.capacity)
    rates = [hand.watts(hand.temperatures(state[:n]), t)[2] for t, state in zip(times, states, strict=True)]
    shown = {
        name: float(dataset["energy"].isel(time=-1).sel(account=name)) for name in dataset["account"].values
    }
    for account in ("people", "leakage", "outside_convection", "sky_radiation", "ground_edge"):
        came = np.trapezoid([rate.get(account, 0.0) for rate in rates], times)
        assert shown[account] == pytest.approx(came, rel=2e-3, abs=1.0), account
    assert shown["source"] == pytest.approx(3000.0 * night.model.heat * 1200.0, rel=1e-6)
    gained = np.array(hand.capacity) * (states[-1, : len(hand.capacity)] - np.array(hand.start))
    for group in ("air", "skin", "ground", "contents"):
        kept = gained[np.array(hand.group) == group].sum()
        assert shown[f"stored_{group}"] == pytest.approx(kept, rel=1e-6, abs=1.0), group

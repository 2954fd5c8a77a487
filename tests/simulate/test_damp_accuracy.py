"""How exact the water of a night is: tolerance, driver, layers, plain Python, and a balance in closed form."""

import numpy as np
import pytest
from scipy.optimize import fsolve

from simtent.assess.tracer import air_of
from simtent.dampness import dampness
from simtent.driver import drive
from simtent.network import Accuracy
from simtent.run import run
from simtent.scenario.load import load
from simtent.simulate import plain
from tests.assembly.air_by_hand import spread
from tests.assembly.shelter_laws import walton
from tests.assembly.vapour_by_hand import CP, LIGHTER, OVER_WATER, R_AIR, R_VAPOUR, saturated
from tests.simulate.cases import FEW, each, scenario
from tests.simulate.test_compiled import both
from tests.simulate.wet_states import WET

pytestmark = pytest.mark.compiled

TIGHT = Accuracy(rtol=1e-8, atol=1e-6)
DEW = 0.05  # K
FROST = 5e-4  # kg/m2, or 1 %
CLOSED = {
    "crew.asleep": 2, "damp.breath_each": "20 g/h", "outdoors.steady": "-20 degC", "outdoors.cloud": "100 %",
    "heat.table": [{"at": "18:00", "power": "600 W"}], "shelter.floor": {"cover": "polyethylene groundsheet"},
    "model.leak_below_skirt": "0 cm2",
    "shelter.openings": {
        "low_vent": {"area": "30 cm2", "at": "15 cm"}, "ridge_vent": {"area": "30 cm2", "at": "1.9 m"},
    },
}  # fmt: skip


def alike(one, exact):
    """Dew point to 0.05 K, frost to 1 % or half a gram a square metre."""
    (got, _), (wanted, _) = dampness(one), dampness(exact)
    assert np.abs(got["dew_point"] - wanted["dew_point"]).max() < DEW
    for name in ("frost", "condensate"):
        assert (np.abs(got[name] - wanted[name]) < np.maximum(FROST, 0.01 * wanted[name])).all()


def test_five_hours_against_a_tighter_run():
    night = scenario().replace(WET | {"crew.asleep": 3, "night.end": "23:00"})
    exact = run(night, accuracy=TIGHT)
    alike(run(night), exact)
    alike(drive(night), exact)


@pytest.mark.slow
@each(FEW)
def test_dew_point_and_frost_against_a_tighter_run(path):
    night = load(path).replace(WET)
    exact = run(night, accuracy=TIGHT)
    alike(run(night), exact)
    alike(drive(night), exact)


@pytest.mark.slow
@each(FEW)
def test_layers_matter_little(path):
    """Usual number against 48: measured 0.68 K at a level and 0.42 K in the mean, 26 g of 1,348 g of frost."""
    usual, fine = (run(load(path, settings=settings).replace(WET)) for settings in ([], ["model.layers=48"]))
    (got, _), (wanted, _) = dampness(usual), dampness(fine)
    for height in load(path).levels.values():
        one, other = (
            np.array([np.interp(height, night.model.house.bands.centres, row) for row in values["dew_point"]])
            for night, values in ((usual, got), (fine, wanted))
        )
        assert np.abs(one - other).max() < 1.0
    one, other = (values["frost"] @ values["surface_area"] for values in (got, wanted))
    assert np.abs(one - other).max() < 0.05 * other.max() + 5e-3


@pytest.mark.slow
def test_an_hour_of_fixed_steps_is_the_same_in_plain_python(tmp_path):
    """Vapour, frost, water and all else, in a tent whose fastest mode, 2.6 1/s, bears steps of half a second."""
    base = next(path for path in FEW if path.stem == "larch_bench").read_text(encoding="utf-8")
    path = tmp_path / "damp.toml"
    path.write_text(f'{base}\n[damp]\nsnow = "200 g"\nwood = "1 kg"\npasses = "50 perm"\n', encoding="utf-8")
    compiled, pure = both(tmp_path, "steps", path)
    assert compiled == pytest.approx(pure, rel=1e-9, abs=1e-9)


def steady_ratios(air, given, dew_side, outside, k):
    """Humidity ratio of every layer at which what is given, carried and frozen is even [kg/kg].

    `dew_side(ratio)`: what surfaces take from each layer [kg/s].
    """

    def over(ratio):
        return air.exchange[k] @ ratio + air_in(air, k) * outside + given - dew_side(ratio)

    return fsolve(over, np.full(given.size, outside), xtol=1e-12)


def air_in(air, k):
    """Outdoor air by layer [kg/s]: what a layer gets beyond what the others give it."""
    return -air.exchange[k].sum(axis=1)


def test_frost_where_supply_limits_it_is_what_is_left_of_a_steady_balance():
    """A box at -20 degC: G + m W_out = m W + deposition, layer by layer, solved from the Dataset's own numbers.

    Temperatures, flows between layers and in from outdoors and what the bags kept are read; Lewis relation, films and
    saturation are the test's own.
    """
    night = scenario().replace(CLOSED)
    dataset = plain(night)
    air, last = air_of(dataset), -12
    pressure, areas = 101325.0, dataset["surface_area"].values
    temps = dataset["air_temperature"].values[last] + 273.15
    names = [str(name) for name in dataset["surface"].values]
    inner = [k for k, name in enumerate(names) if not name.startswith("outer")]
    faces = dataset["surface_temperature"].values[last] + 273.15
    heights = dataset["height"].values
    lying = dataset["frost"].values[last] + dataset["condensate"].values[last]
    layer = {k: layer_of(names[k], heights.size) for k in inner}

    def taken(ratio):
        found = np.zeros(ratio.size)
        for k in inner:
            here, up = layer[k], {"w": 0.0, "r": -1.0, "f": 1.0}[names[k][0]]
            apart = faces[k] - temps[here]
            film = ((walton(faces[k], temps[here], up, 1.0) / apart) ** 8 + 0.5**8) ** 0.125
            middle = 0.5 * (faces[k] + temps[here])
            vapour = pressure * ratio[here] / (LIGHTER + ratio[here])
            passes = film * R_AIR * middle / (pressure * CP)
            rate = areas[k] * passes * (vapour - saturated(faces[k])) / (R_VAPOUR * middle)
            left = lying[k] / (lying[k] + 1e-3) if rate < 0.0 else 1.0  # the last gram dries more slowly
            found[here] += rate * left
        return found

    accounts = {str(n): dataset["water"].values[:, k] for k, n in enumerate(dataset["water_account"].values)}
    hour = 3600.0
    gives = np.diff(
        [it[last - 6 : last + 7][[0, -1]] for it in (accounts["sleepers"], accounts["stored_bag"])]
    )
    supply = float(gives[0, 0] - gives[1, 0]) / hour
    edges = np.array([0.0, *dataset["interface"].values, 2.0])
    given = supply * spread(
        edges, night.levels["cot"] - 0.1, night.levels["cot"] + 0.25
    )  # where sleepers lie
    outside_vapour = float(night.outdoors.track("humidity").at(0.0)) * saturated(253.15, OVER_WATER)
    outside = LIGHTER * outside_vapour / (pressure - outside_vapour)
    ratio = steady_ratios(air, given, taken, outside, last)
    frozen = float(taken(ratio).sum())
    stored = accounts["stored_skin"] + accounts["stored_floor"]
    grown = float(stored[last + 6] - stored[last - 6]) / hour
    assert grown > 0.3 * supply  # some of it leaves
    assert frozen == pytest.approx(grown, rel=0.01)
    assert ratio == pytest.approx(dataset["humidity_ratio"].values[last], rel=0.01)


def layer_of(name, count):
    """Walls are numbered from the floor up; a level roof stands in the highest layer, the floor in the lowest."""
    if name.startswith("wall"):
        return int(name.split()[1]) - 1
    return count - 1 if name.startswith("roof") else 0

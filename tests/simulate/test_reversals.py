"""More tempting statements that are false, each with its cause: of the air, the sky, the sun and drying wood.

Those of skins, mats, levels, live fires and rules stand in `test_false_sisters.py`, of a rule that hangs on a hair in
`tests/fire/test_generated_rules.py`.
"""

import pytest

from simtent.assembly.air import TURN, film_watts
from simtent.assembly.assemble import assemble
from simtent.assembly.rhs import observe
from simtent.physics.constants import CP_AIR
from simtent.run import run
from tests.fire import hearth
from tests.simulate.cases import NO_HEAT, mean_air, scenario
from tests.simulate.changed import on_another_evening
from tests.strategies import built

pytestmark = pytest.mark.compiled

CLEAR = 0.5  # K, by which a statement must fail
LATE = 47  # row of a night of five-minute steps: just before the heat is turned down
SUNNY = {
    "format": 1,
    "name": "a day",
    "night": {"evening": "2031-01-05", "zone": "UTC", "begin": "09:00", "end": "13:00"},
    "site": {"ground": "sand or gravel", "ground_start": "-10 degC", "latitude": "50 deg"},
    "outdoors": {"steady": "-10 degC", "cloud": "0 %", "wind": "1 m/s"},
    "levels": {"head": "1.5 m"},
    "shelter": {
        "shape": "box",
        "length": "3 m",
        "width": "2.5 m",
        "height": "2 m",
        "skin": {"all": ["350 g/m2 polycotton canvas"]},
    },
    "heat": {
        "radiant_share": "40 %",
        "from_height": "20 cm",
        "to_height": "1.5 m",
        "table": [{"at": "09:00", "power": "0 W"}],
    },
}


def mean_of(night):
    return mean_air(night.model, night.solution)


def test_wind_against_the_draught_of_openings_can_warm():
    """More wind never warms: a tight shelter.

    Cause: the wind presses on the vent by which warm air leaves, sucks at that by which cold air enters, and slows
    what would flow without it. G. R. Hunt and P. F. Linden, Journal of Fluid Mechanics 527 (2005) 27-55, from memory.
    """
    quilt = ["20 mm polyester quilt"]
    base = scenario(shelter__skin={"wall": quilt, "roof": quilt}, site__shelter_from_wind="open ground")
    openings = {
        "low_vent": {"area": "200 cm2", "at": "30 cm", "faces": "lee"},
        "ridge_vent": {"area": "200 cm2", "at": "1.9 m", "faces": "wind"},
    }
    vented = base.replace({"shelter.openings": openings, "model.leak_area": "1 cm2"})
    calm, windy = (run(vented.replace("outdoors.wind", wind)) for wind in ("0 m/s", "2 m/s"))
    assert mean_of(windy)[LATE] > mean_of(calm)[LATE] + 4.0
    assert entering(windy) < 0.85 * entering(calm)  # though it is warmer inside
    stormy = run(vented.replace("outdoors.wind", "5 m/s"))  # with more wind the true statement is back
    assert mean_of(stormy)[LATE] < mean_of(calm)[LATE] - CLEAR


def entering(night):
    """Outdoor air that enters at the late moment [kg/s]."""
    s = night.solution
    return observe(s.times[LATE], s.states[LATE], night.model.shelter, s.rows[LATE])[2].entering.sum()


@pytest.mark.parametrize(("key", "few", "much", "by"), [
    ("outdoors.wind", "0.5 m/s", "6 m/s", 2.0),
    ("model.leak_area", "20 cm2", "800 cm2", 0.3),
])  # fmt: skip
def test_wind_and_leakage_warm_a_cold_shelter_under_a_clear_sky(key, few, much, by):
    """More wind, more leakage never warm: where the sky is as warm as the air.

    Cause: long waves to a clear sky make skin and air colder than outdoors, and both bring outdoor air to them.
    """
    clear = scenario(outdoors__cloud="0 %", outdoors__wind="0.5 m/s").replace(NO_HEAT)
    little, more = (mean_of(run(clear.replace(key, value))) for value in (few, much))
    assert little[-1] < 263.15 - CLEAR
    assert more[-1] > little[-1] + by
    overcast = clear.replace("outdoors.cloud", "100 %")
    little, more = (mean_of(run(overcast.replace(key, value))) for value in (few, much))
    assert more[-1] == pytest.approx(little[-1], abs=0.01)


def test_the_sun_is_a_source_and_knows_the_date():
    """Without sources nothing warms, on another evening the night is the same: without a place on the globe.

    Cause: with a latitude the sun shines, in June longer and higher than in January.
    """
    dark = built(SUNNY | {"site": {key: it for key, it in SUNNY["site"].items() if key != "latitude"}})
    winter, summer = built(SUNNY), built(on_another_evening(SUNNY, 160))
    assert mean_of(run(dark)).max() < 263.15 + 0.01
    assert mean_of(run(winter)).max() > 263.15 + 2.0
    assert mean_of(run(summer)).max() > mean_of(run(winter)).max() + 2.0


def test_drying_wood_makes_a_cold_fire_colder_than_all_around():
    """Nothing is colder than all around: but for what a named path of evaporation or drying takes.

    Cause: the passage at the boiling point is rounded, so that cold wet wood dries by a trace, and the hearth gives the
    heat. The generated nights allow the fire 0.05 K for it.
    """
    cold = hearth.temperatures(270.0, 270.0, 270.0)
    unlit = hearth.state(1e-5, dry=1.6)  # hardly any air
    unlit[-1] = 1e9  # has not caught
    bone_dry = unlit.copy()
    bone_dry[hearth.WATER] = 0.0
    wet, dry = (hearth.fired(hearth.hearth(), it, cold, 270.0, 0.0) for it in (unlit, bone_dry))
    drying = hearth.PATHS.index("drying")
    assert wet.paths[drying] < 0.0 == dry.paths[drying]
    assert wet.heat[hearth.FIRE] < 0.0
    assert wet.heat[hearth.FIRE] - dry.heat[hearth.FIRE] == pytest.approx(wet.paths[drying], rel=0.05)


def test_a_surface_warmer_by_a_hair_sheds_air_warmer_than_itself():
    """The hottest node never rises: while it is warmer than all around by more than a current takes to turn.

    Cause: within 0.05 K a surface's current dies away faster than its heat, so that it may stand still without a kink.
    What little it carries is warmer than the surface, gathers under the peak, and warms the last grams of air there by
    some thousandths of a kelvin beyond the floor that heats them: 2.6 mK were seen, over a floor warmer by 5.
    """
    films = assemble(scenario()).shelter.films
    for difference, beyond in ((0.6 * TURN, False), (0.001, True)):
        watts, flow, _ = film_watts(films, 0, 1.0, difference)
        assert (watts / (CP_AIR * flow) > difference) == beyond
    assert film_watts(films, 0, 1.0, 0.001)[0] < 1e-3 * film_watts(films, 0, 1.0, 1.0)[0]


def test_a_night_in_which_the_clocks_change_is_another():
    """At another hour the night is the same: by a clock that does not change within it."""
    changing = SUNNY["night"] | {
        "evening": "2031-03-29",
        "zone": "Europe/Berlin",
        "begin": "22:00",
        "end": "05:00",
    }
    dark = {key: it for key, it in SUNNY["site"].items() if key != "latitude"}
    heated = SUNNY["heat"] | {"table": [{"at": "22:00", "power": "1 kW"}, {"at": "03:30", "power": "0 W"}]}
    usual = SUNNY | {"night": changing | {"evening": "2031-03-28"}, "site": dark, "heat": heated}
    spring = usual | {"night": changing}
    ends = [built(tree).night.seconds / 3600.0 for tree in (usual, spring)]
    assert ends == [7.0, 6.0]
    same, moved = (run(built(tree)) for tree in (usual, spring))
    row = 5 * 12  # five hours in: the one is heated still
    assert mean_of(same)[row] > mean_of(moved)[row] + CLEAR

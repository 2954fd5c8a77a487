"""Values at the ends of what is allowed still give a night, or one clear message."""

import numpy as np
import pytest

import simtent
from simtent.assembly.assemble import assemble
from simtent.assess.loads import burns
from simtent.readings import accounts
from simtent.run import run
from simtent.scenario.load import load
from tests.fire.burns import LOADED, story
from tests.simulate.cases import SHIPPED, scenario

pytestmark = pytest.mark.compiled


@pytest.mark.parametrize("value", [0.3, 3.0])
def test_a_skin_far_from_the_drawing_still_gives_a_night(value):
    night = simtent.simulate(load(SHIPPED[0], settings=[f"model.walls={value}", "model.layers=6"]))
    assert night.attrs["energy_residual"] < 1e-6


@pytest.mark.parametrize("shift", ["-40 K", "40 K"])
def test_the_band_stays_within_what_is_allowed(shift):
    night = simtent.simulate(scenario(outdoors__shift=shift, outdoors__spread="5 K", model__layers=4))
    assert "level_temperature_low" in night


@pytest.mark.parametrize(
    "flattest",
    [
        {"shape": "box", "length": "30 m", "width": "30 m", "height": "50 cm"},
        {
            "shape": "wall tent",
            "length": "30 m",
            "width": "30 m",
            "wall": "10 cm",
            "ridge": "50 cm",
            "height": "none",
        },
        {"shape": "bell", "diameter": "15 m", "wall": "10 cm", "peak": "50 cm"}
        | dict.fromkeys(("length", "width", "height"), "none"),
    ],
    ids=lambda flattest: flattest["shape"],
)
def test_the_flattest_shelters_allowed_have_a_radiant_star(flattest):
    """Carroll's star has no answer where one plane holds half of the surface: no closed shelter's floor does."""
    low = {"levels.head": "40 cm", "levels.waist": "none", "levels.cot": "30 cm", "heat.to_height": "40 cm"}
    sizes = {f"shelter.{key}": value for key, value in flattest.items()}
    assert assemble(scenario().replace(low | sizes)).shelter.star.area.min() > 0.0


def test_a_step_before_the_night_and_none_within_it_is_no_event(tmp_path):
    (tmp_path / "heater.csv").write_text("when,W\n2031-01-05 17:30,1500\n2031-01-06 09:00,1500\n")
    night = scenario(
        heat__table="none",
        heat__file={"path": str(tmp_path / "heater.csv"), "power": "W", "unit": "W"},
        model__layers=4,
    )
    assert "event" not in simtent.simulate(night).dims


def test_contents_can_be_taken_away():
    bare = assemble(scenario(shelter__contents="none"))
    assert "contents" not in bare.net.groups


def test_air_that_nobody_can_stay_in_is_said():
    hot = scenario(heat__table=[{"at": "18:00", "power": "30 kW"}], model__layers=4)
    sentences = " ".join(simtent.simulate(hot)["departure"].values.tolist())
    assert "People cannot stay" in sentences


def test_expansion_is_one_less_the_ratio_of_temperatures():
    """Ideal gas at constant pressure: a room at T that was at T0 keeps T0/T of its air."""
    night = simtent.simulate(scenario(heat__table=[{"at": "18:00", "power": "6 kW"}], model__mixing=20.0))
    air = night["air_temperature"].values + 273.15
    share = 100.0 * (1.0 - air[0, 0] / air.mean(axis=1).max())
    (sentence,) = (text for text in night["departure"].values.tolist() if "expansion" in text)
    told = float(sentence.split("up to ")[1].split(" %")[0])
    assert told == pytest.approx(share, abs=1.5)  # layers here are not weighted by their volume


ALONE = {"stoking.load": [LOADED[0] | {"air": "wide"}]}  # 3 kg, lit as the night begins
SHUT = [{"for": "15 min", "mark": "wide"}, {"mark": "shut"}]


def fire(monkeypatch, *changes):
    """The story's night with changes, as a Dataset that has passed the checks of the schema; without its band."""
    monkeypatch.setattr("simtent.scenario.scenario.Scenario.priors", lambda _: ())
    changed = {key: value for change in changes for key, value in change.items()}
    night = simtent.simulate(story().replace(changed))
    assert night.attrs["energy_residual"] < 1e-9
    assert all(np.isfinite(values).all() for values in night.data_vars.values() if values.dtype.kind == "f")
    return night


def fuel(night, stage):
    return night["fuel_mass"].sel(fuel_stage=stage).values


def account(night, name):
    return night["energy"].sel(account=name).values[-1]


def test_ten_grams_of_kindling(monkeypatch):
    night = fire(monkeypatch, {"stoking.load": [{"at": "20:45", "pieces": {"kindling": "10 g"}}]})
    assert fuel(night, "burnt")[-1] == pytest.approx(0.01, rel=0.02)
    assert night["stove_temperature"].max() < 30.0


def test_loads_every_ten_minutes_in_64_slots(monkeypatch):
    """Sixty grams of each of two sizes at a time."""
    minutes = [20 * 60 + 45 + 10 * k for k in range(32)]
    at = [f"{minute // 60 % 24:02d}:{minute % 60:02d}" for minute in minutes]
    many = {"stoking.load": [{"at": time, "pieces": {"stick": "60 g", "split": "60 g"}} for time in at]}
    assert assemble(story().replace(many)).shelter.stove.slots.dry.size == 64
    night = fire(monkeypatch, many)
    assert night["fuel_mass"].values[-1].sum() == pytest.approx(32 * 0.12, rel=1e-9)
    assert (night["event_what"] == "load put on").sum() == 31


def test_wood_without_any_water(monkeypatch):
    night = fire(monkeypatch, ALONE, {"wood.moisture": "0 % wet"})
    assert account(night, "drying") == 0.0
    assert (fuel(night, "water") == 0.0).all()
    assert fuel(night, "dry_wood")[-1] < 0.01


def test_a_stove_shut_tight_smothers_its_fire(monkeypatch):
    """A leak of 1.5 cm2, as stoves have it, would keep it going."""
    smothered = {"stove.air.leak": "0 cm2", "stoking.load": [LOADED[0] | {"air": SHUT}]}
    night = fire(monkeypatch, smothered)
    wood = fuel(night, "dry_wood")
    assert wood[4] - wood[-1] < 0.1  # kg, from 20 minutes on
    assert wood[-1] > 1.5
    assert night["air_flow"].values[4:].max() < 1e-4
    open_leak = fire(monkeypatch, smothered | {"stove.air.leak": "1.5 cm2"})
    assert fuel(open_leak, "dry_wood")[-1] < 0.4 * wood[-1]


def test_a_lever_that_is_shut_at_every_mark(monkeypatch):
    """The fire lives on what leaks in, slowly."""
    night = fire(monkeypatch, {"stove.air.marks": {"so": "0 %", "or so": "0 %"}, "stoking.air": "so"}, {
        "stoking.load": [LOADED[0] | {"air": [{"for": "5 min", "mark": "or so"}, {"mark": "so"}]}]
    })  # fmt: skip
    wide = fire(monkeypatch, ALONE)
    assert (night["air_setting"] == 0.0).all()
    two_hours = night["time"].values <= night["time"].values[0] + np.timedelta64(2, "h")
    assert fuel(night, "dry_wood")[two_hours][-1] > 1.5 * fuel(wide, "dry_wood")[two_hours][-1]


def test_a_stove_and_pipe_of_titanium():
    """560 J/(kg K), from memory; what they hold is that times mass and warming."""
    titanium = {"stove.sheet": "0.5 mm titanium", "stove.pipe.sheet": "0.1 mm titanium"}
    night = run(story().replace(ALONE | titanium))
    hearth, stove = night.model.hearth, night.scenario.stove
    warmed = night.temperatures - night.temperatures[0]
    per_metre = np.pi * stove.pipe.diameter * 1e-4 * 4500.0
    held = stove.body_mass * 560.0 * warmed[:, hearth.body]
    held += per_metre * stove.pipe.inside / 3.0 * 560.0 * warmed[:, list(hearth.inside)].sum(axis=1)
    held += per_metre * stove.pipe.outside / 2.0 * 560.0 * warmed[:, list(hearth.outside)].sum(axis=1)
    held += 1e5 * stove.firebox.volume * warmed[:, hearth.fire]
    assert accounts(night)["stored_stove"] == pytest.approx(held, rel=1e-9, abs=1.0)
    assert warmed[:, hearth.body].max() > 100.0


def test_no_wind_at_all(monkeypatch):
    calm, windy = (fire(monkeypatch, ALONE, {"outdoors.wind": f"{wind} m/s"}) for wind in (0, 6))
    assert -account(calm, "pipe_outside") < -account(windy, "pipe_outside")
    assert calm["stove_temperature"].mean() > windy["stove_temperature"].mean()


def test_a_night_of_a_whole_day(monkeypatch):
    """Hours after its fire is out the stove is as warm as the room, within a kelvin."""
    night = fire(monkeypatch, ALONE, {"night.end": "20:44"})
    assert night["time"].values[-1] - night["time"].values[0] == np.timedelta64(23 * 60 + 59, "m")
    air = night["level_temperature"].sel(level="floor").values[-1]
    assert night["stove_temperature"].values[-1] == pytest.approx(air, abs=1.0)
    assert fuel(night, "dry_wood")[-1] < 1e-3


def test_a_fire_lit_in_the_last_minute(monkeypatch):
    night = fire(monkeypatch, {"stoking.load": [{"at": "06:29", "pieces": {"stick": 3}}]})
    assert (night["fuel_mass"].values[:-1] == 0.0).all()
    put = night["event_mass"].values.sum()
    assert put > 0.5
    assert night["fuel_mass"].values[-1].sum() == pytest.approx(put, rel=1e-9)
    gone = 0.82 * put - fuel(night, "dry_wood")[-1]
    heat = gone * story().wood.species.heating_value - fuel(night, "coals")[-1] * 30e6
    match = 60.0 * 1000.0  # and tinder
    assert account(night, "fire") == pytest.approx(match + heat, rel=1e-3)


def test_a_load_as_the_night_ends_is_not_put_on_any_more(monkeypatch):
    night = fire(monkeypatch, {"stoking.load": [{"at": "06:30", "pieces": {"stick": 3}}]})
    assert (night["fuel_mass"] == 0.0).all()
    assert burns(night) == ()


def test_a_load_that_does_not_catch_lies_there(monkeypatch):
    late = {"stoking.load": [LOADED[0], {"at": "05:30", "pieces": {"split": 1}}]}
    night = fire(monkeypatch, late)
    assert night["event_what"].values[-1] == "load put on, does not catch: too few coals"
    put = night["event_mass"].values[-1]
    lying = night["time"].values >= night["event_time"].values[-1]
    assert fuel(night, "dry_wood")[lying] == pytest.approx(0.82 * put, rel=1e-3)
    assert fuel(night, "water")[lying] == pytest.approx(0.18 * put, rel=1e-3)
    assert (night["relight_chance"].values[lying] < 0.5).all()

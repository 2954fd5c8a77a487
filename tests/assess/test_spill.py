"""What if a share of the flue's carbon monoxide came in: linear in the share, blood below 1, alarms as intervals."""

import re
from dataclasses import replace
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest
import xarray as xr
from hypothesis import given
from hypothesis import strategies as st

from simtent import results
from simtent.assess import spill
from simtent.assess.alarms import EN_50291, UL_2034, Sounding
from simtent.assess.findings import LEVELS, Finding
from simtent.assess.spill import WhatIf, blood, blood_after, mercury, what_if
from simtent.assess.spill_findings import spill_findings
from simtent.scenario.load import load
from simtent.scenario.scenario import Scenario
from tests import fake_fire, fake_night
from tests.assess.nights import labelled, still

SCENARIOS = Path(__file__).parents[2] / "scenarios"
SEA_LEVEL = 760.0  # mmHg


@pytest.fixture(scope="module")
def fire() -> xr.Dataset:
    return fake_fire.night(minutes=10.0)


@pytest.fixture
def scenario(tmp_path: Path) -> Scenario:
    return fake_fire.scenario(tmp_path)


def told(scenario: Scenario, dataset: xr.Dataset) -> Finding:
    return next(iter(spill_findings(scenario, dataset)))


def test_one_ten_and_all_parts_in_a_hundred_are_asked(scenario: Scenario, fire: xr.Dataset) -> None:
    cases = what_if(scenario, fire)
    assert [case.share for case in cases] == [0.01, 0.1, 1.0]
    for case in cases:
        assert case.ppm == pytest.approx(case.share * cases[-1].ppm, rel=1e-12)
        assert case.asleep == pytest.approx(case.share * cases[-1].asleep, rel=1e-12)
        assert case.blood[0] == spill.BEFORE and case.blood.min() > 0.0 and case.blood.max() < 1.0
    for less, more in pairwise(cases):
        assert (more.blood >= less.blood).all() and more.blood.max() > less.blood.max()


def test_shares_of_ones_own(tmp_path: Path, fire: xr.Dataset) -> None:
    given = what_if(fake_fire.scenario(tmp_path, 'what_if.spill=["25 %", "2 %"]'), fire)
    assert [case.share for case in given] == [0.02, 0.25]


def test_nothing_is_asked_without_a_stove_or_a_shelter(tmp_path: Path) -> None:
    assert what_if(fake_night.scenario(tmp_path), fake_night.night(minutes=30.0)) == ()
    open_air = fake_fire.yard(tmp_path)
    assert what_if(open_air, fake_fire.burn(minutes=10.0)) == ()
    assert spill.to_values(()) == ({}, {})


def test_it_comes_in_at_the_firebox(scenario: Scenario, fire: xr.Dataset) -> None:
    """Where it enters, at 15 + 12.5 cm, it is thickest while the air hardly moves."""
    slow = fire.assign(
        {name: 1e-4 * fire[name] for name in ("layer_flow", "layer_inflow", "mixing_flow", "leakage_flow")}
    )
    (*_, whole) = what_if(scenario, slow)
    assert fake_night.INTERFACES[0] < 0.275 < fake_night.INTERFACES[1]
    assert (whole.ppm[1:8].argmax(axis=1) == 1).all()


def test_the_sleeper_breathes_the_air_at_the_cot(scenario: Scenario, fire: xr.Dataset) -> None:
    whole = what_if(scenario, fire)[-1]
    by_hand = [np.interp(0.46, fake_night.HEIGHTS, row) for row in whole.ppm]
    assert whole.asleep == pytest.approx(by_hand)


def test_less_fresh_air_is_more_of_it(scenario: Scenario, fire: xr.Dataset) -> None:
    """All streams a third: the mean over the room is never less, and more by the end."""
    calm = fire.assign(
        {name: fire[name] / 3.0 for name in ("layer_flow", "layer_inflow", "mixing_flow", "leakage_flow")}
    )
    mass = fire["layer_mass"].values
    usual, less = (
        (mass * what_if(scenario, night)[0].ppm).sum(axis=1) / mass.sum(axis=1) for night in (fire, calm)
    )
    assert (less >= usual * (1.0 - 1e-9)).all() and less.max() > 1.5 * usual.max()


@pytest.mark.compiled
def test_shut_vents_are_more_of_it() -> None:
    """A shipped camp with its vents shut, its emissions taken as those of the vents open."""
    scenario = load(SCENARIOS / "sedge_hollow.toml")
    vents = scenario.shelter.openings
    assert vents.low_vent is not None and vents.ridge_vent is not None
    shut = scenario.replace(
        {"shelter.openings.low_vent.open": "0 %", "shelter.openings.ridge_vent.open": "0 %"}
    )
    open_night, shut_night = labelled(scenario), labelled(shut)
    fuel = {name: open_night[name] for name in ("fuel_mass", "energy")}
    same = (
        shut_night.assign(fuel)
        .drop_dims("event")
        .assign({name: open_night[name] for name in open_night.data_vars if name.startswith("event_")})
    )
    means = []
    for night in (open_night, same):
        mass = night["layer_mass"].values
        means.append((mass * what_if(scenario, night)[0].ppm).sum(axis=1) / mass.sum(axis=1))
    assert means[1].mean() > 1.02 * means[0].mean()
    assert (means[1][1:] > 0.98 * means[0][1:]).all()


# Blood.


@pytest.mark.parametrize(("ppm", "percent"), [(9, 1.31), (35, 3.72), (100, 9.56), (400, 33.0), (800, 53.7)])
def test_blood_after_eight_hours_at_rest(ppm: float, percent: float) -> None:
    """Nonlinear Coburn-Forster-Kane at 760 mmHg from .75 %, closed form (rows of a table made elsewhere)."""
    seconds = np.linspace(0.0, 8.0 * 3600.0, 97)
    last = blood(seconds, np.full(97, float(ppm)), SEA_LEVEL)[-1]
    assert 100.0 * last == pytest.approx(percent, abs=0.05)


def test_a_meter_that_stays_is_the_same_blood(scenario: Scenario) -> None:
    seconds = np.linspace(0.0, 8.0 * 3600.0, 33)
    assert blood_after(scenario, 120.0, 8.0) == pytest.approx(
        blood(seconds, np.full(33, 120.0), mercury(scenario))[-1], rel=1e-9
    )


PROFILES = st.lists(st.floats(0.0, 1e6), min_size=3, max_size=12).map(np.array)


@given(PROFILES, st.floats(0.0, 1.0), st.floats(350.0, 780.0))
def test_blood_never_falls_with_the_share_and_never_reaches_one(
    ppm: np.ndarray, less: float, pressure: float
) -> None:
    """Any concentration up to all of the air, from below the sea to 6,000 m (about 354 mmHg)."""
    seconds = 1800.0 * np.arange(ppm.size)
    low, high = blood(seconds, less * ppm, pressure), blood(seconds, ppm, pressure)
    assert (high >= low - 1e-12).all()
    assert low.min() >= 0.0 and high.max() < 1.0


@given(st.floats(10.0, 1000.0), st.floats(0.0, 5800.0))
def test_blood_settles_higher_at_altitude(ppm: float, metres: float) -> None:
    """In the end less oxygen leaves it more room; on the way there thin air also brings less of it a minute."""
    low, high = (SEA_LEVEL * (1.0 - 2.25577e-5 * z) ** 5.2559 for z in (metres, metres + 200.0))
    days = 86400.0 * np.arange(0.0, 40.0, 2.0)
    air = np.full(days.size, ppm)
    assert blood(days, air, high)[-1] > blood(days, air, low)[-1]


def test_a_camp_at_6000_m_can_be_asked(tmp_path: Path) -> None:
    """Where hardly anything but carbon monoxide is left the law of the blood's oxygen ends, the answer does not."""
    high = mercury(fake_fire.scenario(tmp_path, 'site.altitude="6000 m"'))
    assert high == pytest.approx(354.0, rel=0.01)
    share = blood(np.array([0.0, 600.0, 1200.0]), np.array([0.0, 5e5, 1e6]), high)
    assert np.isfinite(share).all() and share[0] < share[1] <= share[2] < 1.0


# Alarms.


def case(*layers: float, hours: float = 8.0) -> WhatIf:
    """Concentrations that hold all night, one in each layer [ppm]."""
    seconds = np.linspace(0.0, 3600.0 * hours, 97)
    ppm = np.ones((97, 1)) * np.array(layers)
    return WhatIf(1.0, seconds, ppm, ppm[:, 0], np.zeros(97))


def minutes(sounding: Sounding) -> tuple[float | None, float | None]:
    return tuple(None if at is None else at / 60.0 for at in (sounding.earliest, sounding.latest))  # type: ignore[return-value]


@pytest.mark.parametrize(
    ("ppm", "ul", "en"),
    [
        (29.0, (None, None), (120.0, None)),
        (30.0, (None, None), (120.0, None)),
        (50.0, (60.0, None), (60.0, 90.0)),
        (70.0, (60.0, 240.0), (10.0, 90.0)),
        (100.0, (10.0, 240.0), (10.0, 40.0)),
        (150.0, (10.0, 50.0), (0.0, 40.0)),
        (300.0, (4.0, 50.0), (0.0, 3.0)),
        (400.0, (4.0, 15.0), (0.0, 3.0)),
    ],
)
def test_a_concentration_that_holds_is_the_published_interval(
    ppm: float, ul: tuple[float | None, float | None], en: tuple[float | None, float | None]
) -> None:
    """UL 2034 and EN 50291 through quotations (second-hand); between two points the interval that holds both."""
    assert minutes(case(ppm).alarm(UL_2034)) == pytest.approx(ul)
    assert minutes(case(ppm).alarm(EN_50291)) == pytest.approx(en)


def test_an_alarm_may_hang_anywhere() -> None:
    """The earliest is that of the thickest layer, the latest that of the thinnest."""
    assert minutes(case(70.0, 160.0).alarm(UL_2034)) == (4.0, 240.0)
    assert minutes(case(60.0, 160.0).alarm(UL_2034)) == (4.0, None)
    assert minutes(case(20.0, 40.0).alarm(UL_2034)) == (60.0, None)


def test_a_short_night_may_be_over_before_it_must_sound() -> None:
    assert minutes(case(70.0, hours=3.9).alarm(UL_2034)) == (60.0, None)
    assert minutes(case(35.0, hours=0.9).alarm(UL_2034)) == (None, None)


@given(PROFILES.map(lambda ppm: 6e-4 * ppm), st.floats(0.01, 1.0))
def test_more_sounds_no_later(ppm: np.ndarray, less: float) -> None:
    seconds = 1800.0 * np.arange(ppm.size)

    def at(values: np.ndarray) -> WhatIf:
        return WhatIf(1.0, seconds, values[:, None], values, values)

    never = np.inf
    for pattern in (UL_2034, EN_50291):
        low, high = at(less * ppm).alarm(pattern), at(ppm).alarm(pattern)
        for name in ("earliest", "latest"):
            before, after = getattr(high, name), getattr(low, name)
            assert (never if before is None else before) <= (never if after is None else after) + 1e-6
        if high.latest is not None:
            assert high.earliest is not None and high.earliest <= high.latest


# Words and numbers.


def test_the_what_if_is_told_with_every_share(scenario: Scenario, fire: xr.Dataset) -> None:
    finding = told(scenario, fire)
    assert finding.level == "caution" and finding.where == "at the cot"
    assert [part.split(" spilt")[0] for part in finding.number.split("; ")] == ["1 %", "10 %", "100 %"]
    assert finding.number.count("UL 2034 alarm") == finding.number.count("EN 50291 alarm") == 3
    assert "Nobody knows the share" in finding.what and "a sleeper gets no warning" in finding.what
    for word in ("WHO", "NIOSH", "200 ppm ceiling"):
        assert word in finding.limit
    for word in ("second-hand", "verify", "Coburn"):
        assert word in finding.source
    for word in (
        "rated for the cold",
        "as its maker says",
        "vents open",
        "without a flue",
        "never shut",
        "awake",
    ):
        assert word in finding.todo
    assert "safety guarantee" in finding.todo


def test_numbers_told_are_those_of_the_cases(scenario: Scenario, fire: xr.Dataset) -> None:
    shown = [float(ppm) for ppm in re.findall(r"up to ([\d.]+) ppm", told(scenario, fire).number)]
    assert shown == pytest.approx([case.asleep.max() for case in what_if(scenario, fire)], rel=0.051)


def test_air_that_takes_it_all_away_is_told_all_the_same(scenario: Scenario, fire: xr.Dataset) -> None:
    """Next to nothing is no reason to say nothing."""
    nothing = still(fire, energy=0.0, fuel_mass=0.0).drop_dims("event")
    finding = told(scenario, nothing)
    assert finding.level == "caution" and "100 % spilt: up to 0.0 ppm" in finding.number
    assert finding.number.count("may never sound") == 6


@pytest.mark.parametrize(
    ("reading", "level", "words"),
    [
        ("5 ppm", "caution", ("5.0 ppm", "UL 2034 alarm may never sound", "after 120 min at the earliest")),
        ("35 ppm", "caution", ("35 ppm", "UL 2034 alarm after 60 min at the earliest, and may never sound")),
        ("40 mg/m3", "caution", ("35 ppm",)),
        ("100 ppm", "caution", ("EN 50291 alarm sounds after 10 to 40 min", "9.6 %")),
        ("199 ppm", "caution", ("18 %",)),
        ("200 ppm", "stop", ("18 %",)),
        ("3000 ppm", "stop", ("sounds after 0 to 3 min",)),
    ],
)
def test_a_meter_is_told_and_never_waved_through(
    tmp_path: Path, fire: xr.Dataset, reading: str, level: str, words: tuple[str, ...]
) -> None:
    camp = fake_fire.scenario(tmp_path, f'instruments.carbon_monoxide="{reading}"')
    finding = list(spill_findings(camp, fire))[-1]
    assert finding.level == level and finding.where == "where the meter hung"
    for word in words:
        assert word in finding.number
    assert "something leaks in" in finding.todo and "safety guarantee" in finding.todo


def test_a_meter_is_told_without_a_fire(tmp_path: Path) -> None:
    camp = fake_night.scenario(tmp_path, 'instruments.carbon_monoxide="60 ppm"')
    (finding,) = spill_findings(camp, fake_night.night(minutes=30.0))
    assert finding.level in LEVELS[1:]


def test_what_ifs_are_kept_in_the_result(scenario: Scenario, fire: xr.Dataset) -> None:
    cases = what_if(scenario, fire)
    kept = results.extend(fire, *spill.to_values(cases))
    results.check(kept)
    assert kept["spilt"].values.tolist() == [0.01, 0.1, 1.0]
    assert kept["what_if_carbon_monoxide"].sel(spilt=0.1).values == pytest.approx(cases[1].ppm)
    assert kept["what_if_carboxyhaemoglobin"].sel(spilt=0.1).values == pytest.approx(cases[1].blood)
    with pytest.raises(results.SchemaError, match="outside 0 to 1"):
        results.extend(fire, *spill.to_values((replace(cases[0], blood=cases[0].blood + 1.0),)))

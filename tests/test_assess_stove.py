"""What is said of a stove and its flue, on nights whose temperatures and draught are set by hand.

The limits (120 degC at the top, 600 degC of the body, 2 Pa) are common practice, no source.
"""

from pathlib import Path

import numpy as np
import pytest
import xarray as xr

from simtent.assess.curves import Curve
from simtent.assess.findings import Finding
from simtent.assess.judge import assess
from simtent.assess.stove import stove_findings
from simtent.scenario.scenario import Scenario
from tests import fake_fire, fake_night

MINUTES = np.arange(0.0, 841.0)


@pytest.fixture(scope="module")
def calm() -> xr.Dataset:
    """A night with a hot flue, a cool stove and a good draught, and wood that burns from 230 to 400 min."""
    night = fake_fire.night(minutes=1.0)
    return night.assign(
        flue_exit_temperature=night["flue_exit_temperature"] * 0.0 + 250.0,
        stove_temperature=night["stove_temperature"] * 0.0 + 300.0,
        draft_pressure=night["draft_pressure"] * 0.0 + 12.0,
    )


@pytest.fixture
def scenario(tmp_path: Path) -> Scenario:
    return fake_fire.scenario(tmp_path)


def between(dataset: xr.Dataset, name: str, begin: float, end: float, value: float) -> xr.Dataset:
    """The Dataset with a variable set to a value from one minute to another."""
    inside = (begin <= MINUTES) & (end >= MINUTES)
    return dataset.assign({name: dataset[name].where(~xr.DataArray(inside, dims="time"), value)})


def found(scenario: Scenario, dataset: xr.Dataset) -> tuple[Finding, ...]:
    """What is said of the stove and its flue; all of it stands among the findings of the night."""
    told = tuple(stove_findings(scenario, dataset))
    assert set(told) <= set(assess(scenario, dataset))
    return told


def test_a_calm_fire_gets_no_finding(scenario: Scenario, calm: xr.Dataset) -> None:
    assert found(scenario, calm) == ()


@pytest.mark.parametrize(("lasts", "findings"), [(25.0, 0), (35.0, 1)])
def test_a_cool_flue_is_told_from_half_an_hour_on(
    scenario: Scenario, calm: xr.Dataset, lasts: float, findings: int
) -> None:
    cool = between(calm, "flue_exit_temperature", 250.0, 250.0 + lasts, 85.0)
    told = found(scenario, cool)
    assert len(told) == findings
    for finding in told:
        # From 250 to 85 degC within a minute: below 121 degC for 36/165 min more at either end.
        assert finding.number == "35 min, down to 185 degF"
        assert (finding.level, finding.when) == ("caution", "first at 21:40")
        assert finding.limit == "250 degF for 30 min"
        assert "creosote" in finding.what and "common practice, no source" in finding.source


def test_a_flue_may_cool_when_no_wood_is_left(scenario: Scenario, calm: xr.Dataset) -> None:
    assert float(calm["fuel_mass"].sel(fuel_stage="dry_wood")[450]) < 0.05
    assert found(scenario, between(calm, "flue_exit_temperature", 430.0, 490.0, 85.0)) == ()


@pytest.mark.parametrize(("hottest", "findings"), [(599.0, 0), (640.0, 1)])
def test_a_stove_near_glowing_is_told(
    scenario: Scenario, calm: xr.Dataset, hottest: float, findings: int
) -> None:
    told = found(scenario, between(calm, "stove_temperature", 30.0, 40.0, hottest))
    assert len(told) == findings
    for finding in told:
        assert (finding.level, finding.where, finding.when) == ("caution", "stove", "18:00")
        assert finding.number.startswith("1184 degF, 10 min above")
        assert finding.limit == "1112 degF"


@pytest.mark.parametrize(
    ("begin", "end", "draught", "findings"),
    [
        (300.0, 310.0, 1.2, 1),
        (300.0, 310.0, 2.1, 0),
        (300.0, 310.0, -1.0, 1),
        (0.0, 12.0, 0.5, 0),  # a cold pipe, just lit
        (0.0, 20.0, 0.5, 1),
    ],
)
def test_a_weak_draught_is_told_while_something_burns(
    scenario: Scenario, calm: xr.Dataset, begin: float, end: float, draught: float, findings: int
) -> None:
    told = found(scenario, between(calm, "draft_pressure", begin, end, draught))
    assert len(told) == findings
    for finding in told:
        assert finding.level == "caution" and finding.limit == "0.0080 in WC"  # 2 Pa
        told = finding.number.partition("down to ")[2].removesuffix(" in WC")
        assert float(told) == pytest.approx(draught / 249.08891, abs=1e-4)  # NIST SP 811, table B.8
        assert "arbon monoxide alarm" in finding.todo and "ventilation" in finding.todo
        assert "neither is a safety guarantee" in finding.todo


CAUSES = ("dying fire", "damper", "warm air pulls", "wind", "thin air")


@pytest.mark.parametrize(
    ("setting", "name", "value", "cause"),
    [
        (None, "heat_release", 1400.0, "dying fire"),
        (None, "damper_setting", 0.4, "damper"),
        (None, "wind_speed", 5.5, "wind"),
        ("3000 m", "wind_speed", 2.0, "thin air"),
        (None, "wind_speed", 2.0, None),
    ],
)
def test_what_goes_with_a_weak_draught_is_told(
    tmp_path: Path, calm: xr.Dataset, setting: str | None, name: str, value: float, cause: str | None
) -> None:
    """One thing at a time, on a night in which nothing else stands out."""
    camp = fake_fire.scenario(tmp_path, *([f'site.altitude="{setting}"'] if setting else []))
    weak = between(calm, "draft_pressure", 300.0, 310.0, 1.0)
    plain = weak.assign(
        heat_release=weak["heat_release"] * 0.0 + 4000.0,
        pressure_difference=weak["pressure_difference"] * 0.0,
    )
    (told,) = found(camp, between(plain, name, 300.0, 310.0, value))
    assert [it for it in CAUSES if it in told.what] == ([cause] if cause else [])


@pytest.mark.parametrize(("pascal", "told"), [(-1.1, True), (-0.9, False)])
def test_a_shelter_that_pulls_is_told(
    scenario: Scenario, calm: xr.Dataset, pascal: float, told: bool
) -> None:
    """By the pressure at the floor, which is lowest where warm air rises."""
    weak = between(calm, "draft_pressure", 300.0, 310.0, 1.0)
    tight = weak.assign(pressure_difference=weak["pressure_difference"] * 0.0 + pascal)
    assert ("pulls at it" in found(scenario, tight)[0].what) == told


def test_a_cause_is_that_of_the_weakest_moment(scenario: Scenario, calm: xr.Dataset) -> None:
    weak = between(between(calm, "draft_pressure", 300.0, 310.0, 1.0), "draft_pressure", 304.0, 304.0, 0.5)
    still = weak.assign(pressure_difference=weak["pressure_difference"] * 0.0)
    windy = between(still, "wind_speed", 300.0, 303.0, 9.0)
    assert "wind" not in found(scenario, windy)[0].what
    assert "(wind)" in found(scenario, between(windy, "wind_speed", 304.0, 304.0, 9.0))[0].what


def test_a_weak_draught_is_nothing_when_nothing_burns(scenario: Scenario, calm: xr.Dataset) -> None:
    out = between(calm, "heat_release", 600.0, 670.0, 20.0)
    assert found(scenario, between(out, "draft_pressure", 610.0, 660.0, 0.5)) == ()


def test_a_heat_table_has_no_stove_to_judge(tmp_path: Path) -> None:
    assert found(fake_night.scenario(tmp_path), fake_night.night(minutes=30.0)) == ()


def coals(dataset: xr.Dataset, begin: float, end: float, kilograms: float) -> xr.Dataset:
    """The Dataset with a mass of coals from one minute to another, and next to no heat then."""
    stage = dataset["fuel_stage"] == "coals"
    inside = xr.DataArray((begin <= MINUTES) & (end >= MINUTES), dims="time")
    glowing = dataset.assign(fuel_mass=dataset["fuel_mass"].where(~(inside & stage), kilograms))
    return between(glowing, "heat_release", begin, end, 5.0)


def test_a_flue_that_runs_backwards_over_a_fire_is_told(scenario: Scenario, calm: xr.Dataset) -> None:
    """Where it does its top is outdoor air: no word of creosote."""
    back = between(calm, "flue_flow", 300.0, 320.0, -1.4e-3)
    (told,) = found(scenario, between(back, "flue_exit_temperature", 280.0, 320.0, -12.0))
    assert (told.level, told.where) == ("caution", "pipe")
    # From +6 to -1.4 g/s within a minute: the flow is down for well under half of it.
    assert (told.when, told.number) == ("22:30 to 22:50", "20 min, up to 2.5 scfm")
    assert "carbon monoxide" in told.what and "stove instead of going up the pipe" in told.what
    for word in (
        "maker's manual",
        "arbon monoxide alarm",
        "fresh air",
        "pipe",
        "vents open",
        "safety guarantee",
    ):
        assert word in told.todo
    assert told.source == "common practice, no source"


@pytest.mark.parametrize(("kilograms", "level"), [(0.012, "caution"), (0.008, "note")])
def test_coals_that_glow_count_as_a_fire(
    scenario: Scenario, calm: xr.Dataset, kilograms: float, level: str
) -> None:
    back = between(coals(calm, 600.0, 660.0, kilograms), "flue_flow", 610.0, 650.0, -5e-4)
    (told,) = found(scenario, back)
    assert (told.level, told.when, told.number) == (level, "03:40 to 04:20", "40 min, up to 0.88 scfm")
    if level == "note":
        assert "nothing burns" in told.what and "warm the pipe first" in told.todo


@pytest.mark.parametrize(("flow", "findings"), [(-0.9e-4, 0), (-1.1e-4, 1)])
def test_next_to_no_flow_is_no_reversal(
    scenario: Scenario, calm: xr.Dataset, flow: float, findings: int
) -> None:
    assert len(found(scenario, between(calm, "flue_flow", 300.0, 320.0, flow))) == findings


def test_many_reversals_are_counted(scenario: Scenario, calm: xr.Dataset) -> None:
    for begin in (240.0, 260.0, 280.0, 300.0, 320.0):
        calm = between(calm, "flue_flow", begin, begin + 5.0, -1e-3)
    (told,) = found(scenario, calm)
    assert told.when == "21:30 to 21:35, 21:50 to 21:55, 22:10 to 22:15 and 2 more times"
    # Five times five minutes, and 0.9 of the 7 g/s between two points of the curve at either end.
    assert told.number == "26 min, up to 1.8 scfm"


def test_a_cold_flue_in_the_open_harms_nobody(tmp_path: Path) -> None:
    open_air = fake_fire.yard(tmp_path)
    out = fake_fire.burn(minutes=1.0)
    down = out["flue_flow"] * 0.0 - 1e-3
    (told,) = [it for it in found(open_air, out.assign(flue_flow=down)) if "backwards" in it.what]
    assert told.level == "caution"
    nothing = out.assign(
        flue_flow=down, heat_release=out["heat_release"] * 0.0, fuel_mass=out["fuel_mass"] * 0.0
    )
    assert [it for it in found(open_air, nothing) if "backwards" in it.what] == []


def test_spans_above_a_limit() -> None:
    """Straight lines by hand: up at 2 and down at 6, then from 9 on."""
    line = Curve(np.array([0.0, 4.0, 8.0, 10.0]), np.array([-2.0, 2.0, -2.0, 2.0]))
    assert line.spans_above(0.0) == [(2.0, 6.0), (9.0, 10.0)]
    assert line.spans_above(-3.0) == [(0.0, 10.0)]
    assert line.spans_above(2.0) == []

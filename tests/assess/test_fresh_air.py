"""Fresh air against sleepers, and openings against a rule for houses."""

from pathlib import Path

import numpy as np
import pytest
import xarray as xr

from simtent.assess.air_findings import air_findings
from simtent.assess.findings import LEVELS, Finding
from simtent.assess.fresh_air import fresh_air, least_air, needed, opening_for
from simtent.scenario.scenario import Scenario
from tests import fake_fire, fake_night
from tests.assess.nights import still


@pytest.fixture
def camp(tmp_path: Path) -> Scenario:
    return fake_night.scenario(tmp_path)


@pytest.fixture(scope="module")
def night() -> xr.Dataset:
    """-10 degC outdoors, dry air of 1.341 kg/m3."""
    return still(fake_night.night(minutes=30.0), outdoor_temperature=-10.0)


def airs(found: list[Finding]) -> list[Finding]:
    return [finding for finding in found if "asleep" in finding.what]


def entering(night: xr.Dataset, cubic_metres_an_hour: float) -> xr.Dataset:
    return still(night, leakage_flow=cubic_metres_an_hour * 1.3414 / 3600.0)


@pytest.mark.parametrize(("ppm", "flow"), [(1000.0, 41.0), (1500.0, 22.0), (2500.0, 11.5), (5000.0, 5.2)])
def test_two_sleepers_need(ppm: float, flow: float) -> None:
    """24 L/h over 420 ppm outdoors (closed form; 12 L/h each by Persily and de Jonge 2017, from memory)."""
    assert needed(2, ppm) == pytest.approx(flow, rel=0.02)
    assert needed(2, ppm) == pytest.approx(0.024 / (1e-6 * (ppm - 420.0)))


@pytest.mark.parametrize(("sleepers", "flow"), [(1, 10.0), (2, 10.0), (2, 60.0), (6, 30.0)])
def test_what_is_needed_settles_where_it_should(
    camp: Scenario, night: xr.Dataset, sleepers: int, flow: float
) -> None:
    crowd = camp.replace({"crew.asleep": sleepers})
    least = least_air(crowd, entering(night, flow))
    assert least.flow == pytest.approx(flow, rel=1e-3)
    assert needed(sleepers, least.settled) == pytest.approx(least.flow)


def test_an_inch_of_opening_for_4000_btu() -> None:
    """1 in2 per 4000 Btu/h is 550 mm2 a kilowatt (International Residential Code M1703); Btu: 1055.056 J."""
    kilowatts = 4000.0 * 1055.056 / 3600.0 / 1000.0
    assert opening_for(1000.0 * kilowatts) == pytest.approx(0.0254**2, rel=1.5e-3)
    for kw, square_millimetres in ((1, 550), (2, 1100), (4, 2200), (6, 3300)):
        assert opening_for(1000.0 * kw) == pytest.approx(1e-6 * square_millimetres)


def test_volume_counts_at_the_outdoor_air(camp: Scenario, night: xr.Dataset) -> None:
    """Also at altitude, where a kilogram is more of it: 3000 m has about .692 of the pressure."""
    flow = fresh_air(camp, still(night, leakage_flow=0.01)).values
    assert flow == pytest.approx(36.0 / 1.3414, rel=1e-3)
    high = camp.replace({"site.altitude": "3000 m"})
    assert fresh_air(high, still(night, leakage_flow=0.01)).values == pytest.approx(flow / 0.692, rel=5e-3)


@pytest.mark.parametrize(
    ("flow", "level"),
    [
        (23.0, None),
        (21.0, "note"),
        (5.5, "note"),
        (5.0, "caution"),
        (0.7, "caution"),
        (0.5, "stop"),
        (0.0, "stop"),
    ],
)
def test_little_air_is_told(camp: Scenario, night: xr.Dataset, flow: float, level: str | None) -> None:
    """Two asleep: stuffy below 22 m3/h, 5000 ppm below 5.2, 40000 ppm below .6."""
    found = airs(list(air_findings(camp, entering(night, flow))))
    assert [finding.level for finding in found] == ([level] if level else [])
    for finding in found:
        assert "carbon dioxide builds up long before oxygen" in finding.what
        assert "vent" in finding.todo and "manuals" in finding.todo


def test_less_air_and_more_sleepers_are_graver(camp: Scenario, night: xr.Dataset) -> None:
    def rank(sleepers: int, flow: float) -> int:
        crowd = camp.replace({"crew.asleep": sleepers})
        found = airs(list(air_findings(crowd, entering(night, flow))))
        return LEVELS.index(found[0].level) if found else -1

    for ranks in (
        [rank(2, flow) for flow in (100.0, 30.0, 20.0, 10.0, 5.0, 2.0, 0.5, 0.1, 0.0)],
        [rank(sleepers, 12.0) for sleepers in (0, 1, 2, 4, 6, 8)],
    ):
        assert ranks == sorted(ranks) and ranks[0] < ranks[-1]


def test_the_least_moment_is_told(camp: Scenario, night: xr.Dataset) -> None:
    flow = entering(night, 50.0)["leakage_flow"].copy(deep=True)
    flow[11] = 0.002
    (finding,) = airs(list(air_findings(camp, night.assign(leakage_flow=flow))))
    assert finding.when == "least at 23:00"  # 5.5 h after 17:30


def test_nobody_asleep_and_nobody_inside(tmp_path: Path, camp: Scenario, night: xr.Dataset) -> None:
    assert airs(list(air_findings(camp.replace({"crew.asleep": 0}), entering(night, 0.0)))) == []
    assert list(air_findings(fake_fire.yard(tmp_path), fake_fire.burn(minutes=10.0))) == []


# Openings.


def vents(tmp_path: Path, low: str | None, high: str | None) -> Scenario:
    given = [
        f'shelter.openings.{name}={{ area = "{area}", at = "{at}" }}'
        for name, area, at in (("low_vent", low, "15 cm"), ("ridge_vent", high, "225 cm"))
        if area
    ]
    return fake_fire.scenario(tmp_path, *given)


def openings(scenario: Scenario, watts: float) -> list[Finding]:
    fire = still(fake_fire.night(minutes=30.0), heat_release=watts)
    return [finding for finding in air_findings(scenario, fire) if finding.where == "vents"]


@pytest.mark.parametrize(
    ("low", "high", "told"),
    [
        (None, None, True),
        ("23 cm2", None, True),
        (None, "23 cm2", True),
        ("23 cm2", "21 cm2", True),
        ("21 cm2", "200 cm2", True),
        ("23 cm2", "23 cm2", False),
    ],
)
def test_a_fire_of_four_kilowatts_wants_22_cm2_twice(
    tmp_path: Path, low: str | None, high: str | None, told: bool
) -> None:
    found = openings(vents(tmp_path, low, high), 4000.0)
    assert bool(found) == told
    for finding in found:
        assert (
            finding.level == "caution" and "houses" in finding.source and "none for tents" in finding.source
        )
        assert "burner without one they are not enough" in finding.what


def test_a_vent_half_shut_counts_half(tmp_path: Path) -> None:
    wide = vents(tmp_path, "40 cm2", "40 cm2")
    assert openings(wide, 4000.0) == []
    assert openings(wide.replace({"shelter.openings.low_vent.open": "50 %"}), 4000.0)


def test_a_larger_fire_never_needs_less(tmp_path: Path) -> None:
    told = [
        bool(openings(vents(tmp_path, "23 cm2", "23 cm2"), watts)) for watts in np.linspace(500.0, 2e4, 14)
    ]
    assert told == sorted(told) and told[0] < told[-1]

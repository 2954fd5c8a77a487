"""How a hot stove melts into what it stands on: closed form of what it shines down, less through boards."""

from math import atan, pi, sqrt

import pytest
import xarray as xr

from simtent.assess.close_findings import close_findings
from simtent.assess.under import melted_under
from simtent.scenario.materials import ground
from simtent.scenario.scenario import Scenario
from tests import fake_fire
from tests.assess.nights import seconds, still

FUSION = 333.6e3  # J/kg, of ice; steam tables
BOLTZMANN = 5.670374419e-8


@pytest.fixture(scope="module")
def camp(tmp_path_factory: pytest.TempPathFactory) -> Scenario:
    """On packed snow."""
    return fake_fire.scenario(tmp_path_factory.mktemp("camp"))


@pytest.fixture(scope="module")
def hot() -> xr.Dataset:
    return still(fake_fire.night(minutes=30.0), stove_temperature=300.0)


def test_what_it_shines_down_melts(camp: Scenario, hot: xr.Dataset) -> None:
    """45 by 25 cm, 15 cm above the snow, 300 degC for 14 h; all of it melts snow (closed form)."""
    x, y = 0.225 / 0.15, 0.125 / 0.15
    part = x / sqrt(1 + x * x) * atan(y / sqrt(1 + x * x)) + y / sqrt(1 + y * y) * atan(x / sqrt(1 + y * y))
    assert camp.stove is not None
    watts = 0.98 * camp.stove.emissivity * BOLTZMANN * 4.0 * part / (2.0 * pi) * (573.15**4 - 273.15**4)
    depth = watts * seconds(hot)[-1] / (ground("packed snow", None).density * FUSION)
    melt = melted_under(camp, hot)
    assert melt is not None and melt.on == "packed snow"
    assert melt.depth == pytest.approx(depth, rel=0.005)


def test_boards_let_less_through(camp: Scenario, hot: xr.Dataset) -> None:
    depths = [
        melted_under(camp.replace({"stove.under": under}), hot).depth  # type: ignore[union-attr]
        for under in ("nothing", "board", "board and sheet metal")
    ]
    assert depths[1] / depths[0] == pytest.approx(0.3) and depths[2] / depths[0] == pytest.approx(0.1)


LONG_PIPE = {"stove.pipe.inside": "2.4 m"}


def test_longer_legs_melt_less_and_a_hotter_stove_more(camp: Scenario, hot: xr.Dataset) -> None:
    by_legs = [
        melted_under(camp.replace(LONG_PIPE | {"stove.legs": f"{legs} cm"}), hot).depth  # type: ignore[union-attr]
        for legs in (0, 5, 15, 40, 100)
    ]
    assert by_legs == sorted(by_legs, reverse=True) and len(set(by_legs)) == 5
    by_heat = [
        melted_under(camp, still(hot, stove_temperature=celsius)).depth  # type: ignore[union-attr]
        for celsius in (-10.0, 0.0, 50.0, 200.0, 600.0)
    ]
    assert by_heat == sorted(by_heat) and by_heat[:2] == [0.0, 0.0]


def test_dense_ground_melts_less_deep(camp: Scenario, hot: xr.Dataset) -> None:
    loose, packed, ice = (
        melted_under(camp.replace({"site.ground": name}), hot)
        for name in ("fresh snow", "packed snow", "ice")
    )
    assert loose is not None and packed is not None and ice is not None
    assert loose.depth > packed.depth > ice.depth > 0.0


@pytest.mark.parametrize("name", ["forest floor", "sand or gravel"])
def test_ground_that_does_not_melt(camp: Scenario, hot: xr.Dataset, name: str) -> None:
    assert melted_under(camp.replace({"site.ground": name}), hot) is None


def test_half_a_centimetre_is_told(camp: Scenario, hot: xr.Dataset) -> None:
    for celsius, told in ((-5.0, False), (2.0, False), (300.0, True)):
        night = still(hot, stove_temperature=celsius)
        found = [it for it in close_findings(camp, night) if it.where == "under the stove"]
        assert bool(found) == told
        for finding in found:
            assert finding.level == "caution" and "melts into the packed snow" in finding.what
            assert "with nothing under it" in finding.number and "poles or a board" in finding.todo

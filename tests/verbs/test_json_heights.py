"""`simtent heights --json`: levels, cold floor, comfort, damp and comparisons as one document."""

import importlib
from pathlib import Path
from typing import Any

import pytest
import xarray as xr

from simtent.assess import comfort, damp
from simtent.cli import main
from simtent.scenario.load import load
from simtent.scenario.scenario import Scenario
from tests import answers, fake_night
from tests.tell import heights_nights
from tests.tell.test_heights import BALANCES

TEXT = fake_night.SCENARIO + '\n[shelter.fan]\nflow = "60 m3/h"\n'


@pytest.fixture(autouse=True)
def quick(monkeypatch: pytest.MonkeyPatch) -> None:
    """The simulation replaced by formulas."""

    def simulated(scenario: Scenario) -> xr.Dataset:
        name = scenario.name
        return heights_nights.night(name=name) if scenario.damp else fake_night.night(5.0, name=name)

    monkeypatch.setattr("simtent.tell.look.PIXELS_PER_INCH", 40)  # drawn faster
    module = importlib.import_module("simtent.simulate")
    monkeypatch.setattr(module, "simulate", simulated)
    monkeypatch.setattr(module, "plain", simulated)
    monkeypatch.setattr(importlib.import_module("simtent.run"), "run", lambda scenario: scenario)
    balance = importlib.import_module("simtent.balance")
    monkeypatch.setattr(balance, "balances", lambda _night, _seconds: BALANCES)


def told(capsys: pytest.CaptureFixture[str], *command: str) -> dict[str, Any]:
    assert main(["heights", *command, "--quiet", "--json"]) == 0
    return answers.document(capsys.readouterr().out)


def test_a_night_by_heights_in_both_units(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = fake_night.scenario_file(tmp_path)
    file.write_text(TEXT)
    asked = [str(file), "--fan", "on,off", "--cot", "30cm,70cm"]
    us, metric = (told(capsys, *asked, "--units", system) for system in ("us", "si"))
    assert answers.alike(us, metric) > 1000
    with xr.open_dataset(tmp_path / "paper.heights.nc", engine="h5netcdf") as night:
        night.load()
    scenario = load(file)
    assert [it["level"] for it in metric["levels"]] == ["head", "waist", "cot", "floor"]
    head = night["level_temperature"].sel(level="head")
    assert metric["levels"][0]["air"]["hottest"]["value"] == pytest.approx(float(head.max()))
    slept = comfort.sleeping(scenario, night, scenario.levels["cot"])
    assert metric["asleep"]["felt"]["value"] == pytest.approx(slept.lowest_felt)
    assert [it["power"]["value"] for it in metric["cold_floor"]["air"]] == [
        pytest.approx(share.watts) for share in BALANCES.air
    ]
    rise = scenario.night.seconds_at("06:30")
    for it in metric["water"]["accounts"]:
        assert it["water"]["value"] == pytest.approx(damp.account(night, it["account"]).at(rise))
    fan, cot = sorted(metric["compared"], key=lambda it: it["what"] != "fan")
    assert [(it["words"], it["of_file"]) for it in fan["nights"]] == [("on", True), ("off", False)]
    assert [it["words"] for it in cot["nights"]] == ["0.30 m", "0.46 m", "0.70 m"]
    assert metric["answer"][0]["label"] == "Head over floor"


def test_nothing_is_known_of_a_bag_that_is_not_given(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    found = told(capsys, str(fake_night.scenario_file(tmp_path)))
    assert found["asleep"]["below_comfort"] is None and found["asleep"]["through_pad"] is None
    assert found["compared"] == []

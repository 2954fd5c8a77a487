"""Pages of logs, stoves, heights: everything their terminals say is in them, and they are whole."""

from pathlib import Path

import pytest
import xarray as xr

from simtent.assess.cautions import of_logged, standing
from simtent.balance import Balances, Share
from simtent.logbook.notes import STILL_AIR
from simtent.logbook.read import read_log
from simtent.scenario.load import load
from simtent.scenario.logged import of_night
from simtent.scenario.scenario import Scenario
from simtent.tell import heights, heights_levels, logged
from simtent.tell.compared import Comparison, Other
from simtent.tell.evening import Evening
from simtent.tell.page import frame, levels
from simtent.tell.page import logged as logged_page
from tests import fake_night
from tests.tell import heights_nights
from tests.tell.pages import by_id, read, said
from tests.tell.test_reflow import rows

FORD = Path(__file__).parents[2] / "scenarios" / "alder_ford.toml"


def ford_nights() -> tuple[Scenario, list[Evening]]:
    """A burn in the open and a night of an invented camp, as logged."""
    scenario = load(FORD)
    evenings = []
    for which in (1, 2):
        found = read_log(scenario, which)
        night = of_night(scenario, found.log[0], STILL_AIR)
        evenings.append(Evening(found.from_noon_to_noon(night.night.zone), night, scenario, "us"))
    return scenario, evenings


def ford_page() -> bytes:
    scenario, evenings = ford_nights()
    return frame.to_bytes(logged_page.page(scenario, evenings, of_logged([scenario])))


@pytest.fixture(scope="module")
def ford() -> tuple[Scenario, list[Evening]]:
    return ford_nights()


def test_logged_nights(ford: tuple[Scenario, list[Evening]]) -> None:
    scenario, evenings = ford
    always = of_logged([scenario])
    whole = frame.to_bytes(logged_page.page(scenario, evenings, always))
    document = read(whole)
    assert len(whole) < 2e6 and len(document.every("svg")) == 2
    for evening in evenings:
        said(document, logged.told(evening))
    ids = [it.attributes["id"] for it in document.every() if "id" in it.attributes]
    assert len(ids) == len(set(ids))  # also between pictures
    assert "not calculated" in document.text and not document.every("input")
    assert "coldest in bed with 26 degF at 06:00" in by_id(document, "short").text


def test_more_nights_than_pictures(
    ford: tuple[Scenario, list[Evening]], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(logged_page, "MOST_PICTURES", 1)
    scenario, evenings = ford
    document = read(frame.to_bytes(logged_page.page(scenario, evenings, of_logged([scenario]))))
    assert len(document.every("svg")) == 1 and by_id(document, "night2").text


@pytest.fixture
def given(tmp_path: Path) -> tuple[Scenario, xr.Dataset]:
    return heights_nights.scenario(tmp_path), heights_nights.night()


def test_a_night_by_heights(given: tuple[Scenario, xr.Dataset]) -> None:
    scenario, dataset = given
    shares = (Share("walls", -120.0), Share("stove and pipe", 200.0))
    found = Balances(3600.0, 0.3, shares, shares, 80.0, 80.0)
    nights = (
        Other("16 in", scenario, dataset, 0.4, given=True),
        Other("28 in", scenario, dataset, 0.7),
    )
    comparisons = [Comparison("cot at", nights, "Keep a vent open.")]
    told = heights.below_levels(scenario, dataset, found, "", comparisons, "us")
    moments = heights.usual_moments(scenario, dataset)
    page = levels.page(scenario, dataset, told, moments, [], "us", (standing(scenario), ()))
    document = read(frame.to_bytes(page))
    said(document, told)
    table = heights_levels.levels_table(scenario, dataset, "us")
    air, felt = (rows(it)[1:] for it in by_id(document, "levels").every("table"))
    for shown, cells, more in zip(table[2:6], air, felt, strict=True):
        assert shown.split() == [*cells[:1], *cells[1].split(), *cells[2:], *more[2:]]
    assert "The head is at most" in by_id(document, "short").text
    assert fake_night.HOURS and by_id(document, "profile-data").exact

"""Bag, pad, head against floor and clothing: by hand on nights of plain lines, and what grows with what."""

from itertools import pairwise
from pathlib import Path
from typing import Any

import numpy as np
import pytest
import xarray as xr
from hypothesis import given
from hypothesis import strategies as st

from simtent.assess.comfort import (
    SITTING,
    air_at,
    dressed,
    felt_at,
    sleeping,
    standing_up,
    vapour_at,
)
from simtent.assess.comfort_findings import comfort_findings
from simtent.assess.findings import LEVELS, Finding
from simtent.assess.heights import awake, in_bed
from simtent.physics.clothed import MINIMAL, NEUTRAL, Surroundings
from simtent.physics.clothing import CLO, required
from simtent.physics.moist import saturation_over_water
from simtent.scenario.load import load
from simtent.scenario.scenario import Scenario
from tests import fake_fire, fake_night
from tests.assess.words import wrong

BAG = {"crew.bag": {"comfort": "-5 degC", "limit": "-10 degC"}}
HOURS = fake_night.HOURS  # from 17:30 on; in bed from 21:30 to 06:30, hours 4 to 13


@pytest.fixture(scope="module")
def camp(tmp_path_factory: pytest.TempPathFactory) -> Scenario:
    return fake_night.scenario(tmp_path_factory.mktemp("camp"))


@pytest.fixture(scope="module")
def night() -> xr.Dataset:
    return fake_night.night(minutes=15.0)


def hours(dataset: xr.Dataset) -> np.ndarray:
    return np.asarray((dataset["time"].values - dataset["time"].values[0]) / np.timedelta64(1, "h"))


def lines(dataset: xr.Dataset, **values: Any) -> xr.Dataset:
    """The Dataset with variables that are made of the hour, the same at all places, or of hour and height."""
    changed = {}
    for name, value in values.items():
        made = value(hours(dataset)[:, None], dataset["height"].values[None, :])
        changed[name] = dataset[name] * 0.0 + np.broadcast_to(made, dataset[name].shape)
    return dataset.assign(changed)


def surface(dataset: xr.Dataset, name: str, celsius: float) -> xr.Dataset:
    """The Dataset with one surface at one temperature [degC]."""
    shown = dataset["surface_temperature"].copy(deep=True)
    shown.loc[{"surface": name}] = celsius
    return dataset.assign(surface_temperature=shown)


def falling(dataset: xr.Dataset) -> xr.Dataset:
    """What is felt falls from 10 degC at the begin by 2 K an hour; air 1 K colder."""
    return lines(
        dataset,
        felt_temperature=lambda t, _z: 10.0 - 2.0 * t,
        air_temperature=lambda t, _z: 9.0 - 2.0 * t,
    )


def test_temperatures_at_heights_are_straight_between_the_centres(night: xr.Dataset) -> None:
    leant = lines(night, air_temperature=lambda t, z: t + 3.0 * z, felt_temperature=lambda t, z: t - 2.0 * z)
    for height in (0.2, 0.46, 1.1, float(night["height"][3])):
        assert air_at(leant, height) == pytest.approx(hours(night) + 3.0 * height)
        assert felt_at(leant, height) == pytest.approx(hours(night) - 2.0 * height)
    lowest, highest = night["height"].values[[0, -1]]
    assert air_at(leant, 0.0) == pytest.approx(hours(night) + 3.0 * lowest)
    assert air_at(leant, 9.0) == pytest.approx(hours(night) + 3.0 * highest)


def test_who_is_in_bed_when(camp: Scenario) -> None:
    assert in_bed(camp) == (4.0 * 3600.0, 13.0 * 3600.0)
    assert awake(camp) == ((0.0, 4.0 * 3600.0), (13.0 * 3600.0, 14.0 * 3600.0))
    late = camp.replace("wish.bed", "none")
    assert in_bed(late) == (0.0, 13.0 * 3600.0) and awake(late) == ((13.0 * 3600.0, 14.0 * 3600.0),)
    always = late.replace("wish.rise", "none")
    assert awake(always) == ()
    assert standing_up(always, fake_night.night(30.0)) is dressed(always, fake_night.night(30.0)) is None


def test_hours_below_what_is_printed(camp: Scenario, night: xr.Dataset) -> None:
    """10 - 2 h is below -5 from hour 7.5 and below -10 from hour 10; in bed until hour 13."""
    found = sleeping(camp.replace(BAG), falling(night), 0.46)
    assert (found.hours_below_comfort, found.hours_below_limit) == (pytest.approx(5.5), pytest.approx(3.0))
    assert (found.lowest_felt, found.lowest_air) == (pytest.approx(-16.0), pytest.approx(-17.0))
    assert found.moment == pytest.approx(13.0 * 3600.0)
    bare = sleeping(camp, falling(night), 0.46)
    assert bare.hours_below_comfort is bare.hours_below_limit is bare.pad_watts is None


@pytest.mark.parametrize("pad", [0.2, 0.85, 2.0])
def test_heat_through_a_pad_on_the_floor(camp: Scenario, night: xr.Dataset, pad: float) -> None:
    """0.4 m2 at 33 degC, by hand."""
    found = sleeping(camp.replace("crew.pad", f"{pad} m2 K/W"), surface(night, "floor", -4.0), 0.1)
    assert found.under == "the floor"
    assert found.pad_watts == pytest.approx(0.4 * 37.0 / pad)


def test_heat_through_a_pad_on_a_mat(camp: Scenario, night: xr.Dataset) -> None:
    names = ["floor mat" if it == "wall 1" else it for it in night["surface"].values]
    matted = surface(surface(night.assign_coords(surface=names), "floor mat", 5.0), "floor", -4.0)
    found = sleeping(camp.replace("crew.pad", "1 m2 K/W"), matted, 0.15)
    assert found.under == "the floor mat"
    assert found.pad_watts == pytest.approx(0.4 * 28.0)


def test_heat_through_a_pad_on_a_cot(camp: Scenario, night: xr.Dataset) -> None:
    """The air under it, as half way down, behind a film of 0.17 m2 K/W; the mean of a line is that of its ends."""
    found = sleeping(camp.replace("crew.pad", "0.83 m2 K/W"), falling(night), 0.46)
    assert found.under == "the air under the cot"
    assert found.pad_watts == pytest.approx(0.4 * (33.0 - 0.5 * (1.0 - 17.0)))


def test_no_heat_comes_up_through_a_pad(camp: Scenario, night: xr.Dataset) -> None:
    assert sleeping(camp.replace("crew.pad", "1 m2 K/W"), surface(night, "floor", 40.0), 0.0).pad_watts == 0.0


def layered(dataset: xr.Dataset, kelvin_per_metre: float, hottest: float = 3.0) -> xr.Dataset:
    """Air that grows warmer upward, the most at one hour and half as much an hour off."""
    return lines(
        dataset,
        air_temperature=lambda t, z: kelvin_per_metre * z * np.maximum(1.0 - 0.5 * np.abs(t - hottest), 0.0),
    )


def test_head_against_ankle(camp: Scenario, night: xr.Dataset) -> None:
    """8 K at the hour 3 and 4 K an hour off: over 4 K from hour 2 to bed at hour 4. In bed nobody stands."""
    found = standing_up(camp, surface(layered(night, 8.0), "floor", 10.0))
    assert found is not None
    assert (found.largest, found.moment) == (pytest.approx(8.0), 3.0 * 3600.0)
    assert found.hours_over == pytest.approx(2.0)
    assert np.isnan(found.dissatisfied)
    assert (found.floor, found.floor_dissatisfied) == (10.0, pytest.approx(0.405, abs=5e-4))
    asleep = standing_up(camp, layered(night, 8.0, hottest=7.0))
    assert asleep is not None and asleep.largest == pytest.approx(0.0, abs=1e-12)


@pytest.mark.parametrize(("difference", "share"), [(2.0, 0.017), (4.0, 0.088), (5.0, 0.185)])
def test_share_that_complains(camp: Scenario, night: xr.Dataset, difference: float, share: float) -> None:
    """ISO 7730's table, from memory."""
    found = standing_up(camp, layered(night, difference))
    assert found is not None and found.dissatisfied == pytest.approx(share, abs=1e-3)


def test_clothing_is_asked_for_at_the_coldest_waking_hour(camp: Scenario, night: xr.Dataset) -> None:
    """Felt is the mean of air and of what is seen: at -18 degC and in air of -28, that is -8 degC."""
    cold = lines(night, felt_temperature=lambda t, _z: 10.0 - 2.0 * t, air_temperature=lambda t, _z: -2.0 * t)
    found = dressed(camp, cold)
    assert found is not None
    assert (found.moment, found.air, found.felt) == (
        14.0 * 3600.0,
        pytest.approx(-28.0),
        pytest.approx(-18.0),
    )
    vapour = float(vapour_at(camp, cold, 0.6)[-1])
    around = Surroundings(245.15, 265.15, 0.1, min(vapour / saturation_over_water(245.15), 1.0))
    for clo, strain in ((found.neutral, NEUTRAL), (found.minimal, MINIMAL)):
        assert clo == pytest.approx(required(around, SITTING, strain).basic / CLO, rel=1e-6)
    assert found.minimal < found.neutral
    assert "speed" in found.beyond and "air" not in found.beyond


def test_who_sits_near_a_stove_needs_less(camp: Scenario, night: xr.Dataset) -> None:
    cold, shone = (
        dressed(camp, lines(falling(night), felt_temperature=lambda t, _z, more=more: 10.0 - 2.0 * t + more))
        for more in (0.0, 5.0)
    )
    assert cold is not None and shone is not None and shone.neutral < cold.neutral


def test_vapour_is_that_outdoors_unless_the_night_counts_it(camp: Scenario, night: xr.Dataset) -> None:
    """259.9 Pa over ice at -10 degC, 286.5 over supercooled water; 80 % of that is the usual humidity outdoors."""
    out = lines(night.drop_vars("outdoor_temperature"), air_temperature=lambda t, _z: 5.0 + 0.0 * t)
    out = out.assign(outdoor_temperature=night["outdoor_temperature"] * 0.0 - 10.0)
    assert vapour_at(camp, out, 0.6) == pytest.approx(np.full(hours(night).size, 0.8 * 286.5), rel=2e-3)
    counted = out.assign(humidity_ratio=out["air_temperature"] * 0.0 + 0.004)
    # By hand: w p / (0.622 + w) at 101325 Pa.
    assert vapour_at(camp, counted, 0.6) == pytest.approx(
        np.full(hours(night).size, 0.004 * 101325.0 / 0.626), rel=1e-3
    )


def told(scenario: Scenario, dataset: xr.Dataset, words: str) -> Finding | None:
    found = [it for it in comfort_findings(scenario, dataset) if words in it.what]
    assert len(found) <= 1
    return found[0] if found else None


def even(dataset: xr.Dataset, celsius: float) -> xr.Dataset:
    return lines(dataset, felt_temperature=lambda t, _z: celsius + 0.0 * t)


@pytest.mark.parametrize(
    ("felt", "level", "words"),
    [
        (1.0, None, ""),
        (-1.0, "note", "comes close to the comfort"),
        (-6.0, "note", "colder than the comfort"),
        (-11.0, "caution", "colder than the limit"),
    ],
)
def test_what_is_said_of_a_bag(
    camp: Scenario, night: xr.Dataset, felt: float, level: str | None, words: str
) -> None:
    for units in ("si", "us"):
        finding = told(camp.replace(BAG | {"units": units}), even(night, felt), "sleeping bag")
        assert (finding and finding.level) == level
        if finding is not None:
            assert words in finding.what and "assumes a pad" in finding.what and "still air" in finding.what
            assert ("-5 degC" if units == "si" else "23 degF") in finding.limit
            assert ("5.0 K" if units == "si" else "9.0 degF") in finding.todo
            assert not wrong(f"{finding.what} {finding.todo}")


def test_a_moment_below_the_limit_is_no_caution(camp: Scenario, night: xr.Dataset) -> None:
    """Ten minutes of nine hours: told with the hours below comfort."""

    def dip(minutes: float) -> xr.Dataset:
        """Below -10 degC for so long around hour 8, by a straight dip down to -11."""
        slope = 2.0 / (minutes / 60.0)
        fine = fake_night.night(minutes=1.0)
        return lines(fine, felt_temperature=lambda t, _z: np.minimum(-11.0 + slope * np.abs(t - 8.0), 20.0))

    bag = camp.replace(BAG)
    for minutes, level in ((8.0, "note"), (12.0, "caution")):
        finding = told(bag, dip(minutes), "sleeping bag")
        assert finding is not None and finding.level == level, minutes


@given(st.floats(-30.0, 10.0), st.floats(0.5, 15.0), st.floats(0.0, 10.0))
def test_a_warmer_label_never_takes_a_finding_away(
    camp: Scenario, night: xr.Dataset, limit: float, apart: float, more: float
) -> None:
    grave = []
    for by in (0.0, more):
        bag = {"comfort": f"{limit + apart + by:.3f} degC", "limit": f"{limit + by:.3f} degC"}
        finding = told(camp.replace("crew.bag", bag), night, "sleeping bag")
        grave.append(-1 if finding is None else LEVELS.index(finding.level))
    assert grave[0] <= grave[1]


@given(st.floats(-40.0, 30.0), st.floats(0.0, 15.0))
def test_a_colder_night_has_never_fewer_hours_below(
    camp: Scenario, night: xr.Dataset, shift: float, colder: float
) -> None:
    nights = [night.assign(felt_temperature=night["felt_temperature"] + it) for it in (shift, shift - colder)]
    found = [sleeping(camp.replace(BAG), it, 0.46) for it in nights]
    for name in ("hours_below_comfort", "hours_below_limit"):
        one, other = (getattr(it, name) for it in found)
        assert 0.0 <= one <= other <= 9.0 + 1e-9
    assert found[0].hours_below_limit <= found[0].hours_below_comfort  # type: ignore[operator]


def test_a_thin_pad_is_told(camp: Scenario, night: xr.Dataset) -> None:
    """Beside 60 W each: 0.4 m2 over 37 K lets through more than half of it below 0.49 m2 K/W."""
    cold = surface(night, "floor", -4.0)
    low = camp.replace("levels.cot", "10 cm")
    for pad, is_told in (
        ("0.48 m2 K/W", True),
        ("0.51 m2 K/W", False),
        ("R 2.5 us", True),
        ("R 3 us", False),
    ):
        finding = told(low.replace("crew.pad", pad), cold, "through the pad")
        assert (finding is not None) == is_told, pad
        if finding is not None:
            assert "60 W" in finding.limit or "205 Btu/h" in finding.limit
            assert finding.level == "note" and not wrong(finding.todo)


def test_better_pads_let_less_through(camp: Scenario, night: xr.Dataset) -> None:
    watts = [sleeping(camp.replace("crew.pad", f"R {r} us"), night, 0.1).pad_watts for r in (1, 2, 4.8, 7)]
    assert all(one > other for one, other in pairwise(watts))  # type: ignore[operator]


def test_warm_heads_are_told_and_not_judged(camp: Scenario, night: xr.Dataset) -> None:
    assert told(camp, layered(night, 3.9), "warm heads") is None
    finding = told(camp.replace("units", "si"), surface(layered(night, 8.0), "floor", -3.0), "warm heads")
    assert finding is not None and finding.level == "note"
    assert "8.0 K" in finding.number and "2 h over 4.0 K" in finding.number and "-3 degC" in finding.number
    assert "2.0 K (A), 3.0 K (B), 4.0 K (C)" in finding.limit and "seated" in finding.source


def test_a_stove_in_the_open_has_none() -> None:
    yard = load(Path(__file__).parents[2] / "scenarios" / "yard_burn.toml")
    assert list(comfort_findings(yard, fake_fire.burn(minutes=30.0))) == []

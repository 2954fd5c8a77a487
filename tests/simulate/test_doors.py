"""A door opened by the clock: it is told as an event, moves air while it stands open, and none before or after."""

import numpy as np
import pytest

from simtent.simulate import simulate

from .cases import scenario

DOOR = {"width": "60 cm", "height": "1.5 m", "open": [{"at": "19:00", "for": "10 min"}]}
SECOND = 1e9  # ns


@pytest.fixture(scope="module")
def night():
    return simulate(scenario(shelter__openings={"door": DOOR}, outdoors__wind="0 m/s"))


def at(dataset, clock):
    return dataset.sel(time=f"2031-01-05T{clock}")


def test_it_is_told_when_it_opens_and_shuts(night):
    door = [text.startswith("door") for text in night["event_what"].values.tolist()]
    told = night.isel(event=door)
    assert told["event_what"].values.tolist() == ["door opened", "door shut"]
    opened, shut = told["event_time"].values.astype("int64")
    assert (shut - opened) / SECOND == 600.0
    assert (opened - night["time"].values.astype("int64")[0]) / SECOND == 3600.0


def test_air_passes_it_only_while_it_is_open(night):
    through = night["opening_inflow"].sel(opening="door, lee")
    seconds = (night["time"].values.astype("int64") - night["time"].values.astype("int64")[0]) / SECOND
    standing = (seconds >= 3600.0) & (seconds < 4200.0)
    assert standing.sum() == 2
    assert (through.values[standing] > 0.05).all()
    assert not through.values[~standing].any()
    assert float(at(night, "19:05")["air_changes"]) > 10.0 * float(at(night, "18:55")["air_changes"])


def test_it_lets_warm_air_out_above_and_cold_air_in_below(night):
    """As much comes in as goes out through it, and the neutral height lies within it."""
    there = at(night, "19:05")
    net = float(there["opening_flow"].sel(opening="door, lee"))
    assert abs(net) < 0.1 * float(there["opening_inflow"].sel(opening="door, lee"))
    over = there["pressure_difference"].values
    inside = (there["height"].values > 0.0) & (there["height"].values < 1.5)
    assert over[inside].min() < 0.0 < over[inside].max()


def test_it_cools_the_floor_more_than_the_peak_as_a_share(night):
    """Cold air that comes in falls: common practice, no source."""
    before, after = (at(night, clock)["air_temperature"].values + 10.0 for clock in ("19:00", "19:10"))
    assert after[0] / before[0] < after[-1] / before[-1]
    assert np.all(after < before)

"""The night as rows of marks: each mark follows its numbers, each load stands in its column, and words say the same."""

import doctest
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest
import xarray as xr

from simtent.scenario.scenario import Scenario
from simtent.tell import narrow, signs, strip
from simtent.tell.narrow import narrowed
from tests import fake_fire, fake_night


@pytest.fixture(scope="module")
def night(tmp_path_factory: pytest.TempPathFactory) -> tuple[Scenario, xr.Dataset]:
    """A night with a fire from 17:30 to 07:30; in bed from 21:00 to 06:20."""
    settings = ("wish.bed=21:00", "wish.rise=06:20")
    return fake_fire.scenario(tmp_path_factory.mktemp("strip"), *settings), fake_fire.night(5.0)


def rows(night: tuple[Scenario, xr.Dataset], columns: int = 80, *, blocks: bool = True) -> dict[str, str]:
    """Each row of marks, loads and hours by its name, without what stands beside it."""
    lines = strip.strip(*night, "si", columns, blocks=blocks)
    above = lines[: lines.index("")]
    return {line[: strip.NAME].strip(): line[strip.NAME :].split("  ")[0] for line in above[:2]} | {
        line[: strip.NAME].strip(): line[strip.NAME :] for line in above[2:]
    }


def minutes_of(lines: list[str]) -> int:
    """The minutes of a mark, as the words say."""
    (words,) = (line for line in lines if line.startswith("A mark is "))
    return int(words.split()[3])


def in_columns(dataset: xr.Dataset, name: str, minutes: int) -> list[np.ndarray]:
    """A level's temperatures minute by minute from 17:30, in groups that begin at full steps of the clock."""
    given = dataset["level_temperature"].sel(level=name).values
    every = np.interp(np.arange(14 * 60 + 1), 5.0 * np.arange(given.size), given)
    first = -30 % minutes or minutes
    edges = [0, *range(first, 14 * 60, minutes), 14 * 60]
    return [every[a : b + 1] for a, b in pairwise(edges)]


def test_examples_in_the_docstrings() -> None:
    for module in (strip, narrow, signs):
        assert doctest.testmod(module).failed == 0


@pytest.mark.parametrize("columns", [60, 80])
@pytest.mark.parametrize("blocks", [True, False])
def test_marks_follow_the_numbers(night, columns: int, blocks: bool) -> None:
    minutes = minutes_of(strip.strip(*night, "si", columns, blocks=blocks))
    scale = signs.BLOCKS if blocks else strip.DIGITS
    for name, worst in (("head", np.max), ("cot", np.min)):
        shown = [scale.index(mark) for mark in rows(night, columns, blocks=blocks)[name]]
        values = [worst(part) for part in in_columns(night[1], name, minutes)]
        assert len(shown) == len(values)
        share = (np.array(values) - min(values)) / (max(values) - min(values))
        assert np.abs(np.array(shown) - share * (len(scale) - 1)).max() <= 0.5 + 1e-6
        assert shown[int(np.argmin(values))] == 0 and shown[int(np.argmax(values))] == len(scale) - 1


@pytest.mark.parametrize("columns", [60, 80])
def test_loads_and_wake_ups_stand_in_their_columns(night, columns: int) -> None:
    minutes = minutes_of(strip.strip(*night, "si", columns, blocks=True))
    row = rows(night, columns)["loads"]
    begin = 17 * 60 + 30

    def column(clock: str) -> int:
        hour, minute = map(int, clock.split(":"))
        since = (hour * 60 + minute - begin) % 1440 + begin
        return since // minutes - begin // minutes

    assert {k: mark for k, mark in enumerate(row) if mark in "LW"} == {
        column("17:30"): "L", column("21:20"): "W", column("01:47"): "W", column("04:45"): "W"
    }  # fmt: skip
    first, last = column("21:00"), column("06:20")
    assert set(row[first : last + 1]) == {"-", "W"} and row[last] == "-"
    assert "-" not in row[:first] + row[last + 1 :]


@pytest.mark.parametrize("columns", [60, 80])
def test_hours_stand_where_they_begin(night, columns: int) -> None:
    minutes = minutes_of(strip.strip(*night, "si", columns, blocks=True))
    row = rows(night, columns)["hour"]
    for hour in ("20", "00", "06"):
        since = (int(hour) * 60 - 17 * 60) % 1440 + 17 * 60
        assert row.index(hour) == since // minutes - (17 * 60 + 30) // minutes
    assert "  " not in row[row.index("20") : row.index("20") + 2]


def test_words_say_what_the_rows_show(night) -> None:
    words = " ".join(strip.strip(*night, "si", 80, blocks=True))
    cot = night[1]["level_temperature"].sel(level="cot").values
    head = night[1]["level_temperature"].sel(level="head").values
    assert f"{cot.min():.0f} to " in words and f" to {head.max():.0f} degC" in words
    assert f"cot, the lowest in each: least {cot.min():.0f} degC at " in words
    assert f"most {head.max():.0f} degC at " in words
    assert (
        "L: 4 loads, of which W 3 to get up for, at 21:20, 01:47, 04:45; - in bed, 21:00 to 06:20." in words
    )


@pytest.mark.parametrize("system", ["us", "si"])
@pytest.mark.parametrize("columns", [60, 67, 80])
def test_it_fits_and_is_left_as_it_is(night, system: str, columns: int) -> None:
    for blocks in (True, False):
        lines = strip.strip(*night, system, columns, blocks=blocks)
        above = lines[: lines.index("")]
        narrow = narrowed(lines, columns)
        assert max(map(len, narrow)) <= columns and narrow[: len(above)] == above
        assert blocks or "\n".join(lines).isascii()


def test_other_fires(tmp_path: Path) -> None:
    heated = (fake_night.scenario(tmp_path), fake_night.night(5.0))
    assert "loads" not in rows(heated) and set(rows(heated)) == {"head", "cot", "hour"}
    yard = strip.strip(fake_fire.yard(tmp_path), fake_fire.burn(1.0), "us", 80, blocks=True)
    assert yard[0].startswith("stove ") and yard[1].startswith("loads L") and yard[2].startswith("hour")

"""How long loads burned and coals lasted, against straight lines worked out by hand."""

from dataclasses import dataclass

import numpy as np
import pytest
import xarray as xr

from simtent.assess.loads import burns, wood_on_fire
from tests import fake_fire, fake_night
from tests.fake_night import BEGIN

STEP = 5.0  # minutes
MINUTES = np.arange(0.0, 400.0 + STEP, STEP)


def at(minute: float) -> np.datetime64:
    return BEGIN + np.timedelta64(round(minute * 60e9), "ns")


@dataclass
class Pile:
    """Wood that falls by so many kg a minute, and what is put on at which minute; a quarter of it is water."""

    loads: dict[float, float]
    falls: float = 0.02

    def wood(self, minute: float) -> float:
        left, then = 0.0, 0.0
        for when, mass in self.loads.items():
            if when <= minute:
                left, then = max(left - self.falls * (when - then), 0.0) + mass, when
        return max(left - self.falls * (minute - then), 0.0)

    def dataset(self, chance: np.ndarray) -> xr.Dataset:
        wood = np.array([self.wood(minute) for minute in MINUTES])
        stages = np.stack([0.25 * wood, 0.75 * wood], axis=1)
        return xr.Dataset(
            {
                "fuel_mass": (("time", "fuel_stage"), stages),
                "relight_chance": ("time", chance),
                "heat_release": ("time", 1000.0 * wood),
                "event_time": ("event", [at(minute) for minute in self.loads]),
                "event_mass": ("event", list(self.loads.values())),
            },
            {"time": [at(minute) for minute in MINUTES], "fuel_stage": ["water", "dry_wood"]},
        )


EVER = np.full_like(MINUTES, 0.9)


def test_a_load_flames_until_a_twentieth_is_left() -> None:
    # 2 kg that fall by 0.02 kg a minute: a twentieth is left after 95 of 100 minutes.
    (burn,) = burns(Pile({0.0: 2.0}).dataset(EVER))
    assert burn.flame == pytest.approx(95.0, abs=1e-9)
    assert (burn.begin, burn.until, burn.mass, burn.peak) == (at(0.0), at(400.0), 2.0, 2000.0)


def test_a_load_between_two_times_counts_from_its_own_moment() -> None:
    # Put on at 102 min, first seen at 105 with 1.94 kg: 0.097 kg are left at 102 + (2 - 0.097) / 0.02 min.
    _, burn = burns(Pile({0.0: 1.0, 102.0: 2.0}).dataset(EVER))
    assert burn.begin == at(102.0)
    assert burn.flame == pytest.approx((2.0 - 0.05 * 1.94) / 0.02, abs=1e-9)


def test_the_rest_of_an_older_load_counts_as_wood_on_the_fire() -> None:
    # 1 kg is left of the first when 1 kg is put on: 2 kg, of which a twentieth is left 95 min later.
    first, second = burns(Pile({0.0: 2.0, 50.0: 1.0}).dataset(EVER))
    assert first.flame is None
    assert first.until == second.begin == at(50.0)
    assert second.flame == pytest.approx(95.0, abs=1e-9)


def test_a_night_that_ends_before_the_flames_do() -> None:
    (burn,) = burns(Pile({0.0: 2.0}, falls=0.004).dataset(EVER))
    assert burn.flame is None


def test_coals_count_until_the_chance_is_one_half() -> None:
    # From 0.9 down by 0.002 a minute: one half after 200 minutes.
    (burn,) = burns(Pile({0.0: 2.0}).dataset(0.9 - 0.002 * MINUTES))
    assert burn.coals_until == at(200.0)
    assert not burn.relights


def test_coals_that_come_back_count_until_they_are_gone_for_good() -> None:
    # A cosine of 160 min is over its mean until 40, from 120 to 200, from 280 to 360; one of 200 to the end.
    (burn,) = burns(Pile({0.0: 2.0}).dataset(0.5 + 0.2 * np.cos(2.0 * np.pi * MINUTES / 160.0)))
    assert burn.coals_until is not None
    assert abs(burn.coals_until - at(360.0)) < np.timedelta64(1, "s")
    assert not burn.relights
    (burn,) = burns(Pile({0.0: 2.0}).dataset(0.5 + 0.2 * np.cos(2.0 * np.pi * MINUTES / 200.0)))
    assert burn.coals_until is None and burn.relights


def test_the_next_load_ends_the_coals_of_the_one_before() -> None:
    first, second = burns(Pile({0.0: 1.0, 150.0: 2.0}).dataset(0.9 - 0.002 * MINUTES))
    assert (first.peak, second.peak) == (1000.0, 2000.0)
    assert first.coals_until is None and first.relights
    assert second.coals_until == at(200.0)


def test_coals_that_never_would_have_lit_anything() -> None:
    (burn,) = burns(Pile({0.0: 1.0}).dataset(0.0 * MINUTES + 0.1))
    assert burn.coals_until is None and not burn.relights


def test_two_loads_within_one_step() -> None:
    first, second = burns(Pile({51.0: 1.0, 52.0: 0.5}).dataset(EVER))
    assert first.flame is None
    assert (first.until, second.begin) == (at(52.0), at(52.0))


def test_wood_on_the_fire_jumps_where_a_load_is_put_on() -> None:
    pile = Pile({0.0: 2.0, 62.5: 1.5, 100.0: 0.75})
    wood = wood_on_fire(pile.dataset(EVER))
    for minute in (0.0, 1.0, 57.5, 62.4, 62.5, 64.0, 99.9, 100.0, 101.0):
        assert wood.at(60.0 * minute) == pytest.approx(pile.wood(minute), abs=1e-9)
    before = wood.at(np.nextafter(60.0 * 62.5, 0.0))
    assert before == pytest.approx(2.0 - 0.02 * 62.5, abs=1e-9)
    assert wood.highest()[1] == pytest.approx(pile.wood(62.5), abs=1e-9)


def test_a_night_without_a_fire_has_no_loads() -> None:
    assert burns(fake_night.night(minutes=30.0)) == ()


def test_settings_are_no_loads() -> None:
    night = fake_fire.night()
    found = burns(night)
    assert [burn.mass for burn in found] == [load.mass for load in fake_fire.LOADS]
    assert night.sizes["event"] > len(found)

"""Whole fits of small invented nights: planted numbers, starts, interruptions, what is refused, what stays wide."""

import numpy as np
import pytest

from simtent.calibrate import left_open
from simtent.calibrate.calibrate import calibrate
from simtent.calibrate.outlook import Outlook
from simtent.errors import SolveError
from simtent.scenario.load import load
from simtent.units import to_si
from tests.calibrate import logs, yard

pytestmark = pytest.mark.compiled

TWO = ("2031-02-14", "2031-02-15")


@pytest.fixture(scope="module")
def found(tmp_path_factory):
    """Two nights, two numbers, and their planted values."""
    path = logs.camp(tmp_path_factory.mktemp("planted"), evenings=TWO)
    lines = []
    return calibrate(load(path), starts=2, progress=lines.append), lines


def test_planted_numbers_lie_in_their_intervals_of_99_percent(found):
    one, _ = found
    truth = {"model.walls": 1.25, "model.leak_area": to_si("18 in2", "area") * 1e4}
    truth |= {f"lag of {place}": it.lag for place, it in logs.SENSORS.items()}
    truth |= {f"offset of {place}": it.offset for place, it in logs.SENSORS.items()}
    for name, value in truth.items():
        low, high = one.posterior.interval(name, 0.99)
        assert low <= value <= high, name
    for name in ("model.walls", "lag of head"):
        assert one.posterior.deviations[one.posterior.index(name)] < 0.2


def test_errors_are_as_large_and_as_long_as_planted(found):
    one, _ = found
    for errors in one.best.errors.values():
        assert errors.deviation == pytest.approx(logs.NOISE, rel=0.35)
        assert logs.MEMORY / 2.5 < errors.memory < logs.MEMORY * 2.5


def test_every_start_is_told_and_the_search_settles(found):
    one, lines = found
    assert one.best.settled and not one.best.stopped
    assert len(one.best.costs) == 2 and np.ptp(one.best.costs) < 1.0
    for words in ("start 1 of 2", "start 2 of 2", "all layers", "all layers, own slopes"):
        assert any(words in line for line in lines)


def test_the_fitted_scenario_is_the_most_likely_one(found):
    one, _ = found
    there = one.fitted()
    assert there.model.walls == pytest.approx(one.posterior.value("model.walls"))
    assert there.model.leak_area * 1e4 == pytest.approx(one.posterior.value("model.leak_area"))
    coldest, warmest = one.outdoors
    for night in one.nights:
        air = night.scenario.outdoors.track("air").values
        assert coldest <= min(air) + 0.1 and warmest >= min(air)
    assert one.readings == sum(it.seconds.size for it in one.residuals)
    rises = [np.sqrt(np.mean((it.predicted - 264.0) ** 2)) for it in one.residuals if it.place == "cot"]
    assert one.beyond["cot"] == pytest.approx(one.best.errors["cot"].deviation / np.mean(rises), rel=0.2)


def test_the_same_seed_is_the_same_fit(tmp_path):
    scenario = load(logs.camp(tmp_path))
    one, two = (calibrate(scenario, starts=2, seed=4) for _ in range(2))
    assert np.array_equal(one.posterior.z, two.posterior.z) and one.best.costs == two.best.costs


def test_held_out_evenings_are_not_fitted_to(tmp_path):
    path = logs.camp(tmp_path, evenings=TWO, fit=logs.FREE + 'hold_out = ["2031-02-15"]\n')
    one = calibrate(load(path), starts=1)
    assert [night.label for night in one.nights] == ["2031-02-14"]


def test_interrupted_it_keeps_the_best_so_far(tmp_path):
    scenario = load(logs.camp(tmp_path))
    lines = []

    def told(line):
        lines.append(line)
        if len(lines) == 3:
            raise KeyboardInterrupt

    one = calibrate(scenario, starts=2, progress=told)
    assert one.best.stopped and not one.best.settled and "stopped" in lines[-1]
    first = float(lines[0].rpartition(" ")[2])
    outlooks = one.misfit.outlooks
    seen = one.misfit.residuals(one.posterior.z, one.misfit.seen(one.posterior.z), one.misfit.first_errors())
    assert 0.5 * float(seen @ seen) < first
    assert len(outlooks) == 1 and np.all(np.isfinite(one.posterior.covariance))


def test_interrupted_before_there_is_anything_it_stops(tmp_path, monkeypatch):
    def interrupted(*_arguments):
        raise KeyboardInterrupt

    monkeypatch.setattr(Outlook, "simulated", interrupted)
    with pytest.raises(KeyboardInterrupt):
        calibrate(load(logs.camp(tmp_path)), starts=1)


def broken(monkeypatch, when):
    """Nights that cannot be simulated where `when` says so of z."""
    plain = Outlook.simulated

    def simulated(self, z):
        if when(z):
            raise SolveError("no step is small enough")
        return plain(self, z)

    monkeypatch.setattr(Outlook, "simulated", simulated)


def test_a_start_that_cannot_be_simulated_does_not_end_the_fit(tmp_path, monkeypatch):
    starts = []

    def when(z):
        starts.append(z)
        return bool(np.all(np.abs(z) < 1e-3))  # what was believed, the first of the starts

    broken(monkeypatch, when)
    lines = []
    one = calibrate(load(logs.camp(tmp_path)), starts=3, progress=lines.append)
    assert one.best.costs[0] == np.inf and np.isfinite(one.best.costs[1:]).all()
    assert any("start 1 of 3 is lost" in line and "small enough" in line for line in lines)
    assert one.posterior.value("model.walls") == pytest.approx(1.25, rel=0.1)


def test_no_start_at_all_says_what_to_look_at(tmp_path, monkeypatch):
    broken(monkeypatch, lambda _z: True)
    with pytest.raises(SolveError, match="No start of the fit can be simulated"):
        calibrate(load(logs.camp(tmp_path)), starts=2)


def test_steps_that_cannot_be_simulated_are_made_shorter(tmp_path, monkeypatch):
    broken(monkeypatch, lambda z: z[0] > 1.2)  # walls were planted at 1.22 deviations of their belief
    one = calibrate(load(logs.camp(tmp_path)), starts=1)
    assert 0.5 < one.posterior.z[0] <= 1.2


def test_where_one_sensor_is_all_there_is_numbers_stay_wide(tmp_path):
    """The cot alone: walls and leakage trade for each other, and what heat there was is not known either."""
    fit = '\n[fit]\nfree = ["model.walls", "model.leak_area", "model.mixing", "model.ground"]\n'
    one = calibrate(load(logs.camp(tmp_path, {"cot": logs.SENSORS["cot"]}, fit=fit)), starts=1)
    wide = [
        name
        for name in ("model.leak_area", "model.mixing", "model.ground")
        if not one.posterior.narrowed(name)
    ]
    assert wide
    sentences = left_open.left_open(one.posterior)
    assert any("stay at what was believed" in text and wide[0] in text for text in sentences)
    two = calibrate(load(logs.camp(tmp_path, fit=fit)), starts=1)
    for name in ("model.walls", "model.leak_area"):
        k, j = one.posterior.index(name), two.posterior.index(name)
        assert one.posterior.deviations[k] > two.posterior.deviations[j]


def test_a_burn_in_the_open_is_fitted_alone(tmp_path):
    path = yard.camp(tmp_path, truth={"model.heat": 1.15})
    one = calibrate(load(path), starts=1)
    low, high = one.posterior.interval("model.heat", 0.99)
    assert low < 1.15 < high
    assert one.nights[0].scenario.shelter is None and set(one.best.errors) == {"stove"}

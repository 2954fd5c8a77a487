"""A fit judged by a night that it has not seen: what is told of that night, and which simple predictions do better."""

from types import SimpleNamespace

import pytest

from simtent.calibrate.calibrate import calibrate
from simtent.calibrate.judge import Judged, judge
from simtent.scenario.load import load
from simtent.tell.fit_words import judgement_lines
from tests.calibrate import logs

TWO = ("2031-02-14", "2031-02-15")


@pytest.mark.compiled
def test_what_was_left_out_of_the_held_out_night_is_shown_with_it(tmp_path):
    """Its outdoor sensor was forgotten."""
    path = logs.camp(tmp_path, evenings=TWO)
    before, first, second = path.read_text().split("[[log]]\n")
    path.write_text("[[log]]\n".join([before, first, second.replace(', outdoors = "outdoors"', "")]))
    scenario = load(path).replace("fit.hold_out", [TWO[1]])
    found = calibrate(scenario, starts=1)
    assert len(found.nights) == 1 and not found.told
    judged = judge(found, load(path).log[1].evening)
    assert judged.expected.night.told
    said = " ".join(" ".join(judgement_lines(judged, "si")).split())
    assert f"held {TWO[1]}: no sensor hung outdoors; the weather is taken from the scenario" in said


@pytest.mark.parametrize(
    ("persistence", "one_resistor", "beaten"),
    [
        (None, None, ()),
        (2.0, 1.5, ()),
        (0.9, 1.5, ("the mean rise of the fitted nights",)),
        (0.5, 1.0, ("the mean rise of the fitted nights", "one resistor")),
    ],
)
def test_a_simple_prediction_that_is_as_good_or_better_is_named(persistence, one_resistor, beaten):
    judged = Judged(SimpleNamespace(), SimpleNamespace(rmse=1.0), persistence, one_resistor)
    assert judged.beaten_by == beaten

"""Numbers that are sought: from deviations to values and back, within their bounds."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from simtent.calibrate.sought import Sought

FACTOR = Sought("model.walls", "1", 2.0, 0.4, 0.5, 6.0, "own choice", keys=("model.walls",))
SUM = Sought("offset of cot", "K", 0.5, 0.25, -1.0, 1.0, "own choice", factor=False, sensor="cot")


@given(st.floats(-2.0, 2.0))
def test_places_are_what_values_come_from(z):
    assert FACTOR.place(FACTOR.value(z)) == pytest.approx(z, abs=1e-12)
    assert SUM.place(SUM.value(z)) == pytest.approx(z, abs=1e-12)


def test_one_deviation_is_what_was_believed():
    assert FACTOR.value(1.0) == pytest.approx(2.0 * math.exp(0.4))
    assert SUM.value(-1.0) == pytest.approx(0.25)
    assert (FACTOR.value(0.0), SUM.value(0.0)) == (2.0, 0.5)


@pytest.mark.parametrize("one", [FACTOR, SUM])
def test_no_value_leaves_its_bounds_and_its_ends_are_they(one):
    assert (one.value(-1e3), one.value(1e3)) == (one.low, one.high)
    assert [one.value(z) for z in one.ends] == pytest.approx([one.low, one.high])


def test_a_factor_that_may_be_nothing_has_an_end_all_the_same():
    low, high = Sought("stove.air.leak", "cm2", 2.0, 0.5, 0.0, math.inf, "own choice").ends
    assert math.isfinite(low) and low < -20.0 and high == math.inf


def test_the_belief_in_words():
    assert (FACTOR.before, SUM.before) == ("x1.49", "+-0.25 K")
    assert Sought("contact", "1", 1.0, 0.1, 0.0, 2.0, "own choice", factor=False).before == "+-0.1"

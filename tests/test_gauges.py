"""Gauges of sheet steel against thicknesses that are published for them."""

import pytest

from simtent.gauges import OUNCES, inches, thickness_text

# Manufacturers' standard gauge for sheet steel, as offroaders.com "Sheet Metal Gauge Thickness" and other pages of the
# trade print it (10, 16, 18, 20); the others from memory.
PUBLISHED = {
    10: 0.1345, 12: 0.1046, 14: 0.0747, 16: 0.0598, 18: 0.0478, 20: 0.0359, 22: 0.0299, 24: 0.0239, 26: 0.0179,
    28: 0.0149, 30: 0.0120,
}  # fmt: skip


@pytest.mark.parametrize(("gauge", "thick"), PUBLISHED.items())
def test_published_thicknesses(gauge: int, thick: float) -> None:
    assert inches(gauge) == pytest.approx(thick, abs=0.000051)


def test_a_higher_gauge_is_thinner() -> None:
    thick = [inches(gauge) for gauge in sorted(OUNCES)]
    assert thick == sorted(thick, reverse=True) and len(set(thick)) == len(thick)


def test_the_gauge_that_was_given_is_answered() -> None:
    assert '"1.90 mm"' in thickness_text("14 ga") and "14 gauge" in thickness_text("14GA")
    assert "24 gauge is 0.6 mm" in thickness_text("99 gauge")

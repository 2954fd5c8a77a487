"""What a fit expects of a night: how far its numbers are known, and what it misses in a night that is warmed more."""

from types import SimpleNamespace

import numpy as np
import pytest

from simtent.calibrate.foretell import _missed, _numbers
from simtent.calibrate.sought import Sought


@pytest.mark.parametrize(("rise", "missed"), [(1.0, 0.5), (20.0, 2.0)])
def test_what_is_missed_grows_with_the_rise_and_is_never_less_than_in_the_logs(rise, missed):
    best = SimpleNamespace(errors={"cot": SimpleNamespace(deviation=0.5)})
    found = SimpleNamespace(beyond={"cot": 0.1}, best=best)
    assert _missed(found, "cot", np.full(5, rise)) == pytest.approx(missed)


def test_common_numbers_are_as_the_fit_knows_them_and_a_nights_own_as_believed():
    walls, old, new = (
        Sought(name, "1", 1.0, 0.2, 0.1, 9.0, "") for name in ("walls", "mass, old", "mass, new")
    )
    covariance = np.array([[0.04, 0.01], [0.01, 0.5]])
    posterior = SimpleNamespace(z=np.array([0.7, -0.3]), covariance=covariance)
    found = SimpleNamespace(sought=(walls, old), nights=[SimpleNamespace(sought=(old,))], posterior=posterior)
    night = SimpleNamespace(readings=(), sought=(new,), scenario=SimpleNamespace(stove=None))
    sought, z, known = _numbers(found, night)
    assert sought == (walls, new)
    np.testing.assert_allclose(z, [0.7, 0.0])
    np.testing.assert_allclose(known, [[0.04, 0.0], [0.0, 1.0]])

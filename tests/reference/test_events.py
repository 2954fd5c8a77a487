"""A short pulse that must not be missed, and a relay that must switch when it ought to.

A solver that chooses its own steps walks over a pulse of a minute in a quiet night: SciPy's RK45, BDF, Radau and LSODA,
asked without stops, all end at exactly 0 (a plain fact about them; a test here keeps it). simtent stops at every step
of a table. The relay is heated at 1 kW, comes to 50 degC in the end, lags by 1800 s, and is switched on at 18 and off
at 22 degC: by a script that SciPy's solver watches, and by two rules that the compiled driver finds between its steps.
"""

from itertools import accumulate, cycle, islice
from math import exp, log

import pytest

from simtent.assembly.whole_night import whole_night
from simtent.network.solve import solve

from .claims import CLOSED_FORM, case, claims, off
from .events import (
    BEGINS,
    ENDS,
    LAG,
    QUIET,
    pulse_by_driver,
    pulse_by_network,
    pulse_without_stops,
    relay_by_driver,
    relay_by_script,
)
from .sources import MATHEMATICS

SUBJECT = "Events"
METHODS = ("LSODA", "BDF", "Radau", "RK45")
LEFT = 0.73076


@claims(
    "Pulse of 100 K for 60 s, lag 600 s, after 20,000 quiet seconds: what is left after 6 h",
    MATHEMATICS,
    CLOSED_FORM,
    unit="K",
    allowed=off(1e-4),
    laws=[solve],
    digits=5,
    cases=[case(method, LEFT, method) for method in METHODS],
)
def test_pulse(method):
    return pulse_by_network(method)


@claims(
    "The same pulse by the compiled driver",
    MATHEMATICS,
    CLOSED_FORM,
    unit="K",
    allowed=off(1e-4),
    laws=[whole_night],
    digits=5,
    cases=[case("relative tolerance 1e-6", LEFT)],
)
def test_pulse_by_driver():
    return pulse_by_driver()


def test_what_is_left_in_closed_form():
    assert 100.0 * (1.0 - exp((BEGINS - ENDS) / LAG)) * exp((ENDS - QUIET) / LAG) == pytest.approx(
        LEFT, abs=1e-5
    )


@pytest.mark.parametrize("method", METHODS)
def test_without_stops_the_pulse_is_lost(method):
    assert pulse_without_stops(method) == 0.0


WARMS, COOLS = 1800.0 * log(32.0 / 28.0), 1800.0 * log(22.0 / 18.0)
SWITCHED = list(islice(accumulate(cycle((WARMS, COOLS))), 12))
RELAY_END = SWITCHED[-1] + 100.0


def test_the_relays_times_are_what_is_noted():
    assert pytest.approx((240.3565, 361.2073), abs=5e-5) == (WARMS, COOLS)


@claims(
    "Relay, on for 240.3565 s and off for 361.2073 s in turn: 12 moments at which it switches, by a script",
    MATHEMATICS,
    CLOSED_FORM,
    unit="s",
    allowed=off(0.01),
    laws=[solve],
    cases=[case(method, SWITCHED, method) for method in METHODS],
)
def test_relay(method):
    return relay_by_script(method, RELAY_END)


@claims(
    "The same relay by two rules of the compiled driver",
    MATHEMATICS,
    CLOSED_FORM,
    unit="s",
    allowed=off(0.01),
    laws=[whole_night],
    cases=[case("relative tolerance 1e-8", SWITCHED)],
)
def test_relay_by_rules():
    return relay_by_driver(RELAY_END)

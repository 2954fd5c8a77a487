"""All that is odd in a scenario: values outside their usual range, and what only several fields together show."""

from simtent.scenario.odd import Look, Oddity
from simtent.scenario.oddities_air import odd_air
from simtent.scenario.oddities_close import odd_close
from simtent.scenario.oddities_damp import odd_damp
from simtent.scenario.oddities_fire import odd_fire
from simtent.scenario.oddities_fitted import odd_fitted
from simtent.scenario.oddities_slips import odd_slips
from simtent.scenario.oddities_usual import unusual
from simtent.scenario.scenario import Scenario
from simtent.units import System


def oddities(scenario: Scenario, units: System | None = None) -> tuple[Oddity, ...]:
    """Every oddity, in the order of the file; a key of which more is known is not told twice."""
    look = Look(scenario, units or scenario.units)
    known = [
        *odd_air(look),
        *odd_fire(look),
        *odd_close(look),
        *odd_damp(look),
        *odd_fitted(look),
        *odd_slips(look),
    ]
    told = {oddity.key for oddity in known}
    found = [*known, *(oddity for oddity in unusual(look) if oddity.key not in told)]
    return tuple(sorted(found, key=lambda oddity: (oddity.file, oddity.line or 0)))

"""A plan does not get worse when less is asked; less wood is needed in a warmer night, or behind thicker walls."""

from dataclasses import replace

import pytest

from simtent.planning.choices import choices_of
from simtent.planning.evening import evening_of
from simtent.planning.limits import Limits
from simtent.planning.nights import Nights
from simtent.planning.search import Search
from tests.planning.camps import short_night


def searched(nights, limits, evening):
    """A search up to three wake-ups, on its own."""
    search = Search(nights, limits, evening=evening)
    search.run(3)
    return search


def coarse(scenario):
    """Three sizes, two settings, times on a grid of 45 min; the evening is that of the whole choice."""
    whole = choices_of(scenario, grid=2700.0)
    few = replace(whole, loads=whole.loads[-5::2], levers=whole.levers[:2])
    evening = evening_of(Nights.few(scenario, whole), Limits.of(scenario))
    return Nights.few(scenario, few), evening


@pytest.mark.slow
@pytest.mark.parametrize("wish", ["3 degC", "6 degC"])
@pytest.mark.parametrize(
    "relaxed",
    [
        lambda limits: replace(limits, cot=limits.cot - 1.0),
        lambda limits: replace(limits, cot=limits.cot - 4.0),
        lambda limits: replace(limits, rise=None),
        lambda limits: replace(limits, coals=0.5),
        lambda limits: replace(limits, wood=None),
        lambda limits: replace(limits, fullest=1.0),
    ],
    ids=["lower wish", "much lower wish", "any rise", "less sure coals", "more wood", "larger firebox"],
)
def test_never_worse_with_less_asked(tmp_path, wish, relaxed):
    scenario = short_night(tmp_path, wish__cot_at_least=wish)
    nights, evening = coarse(scenario)
    limits = replace(Limits.of(scenario), rise=5.0, wood=10.0)
    strict = searched(nights, limits, evening)
    loose = searched(nights, relaxed(limits), evening)
    assert loose.value(loose.plan(3)) <= strict.value(strict.plan(3))


@pytest.mark.slow
@pytest.mark.parametrize(
    "change",
    [{"outdoors.steady": "-7 degC"}, {"model.walls": 0.9}],
    ids=["warmer night", "thicker wall"],
)
@pytest.mark.parametrize("count", [1, 2])
def test_never_more_wood_where_less_heat_is_lost(tmp_path, change, count):
    """At a number of wake-ups, without limits on head and smoulder; a thicker wall as one that loses a tenth less."""
    scenario = short_night(tmp_path, wish__cot_at_least="3 degC")
    nights, evening = coarse(scenario)
    limits = replace(Limits.of(scenario), cool=float("inf"))
    easier = Nights.few(scenario.replace(change), nights.choices)
    cold, mild = (Search(it, limits, evening=evening) for it in (nights, easier))
    for search in (cold, mild):
        search.run(count, least=count)
    assert cold.keeps(cold.best[count]) and mild.keeps(mild.best[count])
    assert mild.nights.of(mild.best[count]).wood <= cold.nights.of(cold.best[count]).wood + 1e-6

"""Piles of pieces: whole and enough, their weight, their stack, the ways they take."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from simtent.scenario.wood import Wood
from simtent.supply.pile import SOLID, Pile

WOOD = Wood.model_validate(
    {
        "species": "beech",
        "moisture": "20 % wet",
        "pieces": {
            "kindling": {"thick": "2 cm", "long": "25 cm"},
            "stick": {"thick": "4 cm", "long": "30 cm"},
            "split": {"thick": "8 cm", "long": "35 cm", "mass": "1.4 kg"},
        },
    }
)
AMOUNTS = st.one_of(st.integers(1, 40), st.floats(0.01, 30.0))
LOADS = st.lists(
    st.dictionaries(st.sampled_from([*WOOD.pieces]), AMOUNTS, min_size=1), min_size=1, max_size=8
)
COUNTS = st.dictionaries(st.sampled_from([*WOOD.pieces]), st.integers(1, 300), min_size=1)


@given(LOADS)
def test_counts_are_whole_and_enough_and_not_a_piece_too_many(loads):
    pile = Pile.of((tuple(load.items()) for load in loads), WOOD)
    for name in WOOD.pieces:
        counted = sum(load[name] for load in loads if isinstance(load.get(name), int))
        weighed = sum(load[name] for load in loads if isinstance(load.get(name), float))
        count = pile.counts.get(name, 0)
        assert isinstance(count, int)
        more = (count - counted) * WOOD.piece_mass(name)
        assert weighed - 1e-6 <= more < weighed + WOOD.piece_mass(name)


@given(COUNTS, COUNTS)
def test_two_piles_together_weigh_what_they_weigh(one, other):
    both = Pile(one, WOOD) + Pile(other, WOOD)
    assert both.mass == pytest.approx(Pile(one, WOOD).mass + Pile(other, WOOD).mass)
    assert sum(both.counts.values()) == sum(one.values()) + sum(other.values())


@given(COUNTS, st.floats(1.0, 3.0))
def test_more_of_a_pile_is_whole_and_enough(counts, factor):
    more = Pile(counts, WOOD).times(factor)
    for name, count in counts.items():
        assert factor * count - 1e-6 <= more.counts[name] < factor * count + 1.0


@given(COUNTS, st.floats(1.4, 60.0))
def test_ways_carry_everything_and_hardly_one_more_than_they_must(counts, load):
    pile = Pile(counts, WOOD)
    ways = pile.ways(load)
    assert ways * load >= pile.mass - 1e-6
    # Every way but the last is filled until not even the lightest piece left goes on.
    assert ways <= math.ceil(pile.mass / max(load - WOOD.piece_mass("split"), 0.5 * load)) + 1


def test_a_sled_takes_whole_pieces():
    assert Pile({"split": 10}, WOOD).ways(2.8) == 5
    assert Pile({"split": 10}, WOOD).ways(4.1) == 5  # two pieces, and room for less than a third
    assert Pile({"split": 10}, WOOD).ways(4.2) == 4


def test_a_stack_by_hand():
    # A cord, 128 cubic feet, holds 80 to 90 of solid wood (Maine Forest Service, 2017). Beech at 20 % wet: 640 kg of
    # dry wood to a cubic metre, so a cubic metre weighs 800 kg moist.
    pile = Pile({"split": 100}, WOOD)
    assert pile.mass == pytest.approx(140.0)
    assert pile.stacked == pytest.approx(140.0 / 800.0 * 128.0 / 85.0)
    assert 80.0 / 128.0 <= SOLID <= 90.0 / 128.0


def test_kindling_is_what_is_thin():
    assert Pile({"kindling": 8, "stick": 3}, WOOD).kindling == {"kindling": 8}
    assert Pile({"split": 8, "stick": 3}, WOOD).kindling == {"stick": 3}  # the thinnest there is

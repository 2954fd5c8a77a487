"""What the nights at all marks of a stove come to: it holds, is too small, or only holds with trouble."""

from simtent.assess.stove import COOL_FOR, GLOWS
from simtent.scenario.stove import Air
from simtent.sizing.hold import marks_of
from simtent.sizing.judged import verdict
from tests.sizing.camps import ZERO, held, size

WISH, HEAD = ZERO + 5.0, ZERO + 35.0


def word(*nights, head=HEAD):
    return verdict(size(30), nights, WISH, head)


def test_a_mark_without_trouble_holds():
    found = word(held(2.0), held(6.0, mark="half", head=30.0), held(9.0, mark="open", head=45.0))
    assert (found.word, found.used.mark, found.best.mark, found.why) == ("holds", "half", "half", "")


def test_of_those_that_hold_the_coolest_head_is_used_and_the_warmest_cot_counts():
    found = word(held(6.0, mark="half", head=30.0), held(8.0, mark="open", head=34.0))
    assert (found.used.mark, found.best.mark) == ("half", "open")


def test_nothing_that_holds_is_too_small():
    found = word(held(2.0), held(4.99, mark="half"))
    assert (found.word, found.used.mark, found.why) == ("too small", "half", "")


def test_coals_that_light_no_next_load_hold_nothing():
    assert word(held(9.0, lights=False)).word == "too small"


def test_only_hot_smouldering_or_glowing_is_too_large():
    found = word(
        held(6.0, cool=COOL_FOR + 60.0),
        held(7.0, mark="half", head=36.0),
        held(9.0, mark="open", hottest=GLOWS + 1.0),
    )
    assert found.word == "too large"
    assert found.why == "smouldering at low, too hot at the head at half, near glowing at open"
    # On the limits themselves nothing is said.
    assert word(held(6.0, cool=COOL_FOR)).word == "holds"
    assert word(held(6.0, head=35.0)).word == "holds" and word(held(6.0, hottest=GLOWS)).word == "holds"


def test_without_a_limit_no_head_is_too_hot():
    assert word(held(6.0, head=80.0), head=None).word == "holds"


def test_marks_begin_at_the_sleepers_least_and_are_four_at_most():
    marks = {"shut": "0 %", "a": "10 %", "b": "20 %", "c": "30 %", "d": "50 %", "e": "80 %", "wide": "100 %"}
    given = {"opening": "20 cm2", "marks": marks}
    assert marks_of(Air.model_validate(given | {"least_when_asleep": "b"})) == ["b", "c", "e", "wide"]
    picked = marks_of(Air.model_validate(given))
    assert picked[0] == "a" and picked[-1] == "wide" and len(picked) == 4

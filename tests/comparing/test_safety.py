"""Cautions of two nights held against each other."""

from simtent.assess.findings import Finding
from simtent.comparing.safety import added


def finding(what, level="caution", where="", **more):
    return Finding(level=level, what=what, todo="Look.", source="made up", where=where, **more)


def test_a_matter_counts_once_whatever_its_numbers_and_causes():
    base = [finding("the flue draws weakly (wind): a gust", where="pipe", number="2 min")]
    other = [finding("the flue draws weakly (a dying fire and wind): a gust", where="pipe", number="40 min")]
    assert added(other, base) == () and added(base, other) == ()


def test_what_is_new_graver_or_elsewhere_is_added():
    base = [finding("cloth gets hot, 10 in away", where="wall"), finding("the floor is cold", "note")]
    graver = finding("cloth gets hot, 4 in away", "stop", where="wall")
    elsewhere = finding("cloth gets hot, 10 in away", where="bed")
    assert added([graver, elsewhere, *base], base) == (graver, elsewhere)
    assert added(base, [graver, elsewhere]) == ()  # what grows into a stop does not go away


def test_notes_are_no_cautions():
    assert added([finding("the floor is cold", "note")], []) == ()

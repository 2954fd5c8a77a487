"""What is said of a stove: the sentence's numbers are the table's, and where there is no answer it says why."""

import re
from itertools import pairwise

import pytest

from simtent.tell import stove_picture, stove_words
from simtent.tell.stove_cells import heat, no_colder, no_warmer
from tests.sizing import camps
from tests.sizing.camps import ZERO, answer, likened


@pytest.fixture
def box(tmp_path):
    return camps.scenario(tmp_path)


def told(box, found, system="si"):
    return stove_words.told(box, found, system)


def flat(lines):
    return " ".join(" ".join(lines).split())


FOUND = [likened(12, "too small", coldest=-2.0, air=-3.0), likened(27, "holds"), likened(40, "holds")]


@pytest.mark.parametrize("system", ["si", "us"])
def test_the_sentence_says_what_the_table_says(box, system):
    lines = told(box, answer(FOUND), system)
    text = flat(lines)
    size = {"si": "27 L", "us": "0.95 ft3"}[system]
    sentence = text[text.index("the smallest of these that holds it is a stove of") :]
    sentence = sentence[: sentence.index(" outside.")]
    assert sentence.startswith(f"the smallest of these that holds it is a stove of {size} of firebox")
    shop, nightly = (line for line in lines if line.startswith(f"{size} "))
    found = re.search(
        r"pieces up to (?P<long>.*) long, with a pipe of (?P<pipe>.*), of (?P<sheet>.*)\. A full load is about "
        r"(?P<count>\d+) pieces .* thick, (?P<mass>.*); with the air at \"(?P<mark>.*)\", "
        r"(?P<each>.*) go in again after (?P<every>.*) h\. At its best mark it holds the wish down to (?P<down>.*)",
        sentence,
    )
    load = rf"{found['count']} \({found['mass']}\)"
    row = rf"{size} +{found['pipe']} +\S+ \S+ +\S+ \S+ +{found['long']} +{load}  {found['sheet']}"
    assert re.fullmatch(row, shop)
    assert re.fullmatch(
        rf"{size} +{found['mark']} +{found['each']} +\S+ +\S+ +yes  {found['down']}  holds", nightly
    )
    assert found["every"] == "3"


# By hand: 1.2 mm is 0.0472 in; 30 L is 1.059 ft3; 112 kg/m3 is 6.99 lb/ft3 (NIST SP 811: 1 ft = 0.3048 m, 1 lb =
# 0.45359237 kg).
def test_all_is_told_in_the_units_asked_for(box):
    us, si = (flat(told(box, answer(FOUND), system)) for system in ("us", "si"))
    assert "of 0.047 in steel. A full load" in us and "of 1.2 mm steel. A full load" in si
    assert "a box of 1.06 ft3" in us and "Full load: 7 lb of wood per ft3 of firebox (test load" in us
    assert "a box of 30 L" in si and "Full load: 112 kg of wood per m3 of firebox (test load" in si
    assert not re.search(r"[0-9] (mm|cm|m|m3|L|kg|kW|degC)\b", us), us
    assert not re.search(r"[0-9] (in|ft|ft3|lb|Btu/h|degF)\b", si), si


def test_lines_fit_the_page_and_name_no_verdict(box):
    lines = told(
        box, answer([*FOUND, likened(60, "too large", why="smouldering at low")], winds=(0.0, 2.0, 5.0))
    )
    assert max(map(len, lines)) <= 80 and "safe" not in flat(lines).lower()
    assert "maker's manual" in flat(lines) and "Invented scenario" in flat(lines)
    assert "From 60 L on, full loads are too much: smouldering at low." in flat(lines)
    assert "A larger stove needs more distance" in flat(lines)


def test_no_size_holds_it(box):
    text = flat(
        told(box, answer([likened(12, "too small", coldest=-2.0), likened(60, "too small", coldest=3.4)]))
    )
    assert "none of these holds it. The nearest, 60 L, keeps 3 degC at the cot: that wish can be met" in text
    assert "the smallest of these" not in text and "A larger stove needs" not in text


def test_the_smallest_is_too_large(box):
    found = [likened(5, "too large", why="smouldering at low"), likened(12, "too large", why="too hot")]
    text = flat(told(box, answer(found)))
    assert "even the smallest of these, 5 L, is too large with full loads: smouldering at low." in text
    found = [likened(5, "too small"), likened(12, "too large", why="too hot")]
    text = flat(told(box, answer(found)))
    assert "none of these does: those below 12 L are too small, from there on full loads are too much" in text


def test_the_smallest_of_the_ladder_may_be_more_than_enough(box):
    text = flat(told(box, answer(FOUND[1:])))
    assert "A smaller one may do: ask with --volume." in text
    assert "A smaller one" not in flat(told(box, answer(FOUND)))


def test_no_stove_is_needed_or_none_is_enough(box):
    assert "it needs no stove for this wish" in flat(told(box, answer(FOUND, design=0.0)))
    text = flat(told(box, answer(FOUND, design=float("inf"), heater_head=None)))
    assert "needs more than 50.0 kW" in text and "no stove holds it" in text


def test_wishes_for_cot_and_head_that_exclude_each_other_are_told(box):
    text = flat(told(box, answer(FOUND, head=ZERO + 30.0, heater_head=ZERO + 41.2, counts=False)))
    assert "the head then has 42 degC. So the head cannot be kept to 30 degC as well" in text
    assert "counts as too hot from 52 degC there, 10 K more" in text
    text = flat(told(box, answer(FOUND)))
    assert "too hot at the head from 45 degC, 10 K over the wish" in text


def test_ones_own_stove_is_told_by_interval(box):
    found = [
        likened(30, "holds", own=True),
        likened(30, "too small", every=6.0, own=True, coldest=-9.0, air=None),
    ]
    found += [likened(27, "holds"), likened(27, "too small", every=6.0)]
    text = flat(told(box, answer(found, every=(3.0, 6.0))))
    assert "Yours, 30 L, for 5 degC at the cot: filled every 3 h it holds down to -12 degC outside" in text
    assert "30 L (yours)" in text


def test_the_mildest_night_warns_of_a_stove_that_is_then_too_large(box):
    large = likened(40, "too large", why="smouldering at low").judged
    text = flat(told(box, answer(FOUND, mild=[likened(27).judged, large])))
    assert "full loads are too much of 40 L every 3 h (smouldering at low)" in text
    assert "are not too much" in flat(told(box, answer(FOUND, mild=[likened(27).judged])))


def test_rounding_never_flatters():
    assert no_warmer(ZERO + 4.99, "si") == "4 degC" and no_warmer(ZERO + 5.0, "si") == "5 degC"
    assert no_colder(ZERO - 12.9, "si") == "-12 degC" and no_colder(ZERO - 12.0, "si") == "-12 degC"
    assert heat(4190.0, "us") == "14,300 Btu/h" and heat(4190.0, "si") == "4.2 kW"


@pytest.mark.parametrize("count", [1, 5, 24])
def test_names_in_the_picture_do_not_touch(box, count, monkeypatch):
    monkeypatch.setattr("simtent.tell.look.PIXELS_PER_INCH", 60)
    found = [likened(10.0 + 0.3 * n, "holds" if n % 2 else "too large") for n in range(count)]
    found = answer(found, winds=(0.0, 2.0, 5.0))
    assert stove_picture.to_bytes(box, found, "si").startswith(b"\x89PNG")
    places = stove_picture._apart([it.power / 4000.0 for it in found.found])
    assert all(b - a >= min(stove_picture.NEAR, 1.0 / count) - 1e-9 for a, b in pairwise(places))
    assert max(places) <= 1.0

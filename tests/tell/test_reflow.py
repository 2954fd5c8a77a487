"""Lines of 80 columns as HTML: every word stays, in its order; tables keep their cells."""

import re
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from simtent.tell.page.reflow import reflowed
from simtent.tell.words import paragraph
from tests.tell.pages import Element, read

README = (Path(__file__).parents[2] / "README.md").read_text(encoding="utf-8")
SHOWN = [
    block.splitlines() for block in re.findall(r"```(?:text|console)\n(.*?)```", README, flags=re.DOTALL)
]
DRAWN = ("|", "___")  # forms on paper


def document(lines: list[str]) -> Element:
    return read(f"<div>{reflowed(lines)}</div>".encode())


def rows(found: Element) -> list[list[str]]:
    return [[cell.text for cell in row.every("td", "th")] for row in found.every("tr")]


@pytest.mark.parametrize("lines", [it for it in SHOWN if not any(mark in "".join(it) for mark in DRAWN)])
def test_no_word_of_an_answer_is_lost(lines: list[str]) -> None:
    """As often as it was there, units that went into the names of columns aside."""
    text = document(lines).text.lower()
    for word in {it.lower() for line in lines for it in line.split()}:
        assert word.removeprefix("-") in text, word


@given(
    st.lists(st.lists(st.from_regex(r"[a-z]{1,12}", fullmatch=True), min_size=20, max_size=60), max_size=4)
)
def test_wrapped_sentences_are_whole_again(texts: list[list[str]]) -> None:
    given_texts = [f"{' '.join(words).capitalize()}." for words in texts]
    lines = [line for text in given_texts for line in (*paragraph(text), "")]
    assert [it.text for it in document(lines).every("p")] == given_texts


def test_a_word_that_had_just_found_room_begins_a_sentence() -> None:
    """76 letters, a blank and 3 letters make 80."""
    assert len(document(["x" * 76, "abc"]).every("p")) == 2
    assert len(document(["x" * 77, "abc"]).every("p")) == 1


def test_labels_and_their_sentences() -> None:
    lines = [
        f"{label:<25}{text}" for label, text in (("Coldest", "29 degF at"), ("", "06:30"), ("Wood", "31 lb"))
    ]
    found = document(lines)
    assert [it.text for it in found.every("dt", "dd")] == ["Coldest", "29 degF at 06:30", "Wood", "31 lb"]


def test_a_table_keeps_its_cells_and_names_units_once() -> None:
    lines = [
        "THE PLAN, in short",
        "   time   put on                     coals  then set",
        "   17:30  8 kindling,       3.4 lb   match  as in the file",
        "          4 stick",
        " * 23:45  2 split          12.4 lb    94 %  air two (50 %),",
        "                                            damper slant",
    ]
    found = document(lines)
    assert found.every("h3")[0].text == "The plan, in short"
    assert rows(found) == [
        ["time", "put on", "", "coals", "then set"],
        ["17:30", "8 kindling, 4 stick", "3.4 lb", "match", "as in the file"],
        ["* 23:45", "2 split", "12.4 lb", "94 %", "air two (50 %), damper slant"],
    ]
    units = document(["night     low     wind", "one     6 degF   3 mph", "two   -12 degF   14 mph"])
    assert rows(units) == [["night", "low, degF", "wind, mph"], ["one", "6", "3"], ["two", "-12", "14"]]


def test_names_that_one_blank_parts_and_names_in_two_lines() -> None:
    lines = [
        "cot at               cot    felt         h below   water",
        "degF             coldest coldest    over comfort on skin",
        "10 in                 29      30      57     0.0      15",
        "16 in (file)          29      30      57     0.0      12",
    ]
    assert rows(document(lines)) == [
        ["cot at degF", "cot coldest", "felt coldest", "over", "h below comfort", "water on skin"],
        ["10 in", "29", "30", "57", "0.0", "15"],
        ["16 in (file)", "29", "30", "57", "0.0", "12"],
    ]


def test_powers_and_what_they_are() -> None:
    found = document(
        ["     -740  warm air that rises", "     +560  floor", "      -20  sum: by this it cools"]
    )
    assert rows(found) == [
        ["-740", "warm air that rises"],
        ["+560", "floor"],
        ["-20", "sum: by this it cools"],
    ]


def test_lists_and_hanging_lines() -> None:
    long = " ".join(["It is far too windy."] * 8)
    lines = [
        "WHERE IT FALLS SHORT",
        *paragraph("The cot gets colder.", "- ", "  "),
        *paragraph(long, "- ", "  "),
    ]
    found = document(lines)
    assert [it.text for it in found.every("li")] == ["The cot gets colder.", long]
    lines = [
        "READ AND MENDED",
        "  first.csv: lines passed over: 3.",
        "  second.csv: gaps, the longest",
        "    of one hour.",
    ]
    assert [it.text for it in document(lines).every("p")] == [
        "first.csv: lines passed over: 3.", "second.csv: gaps, the longest of one hour.",
    ]  # fmt: skip


def test_nothing_is_taken_for_a_tag() -> None:
    found = document(["<b>&  1 lb", "<i>   2 lb", "", "a <script> of words"])
    assert not found.every("b", "i", "script") and "a <script> of words" in found.text
    assert not document([]).text

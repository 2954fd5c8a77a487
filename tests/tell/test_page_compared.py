"""Pages of comparisons, studies, cards and of the air: their terminal's words, the answer's numbers."""

import time
from pathlib import Path

import pytest

from simtent.assess.cautions import standing
from simtent.comparing.asked import NUMBERS
from simtent.tell import card_words, compared_energy, compared_words, flows, study_words
from simtent.tell.differences import cell
from simtent.tell.page import card, compare, frame, levels, night, study
from simtent.tell.page.markup import breakable
from simtent.tell.wrapping import wrapped
from tests.surveys.here import solved_here  # noqa: F401  (a fixture)
from tests.tell import cards, comparisons, studies
from tests.tell.pages import Element, by_id, read, said
from tests.tell.test_page import OUTSIDE, made

COT = NUMBERS[0]
SECONDS = 3.0  # of processor time, for a page


def document(page: frame.Page) -> Element:
    """The page taken apart, whole, small, and with nothing from outside."""
    begin = time.process_time()
    whole = frame.to_bytes(page)
    assert time.process_time() - begin < SECONDS
    assert len(whole) < 2e6 and not OUTSIDE.search(whole)
    found = read(whole)
    ids = [it.attributes["id"] for it in found.every() if "id" in it.attributes]
    assert len(ids) == len(set(ids))
    return found


def told(page: Element, lines: list[str]) -> None:
    """Every word of the lines stands on the page, whatever became of the sign behind it, and wherever it may break."""
    text = " ".join(f"{it.text} {it.exact}" for it in page.every("header", "main")).lower()
    titles = (compared_words.CAUTIONS[:8], compared_energy.TITLE[:5])
    lines = [line for line in lines if not line.startswith(titles)]
    for word in {it.lower().rstrip(":.,") for line in lines for it in line.replace("->", "").split()}:
        assert word in text, word


def cells(table: Element) -> dict[str, list[str]]:
    """Rows of a table by their names."""
    rows = (row.children for row in table.every("tr"))
    return {first.text: [it.text for it in more] for first, *more in rows}


@pytest.mark.parametrize("system", ["us", "si"])
def test_a_comparison(tmp_path: Path, system: str) -> None:
    found = comparisons.compared(tmp_path)
    page = document(compare.page(found, system, standing(found.scenario)))
    told(page, compared_words.told(found, system))
    rows = cells(by_id(page, "differences").every("table")[0])
    assert rows["number"] == ["base", "mat", "windy", "lined"]
    name = next(it for it in rows if it.startswith(COT.words))
    for text, variant in zip(rows[name][1:], found.variants, strict=True):
        assert text.startswith(cell(found.difference(variant.name, COT.name), COT, system))
    adds = by_id(page, "differing")
    assert [it.text for it in adds.every("h3")] == ["windy adds", "lined takes away"]
    assert "STOP Pipe, at 21:00: the pipe glows." in adds.text
    unit, windy = {"us": ("degF", "-6.1 (-7.6 to -4.7)"), "si": ("K", "-3.4 (-4.2 to -2.6)")}[system]
    short = by_id(page, "short").text
    assert f"in {unit}: mat alike, windy {windy}, lined" in short and short.endswith(
        "One adds a caution: see below."
    )


def test_of_many_variants_the_best_and_the_worst_are_told_first(tmp_path: Path) -> None:
    found, _ = comparisons.usual(tmp_path)
    order = sorted(found.variants, key=lambda it: -it.values[COT.name])
    text = compare.answer(found, "si")
    assert f": {order[0].name} +" in text and f", {order[-1].name} -" in text
    assert f"The other {len(order) - 2} lie between." in text


def test_usual_changes_come_ranked_and_every_caution_is_told(tmp_path: Path) -> None:
    found, rows = comparisons.usual(tmp_path)
    page = document(compare.page(found, "us", standing(found.scenario), rows, "EUR"))
    told(page, compared_words.told(found, "us", rows, "EUR"))
    names = [
        row for table in by_id(page, "ranking").every("table") for row in cells(table) if row != "change"
    ]
    assert [it.replace("_ ", "_") for it in names] == [f"{it.name} !" if it.grave else it.name for it in rows]
    (grave,) = [it for it in rows if it.grave]
    assert f"{grave.name} adds" in by_id(page, "differing").text
    free = next(it for it in rows if not it.carried and not it.grave)
    assert f"{free.name} buys most of what needs no carrying" in by_id(page, "short").text


@pytest.mark.parametrize("method", ["grid", "morris", "saltelli"])
def test_a_study(tmp_path: Path, in_this_process: None, method: str) -> None:
    it, found, answers, text = studies.study(tmp_path, method)
    page = document(study.page(it.bases, found, answers, text, "us", standing(it.bases[0])))
    words = [line for line in study_words.told(found, answers, "Larch bench", "us") if "..." not in line]
    said(page, [line for line in words if not line.startswith("factor")])
    assert studies.LONG in by_id(page, "output1").text  # in full, whatever room a terminal has
    assert by_id(page, "survey-text").exact == text
    assert by_id(page, "scenario-text").exact == it.bases[0].given
    short = by_id(page, "short").text
    assert "outdoors.shift" in short and "lowest_in_bed at cot" in short
    if method == "grid":
        assert "most: 30.3 degF in the mean with -9 degF, 48.3 degF with 9 degF." in short


def test_a_study_picture_cuts_no_name() -> None:
    room = 200.0
    for text in (studies.LONG, "shelter.openings.ridge_vent_of_the_second_room.area", "x" * 120):
        lines = wrapped(text, 8.0, room)
        assert "".join(lines).replace(" ", "") == text.replace(" ", "") and len(lines) > 1
    assert wrapped("short", 8.0, room) == ["short"] and wrapped("", 8.0, room) == [""]


@pytest.mark.parametrize("name", cards.CARDS)
def test_a_card(name: str) -> None:
    made_up = cards.card(**cards.CARDS[name])
    page = document(card.page(made_up, standing(made_up.scenario)))
    told(page, [line.replace("(invented)", "invented") for line in card_words.lines(made_up)])
    text = page.text
    assert text.index("Carbon monoxide alarm on") < text.index("In short") < text.index("BEFORE BED")
    inside = by_id(page, "card").text
    assert inside.index("CAUTION") < inside.index("Tonight's low")
    assert len(by_id(page, "sheet").every("svg")) == 1
    assert "#sheet" not in [it.attributes["href"] for it in page.every("nav")[0].every("a")]


def test_a_card_without_a_plan_says_so() -> None:
    made_up = cards.card(most=3, stopped=True)
    assert "No plan is given for" in card.answer(made_up)
    assert "Not finished, no row" in card.answer(cards.card(most=3, missing=3))


def test_the_air_where_it_was_asked_for(tmp_path: Path) -> None:
    scenario, dataset = made("fire", tmp_path)
    asked = 4.0 * 3600.0
    page = document(night.page(scenario, dataset, "us", standing(scenario), (), asked))
    air = by_id(page, "air")
    said(air, flows.told(dataset, "us", asked))
    assert air.every("h2")[0].text == "The air at 21:30" and len(air.every("svg")) == 1
    without = document(night.page(scenario, dataset, "us", standing(scenario), ()))
    assert not [it for it in without.every("section") if it.attributes["id"] == "air"]
    assert levels.page  # heights hand it on: tests/verbs/test_heights.py


def test_names_break_behind_their_underscores() -> None:
    assert breakable("raised_floor") == "raised_<wbr>floor" and breakable("a<b") == "a&lt;b"

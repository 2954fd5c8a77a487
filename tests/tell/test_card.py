"""The stoking card in its three forms: cautions first, large enough, nothing over anything else, nothing cut off."""

import re
from dataclasses import replace
from functools import cache
from io import BytesIO
from itertools import combinations

import pytest
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.colors import to_rgb
from matplotlib.text import Text
from PIL import Image

from simtent.assess.cautions import standing
from simtent.assess.short import FIRST, GIVEN, SHORT, short
from simtent.scenario.load import load
from simtent.tell import card_actions, card_cells, card_picture, card_words, frame
from simtent.tell.card_layout import laid_out
from tests.tell.cards import CARDS, card

SHEETS = {
    "paper": (card_picture.on_paper, card_picture.POCKET),
    "phone": (card_picture.on_phone, card_picture.SCREEN),
}


@pytest.fixture(params=CARDS, scope="module")
def name(request):
    return request.param


@cache
def made_up(name):
    return card(**CARDS[name])


@pytest.fixture(scope="module")
def made(name):
    return made_up(name)


@cache
def figure_of(name, sheet):
    figure = SHEETS[sheet][0](made_up(name))
    FigureCanvasAgg(figure).draw()
    return figure


@cache
def texts(name, sheet):
    """Texts of a figure with their boxes [pt] from the lower left corner, of what is drawn."""
    figure = figure_of(name, sheet)
    renderer = figure.canvas.get_renderer()
    point = figure.dpi / 72.0
    found = []
    for it in figure.findobj(Text):
        if it.get_text().strip():
            box = it.get_window_extent(renderer)
            found.append((it, [edge / point for edge in (box.x0, box.y0, box.x1, box.y1)]))
    return found


@pytest.mark.parametrize("on", SHEETS)
def test_no_text_is_smaller_than_its_sheet_says(name, on):
    _, sheet = SHEETS[on]
    sizes = {it.get_text(): it.get_size() for it, _ in texts(name, on)}
    assert min(sizes.values()) >= sheet.small
    times = [size for text, size in sizes.items() if re.match(r"\d\d:\d\d \d\+\d$", text)]
    assert min(times, default=sheet.digits) >= sheet.digits


@pytest.mark.parametrize("on", SHEETS)
def test_no_text_lies_over_another(name, on):
    shrink = 0.5  # of a point: boxes have the room of the tallest sign, and lines stand close
    boxes = texts(name, on)
    for (one, a), (other, b) in combinations(boxes, 2):
        wide = min(a[2], b[2]) - max(a[0], b[0])
        high = min(a[3], b[3]) - max(a[1], b[1])
        low = 0.25 * min(one.get_size(), other.get_size())  # below the baseline, mostly empty
        assert wide <= shrink or high <= low, (one.get_text(), other.get_text())


def test_nothing_is_cut_at_the_frame_of_the_phone(name):
    width, height = (72.0 * it for it in figure_of(name, "phone").get_size_inches())
    margin = card_picture.SCREEN.margin - 0.5
    for it, (left, bottom, right, top) in texts(name, "phone"):
        assert left >= margin and right <= width - margin, it.get_text()
        assert bottom >= 0.0 and top <= height, it.get_text()


def test_nothing_is_cut_at_the_marks_on_paper(name):
    sheet = card_picture.POCKET
    left_edge = 0.5 * (card_picture.PAGE[0] - sheet.width)
    for it, (left, bottom, right, _) in texts(name, "paper"):
        if it.get_text() == card_picture.PRINT:
            continue
        assert (
            left_edge + sheet.margin - 0.5 <= left and right <= left_edge + sheet.width - sheet.margin + 0.5
        )
        assert bottom > 0.0


@pytest.mark.parametrize("name", ["usual", "si", "one low", "broken off", "stopped"])
def test_a_usual_card_fits_one_side_of_a_pocket_and_one_screen(name):
    for _, sheet in SHEETS.values():
        laid = laid_out(made_up(name), sheet)
        assert laid.y + sheet.margin <= sheet.height
    assert card_picture.POCKET.width == pytest.approx(105.0 * 72.0 / 25.4)
    assert card_picture.POCKET.height == pytest.approx(148.0 * 72.0 / 25.4)


def test_cautions_come_first_in_all_forms(name, made):
    cautions = short(made.scenario)
    lines = card_words.lines(made)
    assert [line.removeprefix("CAUTION  ") for line in lines[: len(cautions)]] == list(cautions)
    for on in SHEETS:
        placed = sorted(texts(name, on), key=lambda it: -it[1][3])
        first = " ".join(it.get_text().replace("\u00a0", " ") for it, _ in placed)
        assert first.startswith(" ".join(cautions))


def test_cautions_are_those_that_stand():
    scenario = load("scenarios/alder_ford.toml")
    there = [GIVEN.get(it, it) for it in standing(scenario)]
    assert set(SHORT) <= set(there)
    assert short(scenario) == (*(SHORT[it] for it in there if it in SHORT), FIRST)
    assert "manuals" in FIRST and "codes" in FIRST
    assert "Carbon monoxide" in short(scenario)[0]


def test_no_verdict_and_no_grey(name, made):
    told = "\n".join(card_words.lines(made))
    for on in SHEETS:
        shown = texts(name, on)
        told += "\n".join(it.get_text() for it, _ in shown)
        for it, _ in shown:
            grounds = {"paper": card_picture.PAPER, "phone": card_picture.NIGHT}
            assert contrast(it.get_color(), grounds[on]["ground"]) > 12.0
    assert not re.search(r"\bsafe\b", told, re.IGNORECASE)


def contrast(one, other):
    """By the definition of WCAG 2.1, "contrast ratio" of relative luminances."""

    def luminance(colour):
        parts = [it / 12.92 if it <= 0.04045 else ((it + 0.055) / 1.055) ** 2.4 for it in to_rgb(colour)]
        return 0.2126 * parts[0] + 0.7152 * parts[1] + 0.0722 * parts[2]

    high, low = sorted((luminance(one), luminance(other)), reverse=True)
    return (high + 0.05) / (low + 0.05)


def test_lines_are_no_wider_than_a_terminal(made):
    assert max(map(len, card_words.lines(made))) <= 80


def test_all_rows_stand_in_all_forms(name, made):
    rows = list(card_cells.rows(made))
    told = card_words.lines(made)
    shown = [it.get_text() for it, _ in texts(name, "phone")]
    for row in rows:
        for alarm in row.alarms:
            assert any(f"{alarm.time} {alarm.pieces} ({alarm.cot})" in line for line in told)
            assert f"{alarm.time} {alarm.pieces}" in shown
    assert len(rows) == len(made.rows)


def test_a_stop_gives_no_plan():
    made = made_up("stopped")
    rows = [it for it in card_cells.rows(made) if not it.alarms]
    assert [it.warned for it in rows] == ["NO PLAN. STOP: Pipe"]
    assert len(made.planned) == len(made.rows) - 1


def test_what_was_not_finished_is_named():
    made = made_up("broken off")
    words = "Not finished, no row: 30 windy, 40 calm, 40 windy."
    assert words in card_words.lines(made)
    assert words in " ".join(it.get_text().replace("\u00a0", " ") for it, _ in texts("broken off", "phone"))


def test_misses_say_by_how_much():
    (row, *_) = [it for it in card_cells.rows(made_up("usual")) if it.low == "0"]
    assert row.warned == "MISSES cot 4 degF cold, head under 1 degF hot. WATCH: cool flue, creosote"


def test_each_case_has_one_action():
    cases = {it.when: it.do for it in card_actions.cases(made_up("usual"))}
    assert list(cases) == [
        "BEFORE BED",
        "30 / 60 MIN LATE",
        "COALS LOOK DEAD",
        "COT 5 degF BELOW",
        "BY THE BED",
    ]
    late = cases["30 / 60 MIN LATE"]
    assert "30 min: Same load" in late and "90 % or more" in late  # never more than found
    assert "60 min: Rake coals together, kindling on them" in late and "4 of 10 alarms" in late
    assert cases["COALS LOOK DEAD"].startswith("8 kindling, 4 stick, match, wide/open")
    assert cases["COT 5 degF BELOW"].startswith("One split more")


def test_two_things_at_once_where_one_is_not_enough():
    made = made_up("usual")
    changed = replace(made, colder=replace(made.colder, remedy="both", back=8))
    (told,) = [it.do for it in card_actions.cases(changed) if "BELOW" in it.when]
    assert told.startswith("One split more in this load if it fits") and "30 min earlier" in told
    assert told.endswith("brings it back in all rows.")


def test_by_the_bed_where_every_row_lets_the_fire_die():
    made = made_up("usual")
    evenings = [replace(it, draft=replace(it.draft, puts=it.draft.puts[:1]), wake_ups=0) for it in made.rows]
    changed = replace(made, rows=tuple(evenings), late=(), colder=None)
    (told,) = [it.do for it in card_actions.cases(changed) if it.when == "BY THE BED"]
    assert told.startswith("8 kindling, 4 stick for a relight; no row burns wood after bed")


@pytest.mark.parametrize(
    ("fastest", "slowest", "words"),
    [
        (0.0, 45.0, "Up to 45 min"),
        (10.0, None, "Over 2 h in some rows"),
        (None, None, "Over 2 h to 28 at the cot"),
    ],
)
def test_how_long_from_the_match(fastest, slowest, words):
    made = made_up("usual")
    changed = replace(made, dead=replace(made.dead, fastest=fastest, slowest=slowest))
    (told,) = [it.do for it in card_actions.cases(changed) if it.when == "COALS LOOK DEAD"]
    assert words in told
    (none,) = [it.do for it in card_actions.cases(replace(made, dead=None)) if it.when == "COALS LOOK DEAD"]
    assert "live until rise" in none


def test_pile_by_the_bed_is_the_sum_of_the_nights_loads():
    made = made_up("usual")
    heaviest = made.heaviest
    puts = [dict(put.pieces) for put in heaviest.draft.puts if put.at >= made.choices.at_bed]
    assert made.staged(heaviest) == {
        kind: sum(it.get(kind, 0) for it in puts)
        for kind in dict.fromkeys(kind for it in puts for kind in it)
    }
    assert heaviest.weather.low == min(row.weather.low for row in made.rows)


def test_files_say_whose_they_are(tmp_path):
    made = made_up("usual")
    paper, phone = tmp_path / "card.pdf", tmp_path / "card.png"
    paper.write_bytes(card_picture.pdf(made))
    phone.write_bytes(card_picture.png(made))
    assert frame.scenario_of_sheet(paper) == frame.scenario_of(phone) == "Alder ford"
    assert paper.read_bytes() == card_picture.pdf(made)  # no dates inside
    assert len(re.findall(rb"/Type /Page\b", paper.read_bytes())) == 1
    paper.write_bytes(b"%PDF-1.4 somebody's")
    assert frame.scenario_of_sheet(paper) is None
    with Image.open(BytesIO(phone.read_bytes())) as image:
        assert image.width == 1080 and image.height == 2340


def test_a_page_fits_a4_and_letter():
    width, height = (it * 25.4 / 72.0 for it in card_picture.PAGE)
    assert width <= min(210.0, 215.9) + 1e-9 and height <= min(297.0, 279.4) + 1e-9


def test_findings_of_rows_are_told_once_with_their_rows():
    made = made_up("stopped")
    (told,) = card_words.found(made, ())
    assert (told.where, told.when, told.level) == ("Pipe", "in 10 windy", "stop")
    assert card_words.found(made, (told, *made.rows[3].findings)) == []

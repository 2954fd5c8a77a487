"""Lines for 80 columns in a narrower terminal: sentences as if wrapped there, tables closed, no word lost."""

import re
import textwrap
from collections import Counter
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from simtent.tell import summary, table
from simtent.tell.narrow import narrowed
from simtent.tell.words import TIED, paragraph, tied
from tests import fake_fire

README = Path(__file__).parents[2] / "README.md"
WORDS = st.lists(st.text("abcdefg", min_size=1, max_size=12), min_size=1, max_size=60).map(" ".join)
INDENTS = st.sampled_from([("", ""), ("    ", "    "), ("- ", "  "), ("-> ", "   "), ("NOTE     ", " " * 9)])
TABLE = """\
time   outdoors  floor    cot   heat   wood  coals
           degF   degF   degF  Btu/h     lb     lb
17:30        29     28     29  16360    3.4   0.00  load 3.4 lb lit by hand
                                                    and a lever
18:00        29     34     37  14060    1.0   0.23
        other peaks at head: 87 degF at 02:10, and what is said beneath a row"""


def wrapped(text: str, columns: int, first: str, rest: str) -> list[str]:
    made = textwrap.wrap(
        tied(text), columns, initial_indent=first, subsequent_indent=rest,
        break_long_words=False, break_on_hyphens=False,
    )  # fmt: skip
    return [line.replace(TIED, " ") for line in made]


@given(WORDS, INDENTS, st.integers(60, 79))
def test_a_sentence_is_as_if_wrapped_there(text: str, indents: tuple[str, str], columns: int) -> None:
    assert narrowed(paragraph(text, *indents), columns) == wrapped(text, columns, *indents)


def test_what_fits_stays() -> None:
    assert narrowed(TABLE.splitlines()[:4], 80) == TABLE.splitlines()[:4]


@pytest.mark.parametrize("columns", [60, 66, 72])
def test_a_table_keeps_its_columns(columns: int) -> None:
    shown = narrowed(TABLE.splitlines(), columns)
    assert max(map(len, shown)) <= columns
    rows = [line for line in shown if re.match(r"time|17:30|18:00", line)]
    ends = [[found.end() for found in re.finditer(r"\S+", row)][1:7] for row in rows]
    assert ends[0] == ends[1] == ends[2]
    start = rows[1].index("load 3.4")
    below = shown[shown.index(rows[1]) + 1]
    assert len(below) - len(below.lstrip()) == start
    beneath = shown[[line.startswith("        other") for line in shown].index(True) :]
    assert " ".join(beneath).split() == TABLE.splitlines()[-1].split()


def test_items_of_a_list_stay_apart() -> None:
    long = 'logger.csv: Decimal commas in column "T4" of the one logger read as points: 901.'
    items = [long, " ".join(["aaaa"] * 14), long, "ccc " * 40]
    lines = [line for item in items for line in paragraph(item, first="  ", rest="    ")]
    assert len(lines[2]) + len(" logger.csv:") > 80  # or else its end could be seen
    alone = [
        line for item, rest in zip(items, ["    ", "  ", *["    "] * 2], strict=True)
        for line in wrapped(item, 60, "  ", rest)
    ]  # fmt: skip
    assert narrowed(lines, 60) == alone


def test_a_whole_night(tmp_path: Path) -> None:
    scenario, dataset = fake_fire.scenario(tmp_path), fake_fire.night(5.0)
    lines = [*table.hourly(scenario, dataset, "us"), "", *summary.summary(scenario, dataset, "us")]
    for columns in (60, 70):
        shown = narrowed(lines, columns)
        assert max(map(len, shown)) <= columns
        assert Counter(" ".join(shown).split()) == Counter(" ".join(lines).split())


def test_answers_of_the_readme() -> None:
    answers = re.findall(r"```(?:text)?\n(.*?)```", README.read_text(encoding="utf-8"), re.DOTALL)
    assert len(answers) > 10
    for answer in answers:
        lines = answer.splitlines()
        if max(map(len, lines)) <= 80:
            assert Counter("\n".join(narrowed(lines, 60)).split()) == Counter(answer.split())

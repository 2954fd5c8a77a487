"""Pages of every verb in a real browser; what is asked of each stands in tests/checked_page.py.

Chromium is asked over its debugging pipe (tests/browser.py), and started once for all of them; pages are made of
answers that nobody had to simulate.
"""

import re
from pathlib import Path

import pytest

from tests import browser
from tests.checked_page import wrong
from tests.tell.cards import CARDS
from tests.tell.every_page import METHODS, every
from tests.tell.test_page import KINDS

NAMES = (
    *KINDS, "log", "heights", "stoke", "stove", "wood", "compare", "usual", *METHODS, *(f"card, {it}" for it in CARDS),
)  # fmt: skip
pytestmark = [
    pytest.mark.slow,
    pytest.mark.skipif(browser.program() is None, reason="no Chromium: apt-get install chromium"),
]


@pytest.fixture(scope="module")
def pages(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Path]:
    folder = tmp_path_factory.mktemp("pages")
    found = {}
    with pytest.MonkeyPatch.context() as patch:
        for name, make in every(folder, patch):
            found[name] = folder / f"{name.replace(', ', '_').replace(' ', '_')}.html"
            found[name].write_bytes(make())
    return found


@pytest.mark.parametrize("name", NAMES)
def test_nothing_is_wrong_with_a_page(
    chromium: browser.Browser, axe: str, pages: dict[str, Path], name: str
) -> None:
    assert pages[name].stat().st_size < 2e6
    assert wrong(pages[name], chromium, axe) == {}
    if not axe:
        pytest.skip("asked all but accessibility: npm could not fetch the checker")


def test_every_page_is_there(pages: dict[str, Path]) -> None:
    assert tuple(pages) == NAMES


@pytest.mark.parametrize("name", CARDS)
def test_a_card_prints_as_the_card(chromium: browser.Browser, pages: dict[str, Path], name: str) -> None:
    """One sheet, at its size: 105 mm between the cut marks."""
    chromium.open(pages[f"card, {name}"], 794)
    assert len(re.findall(rb"/Type\s*/Page\b", chromium.printed())) == 1
    chromium.call("Emulation.setEmulatedMedia", media="print")
    box = "(it => [it.width, it.left])(document.querySelector('#sheet svg').getBoundingClientRect())"
    width, left = chromium.ask(box)
    assert width == pytest.approx(210.0 / 25.4 * 96.0, abs=0.1) and left == pytest.approx(0.0, abs=0.6)
    shown = (
        "[...document.querySelectorAll('body *')].filter(it => it.innerText?.trim() && it.checkVisibility())"
    )
    assert set(chromium.ask(f"{shown}.map(it => it.id || it.tagName)")) <= {"MAIN", "sheet", "FIGURE"}
    chromium.call("Emulation.setEmulatedMedia", media="")


def test_sliders_change_the_numbers_by_keys(chromium: browser.Browser, pages: dict[str, Path]) -> None:
    chromium.open(pages["heat"])
    said = "document.getElementById('profile-said').textContent"
    line = "document.getElementById('profile-air').getAttribute('points')"
    first, drawn = chromium.ask(said), chromium.ask(line)
    chromium.ask("document.getElementById('profile-time').focus()")
    chromium.press("ArrowLeft", 37)
    second = chromium.ask(said)
    assert second != first and chromium.ask(line) != drawn
    chromium.ask("document.getElementById('profile-height').focus()")
    chromium.press("ArrowRight", 39)
    third = chromium.ask(said)
    assert third.split("At ")[0] == second.split("At ")[0] and third != second
    chromium.press("ArrowLeft", 37)
    chromium.ask("document.getElementById('profile-time').focus()")
    chromium.press("ArrowRight", 39)
    assert chromium.ask(said) == first  # the script says what stood there before it ran
    assert chromium.said == []


def test_the_script_tells_every_time_as_the_page_did(
    chromium: browser.Browser, pages: dict[str, Path]
) -> None:
    """At each step the numbers on the page are those of the data, to the last digit."""
    chromium.open(pages["heat"])
    wrong = chromium.ask("""(() => {
        const it = JSON.parse(document.getElementById('profile-data').textContent), wrong = [];
        const time = document.getElementById('profile-time'), height = document.getElementById('profile-height');
        for (let k = 0; k < it.clock.length; k++) {
            time.value = k; height.value = k % it.heights.length; time.dispatchEvent(new Event('input'));
            const text = document.getElementById('profile-said').textContent;
            const air = it.air[k][k % it.heights.length];
            const shown = parseFloat(text.match(/air (-?[\\d.]+)/)[1]);
            if (!text.startsWith(it.clock[k] + ':') || Math.abs(shown - air) > 0.0500001) wrong.push(text);
        }
        return wrong; })()""")
    assert wrong == []


def test_the_text_is_copied_by_a_button(chromium: browser.Browser, pages: dict[str, Path]) -> None:
    chromium.open(pages["fire"])
    chromium.ask("document.querySelector('.copies').focus()")
    chromium.press("Enter", 13)
    chromium.ask("document.querySelector('.copies').click()")
    assert chromium.ask("getSelection().toString().startsWith('format = 1')")
    assert re.match(
        "Copied|The text is selected", chromium.ask("document.querySelector('.copies ~ output').textContent")
    )

"""Pages in a real browser: quiet, without a network, wide enough for a phone, printed whole, open to everyone.

Chromium is asked over its debugging pipe (tests/browser.py). The rules of accessibility are those of axe-core, an
open-source checker of the W3C's guidelines (WCAG), fetched from npm at a stated version. Both are skipped with a
reason where they are not to be had.
"""

import re
import shutil
import subprocess
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests import browser
from tests.tell.test_page import KINDS, made, page_of
from tests.tell.test_page_verbs import ford_page

AXE = "axe-core@4.14.1"
PHONES = (360, 390)
EVERY = (*KINDS, "log")  # the last is made of a terminal's lines
pytestmark = [
    pytest.mark.slow,
    pytest.mark.skipif(browser.program() is None, reason="no Chromium: apt-get install chromium"),
]
CUT = """[...document.querySelectorAll('body *')]
    .filter(it => it.getClientRects().length && it.getBoundingClientRect().right > innerWidth + 0.5)
    .map(it => it.tagName + '.' + it.className.toString())"""
SMALL = """[...document.querySelectorAll('body *')]
    .filter(it => it.getClientRects().length
        && [...it.childNodes].some(part => part.nodeType === 3 && part.textContent.trim()))
    .map(it => {
        const svg = it.closest('svg');
        const scale = svg ? svg.getBoundingClientRect().width / svg.viewBox.baseVal.width : 1;
        return [parseFloat(getComputedStyle(it).fontSize) * scale, it.tagName, it.textContent.slice(0, 30)];
    }).filter(it => it[0] < 11.99)"""


@pytest.fixture(scope="module")
def chromium() -> Iterator[browser.Browser]:
    with browser.browser() as it:
        yield it


@pytest.fixture(scope="module")
def pages(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Path]:
    folder = tmp_path_factory.mktemp("pages")
    found = {}
    for kind in KINDS:
        found[kind] = folder / f"{kind}.html"
        found[kind].write_bytes(page_of(*made(kind, folder)))
    found["log"] = folder / "log.html"
    found["log"].write_bytes(ford_page())
    return found


@pytest.fixture(scope="module")
def axe(tmp_path_factory: pytest.TempPathFactory) -> str:
    """The checker's source."""
    npm = shutil.which("npm")
    if npm is None:
        pytest.skip("no npm to fetch the accessibility checker with")
    folder = tmp_path_factory.mktemp("axe")
    command = [npm, "install", "--no-audit", "--no-fund", "--ignore-scripts", "--prefix", str(folder), AXE]
    done = subprocess.run(command, capture_output=True, text=True, check=False, timeout=120)
    if done.returncode:
        pytest.skip(f"npm could not fetch {AXE}: {done.stderr[-200:]}")
    return (folder / "node_modules" / "axe-core" / "axe.min.js").read_text(encoding="utf-8")


@pytest.mark.parametrize("kind", EVERY)
@pytest.mark.parametrize("width", [*PHONES, 1200])
def test_quiet_and_nothing_beyond_the_edge(
    chromium: browser.Browser, pages: dict[str, Path], kind: str, width: int
) -> None:
    chromium.open(pages[kind], width)
    assert chromium.ask("document.documentElement.scrollWidth") == width
    assert chromium.ask(CUT) == []
    assert chromium.ask(SMALL) == []
    assert chromium.said == []
    assert chromium.asked == [pages[kind].as_uri()]


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


@pytest.mark.parametrize("kind", KINDS)
def test_prints_whole(chromium: browser.Browser, pages: dict[str, Path], kind: str) -> None:
    """No picture is higher than a page, and nothing that is folded on the screen stays so on paper."""
    chromium.open(pages[kind], 794)
    printed = chromium.printed()
    assert printed.startswith(b"%PDF")
    assert 3 <= len(re.findall(rb"/Type\s*/Page\b", printed)) <= 16
    chromium.call("Emulation.setEmulatedMedia", media="print")
    page = 267.0 / 25.4 * 96.0  # CSS pixels of A4 less 15 mm at either end
    heights = chromium.ask(
        "[...document.querySelectorAll('svg')].map(it => it.getBoundingClientRect().height)"
    )
    assert heights and max(heights) < page
    kept = "[...document.querySelectorAll('svg')].every(it => getComputedStyle(it).breakInside === 'avoid')"
    assert chromium.ask(kept)
    folded = "[...document.querySelectorAll('details > p')].filter(it => !it.checkVisibility()).length"
    assert chromium.ask(folded) == 0
    chromium.call("Emulation.setEmulatedMedia", media="")


@pytest.mark.parametrize("dark", [False, True], ids=["light", "dark"])
@pytest.mark.parametrize("kind", EVERY)
def test_open_to_everyone(
    chromium: browser.Browser, pages: dict[str, Path], axe: str, kind: str, dark: bool
) -> None:
    chromium.open(pages[kind], dark=dark)
    chromium.call("Page.setBypassCSP", enabled=True)
    chromium.ask(f"{axe}\n;true")
    found = chromium.ask(
        "axe.run().then(it => it.violations.map(one => one.id + ': ' + one.nodes.map(n => n.html)))"
    )
    assert found == []

"""What every page is asked in a real browser: quiet, without a network, wide enough for a phone, printed whole, open.

The rules of accessibility are those of axe-core, an open-source checker of the W3C's guidelines (WCAG), fetched from
npm at a stated version; without npm the pages are asked everything else.
"""

import re
import shutil
import subprocess
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from tests import browser

AXE = "axe-core@4.14.1"
PHONE, DESK, PAPER = 360, 1200, 794
SHEET = 267.0 / 25.4 * 96.0  # CSS pixels of A4 less 15 mm at either end
LEAST = 11.99  # CSS pixels of the smallest letters
MOST_SHEETS = 16
CUT = """[...document.querySelectorAll('body *')]
    .filter(it => it.getClientRects().length && it.getBoundingClientRect().right > innerWidth + 0.5)
    .map(it => it.tagName + '.' + it.className.toString())"""
SMALL = f"""[...document.querySelectorAll('body *')]
    .filter(it => it.getClientRects().length
        && [...it.childNodes].some(part => part.nodeType === 3 && part.textContent.trim()))
    .map(it => {{
        const svg = it.closest('svg');
        const scale = svg ? svg.getBoundingClientRect().width / svg.viewBox.baseVal.width : 1;
        return [parseFloat(getComputedStyle(it).fontSize) * scale, it.tagName, it.textContent.slice(0, 30)];
    }}).filter(it => it[0] < {LEAST})"""
# A drawn letter is an outline of size 100, scaled.
DRAWN = f"""[...document.querySelectorAll('svg.drawn')].flatMap(svg => {{
    const scale = svg.getBoundingClientRect().width / svg.viewBox.baseVal.width;
    return [...svg.querySelectorAll('g[transform*="scale("]')]
        .map(it => [100 * scale * parseFloat(it.getAttribute('transform').match(/scale\\(([\\d.]+)/)[1]),
            it.closest('g[id]')?.id]);
}}).filter(it => it[0] > 0 && it[0] < {LEAST})"""
HIGH = "[...document.querySelectorAll('svg')].map(it => it.getBoundingClientRect().height)"
BROKEN = """[...document.querySelectorAll('figure, svg')]
    .filter(it => it.getClientRects().length && getComputedStyle(it).breakInside !== 'avoid').length"""
FOLDED = """[...document.querySelectorAll('details')]
    .filter(it => it.checkVisibility() && !it.querySelector('p').checkVisibility()).length"""
OPEN = "axe.run(%s).then(it => it.violations.map(one => one.id + ': ' + one.nodes.map(n => n.html)))"
COLOURS = "{runOnly: ['color-contrast', 'link-in-text-block']}"
SAID = "document.getElementById('profile-said').textContent"
KEYS = (("ArrowLeft", 37), ("ArrowRight", 39))


@pytest.fixture(scope="session")
def chromium() -> Iterator[browser.Browser]:
    """One browser for all pages."""
    if browser.program() is None:
        pytest.skip("no Chromium: apt-get install chromium")
    with browser.browser() as it:
        yield it


@pytest.fixture(scope="session")
def axe(tmp_path_factory: pytest.TempPathFactory) -> str:
    """The checker's source; empty where it is not to be had."""
    npm = shutil.which("npm")
    if npm is None:
        return ""
    folder = tmp_path_factory.mktemp("axe")
    command = [npm, "install", "--no-audit", "--no-fund", "--ignore-scripts", "--prefix", str(folder), AXE]
    done = subprocess.run(command, capture_output=True, text=True, check=False, timeout=120)
    if done.returncode:
        return ""
    return (folder / "node_modules" / "axe-core" / "axe.min.js").read_text(encoding="utf-8")


def wrong(page: Path, chromium: browser.Browser, axe: str) -> dict[str, Any]:
    """All that is wrong with a page, by what was asked; the page is loaded once."""
    chromium.open(page, PHONE)
    ask = chromium.ask
    found: dict[str, Any] = {
        "wider than a phone": ask("document.documentElement.scrollWidth") - PHONE,
        "beyond a phone's edge": ask(CUT),
        "small letters": ask(SMALL),
        "small drawn letters": ask(DRAWN)[:3],
    }
    if axe:
        chromium.call("Page.setBypassCSP", enabled=True)
        ask(f"{axe}\n;true")
        found["closed to somebody"] = ask(OPEN % "")
        chromium.scheme(dark=True)
        found["closed to somebody in the dark"] = ask(OPEN % COLOURS)
        chromium.scheme(dark=False)
        chromium.call("Page.setBypassCSP", enabled=False)
    found["sliders that move nothing"] = _idle(chromium)
    chromium.widened(DESK)
    found["wider than a desk"] = ask("document.documentElement.scrollWidth") - DESK
    found["beyond a desk's edge"] = ask(CUT)
    chromium.widened(PAPER)
    chromium.call("Emulation.setEmulatedMedia", media="print")
    found["higher than a sheet"] = [height for height in ask(HIGH) if height > SHEET]
    found["torn between sheets"] = ask(BROKEN)
    found["wider than a sheet"] = max(ask("document.documentElement.scrollWidth") - PAPER, 0)
    sheets = len(re.findall(rb"/Type\s*/Page\b", chromium.printed()))
    found["sheets"] = 0 if 1 <= sheets <= MOST_SHEETS else sheets
    found["folded on paper"] = ask(FOLDED)
    chromium.call("Emulation.setEmulatedMedia", media="")
    found["said"] = chromium.said
    found["asked of the network"] = [it for it in chromium.asked if it != page.resolve().as_uri()]
    return {what: it for what, it in found.items() if it}


def _idle(chromium: browser.Browser) -> list[str]:
    """Sliders that a key moves without another number on the page."""
    idle = []
    for name in chromium.ask("[...document.querySelectorAll('input[type=range]')].map(it => it.id)"):
        before = chromium.ask(SAID)
        chromium.ask(f"document.getElementById('{name}').focus()")
        seen = set()
        for key, code in KEYS:  # one of them moves it wherever it stands
            chromium.press(key, code)
            seen.add(chromium.ask(SAID))
        if seen == {before}:
            idle.append(name)
    return idle

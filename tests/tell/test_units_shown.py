"""No text of a night shows the other system's units: words, tables, findings, cautions, pictures, page.

Nights are made of formulas; nothing is simulated. Quoted as published: what a source, a limit or a label itself says.
"""

import re
from pathlib import Path

import pytest
from matplotlib import text as matplotlib_text
from matplotlib.figure import Figure

from simtent.assess.cautions import standing
from simtent.assess.judge import assess
from simtent.tell import figure, flows, heights, heights_picture, summary, table
from simtent.tell.cautions import block
from simtent.tell.compared import Comparison, Other
from simtent.tell.heights_vent import draw as draw_vent
from simtent.tell.page import frame as page_frame
from simtent.tell.page import night as night_page
from simtent.units import System
from tests import fake_fire
from tests.tell import heights_nights
from tests.tell.test_heights import BALANCES

# Units that only the other system has. Seconds, minutes, hours, per cent, ppm, clo belong to both.
SI = r"degC|K|kg|g|g/s|kg/s|g/h|mm|cm|m|km|m2|cm2|mm2|m3|L|L/h|m/s|km/h|W|kW|kWh|kilowatt|MJ|J|Pa|g/m2|kW/m2|W/m2|m3/h"
US = (
    r"degF|lb|oz|in|ft|in2|ft2|ft3|gal|mph|Btu|kBtu|Btu/h|Btu/\(h ft2\)|cfm|scfm|in WC|oz/yd2|oz/h|lb/h|ft3/h"
)
OTHER: dict[System, re.Pattern[str]] = {
    system: re.compile(rf"(?<![\w.])(?:\d[\d.]*|\d+/\d+) ?({units})(?![\w/])", re.ASCII)
    for system, units in (("us", SI), ("si", US))
}
# As published, with their own units: limits of carbon monoxide at work and outdoors, and gains of bags in a study.
QUOTED = ("35 mg/m3", "(about 31 ppm at 25 degC)", "10 mg/m3", "92 to 800 g")


def foreign(text: str, system: System) -> list[str]:
    """Quantities in the other system's units."""
    plain = " ".join(text.split())
    for quoted in QUOTED:
        plain = plain.replace(quoted, "")
    return [found.group() for found in OTHER[system].finditer(plain) if not _an_hour(plain, found)]


def _an_hour(plain: str, found: re.Match[str]) -> bool:
    """ "6 in 10 nights" and "3 in all": words, not inches."""
    return found.group(1) == "in" and re.match(r" (?:\d+|all|the|a|bed)\b", plain[found.end() :]) is not None


def texts_of(drawn: Figure) -> str:
    return "\n".join(it.get_text() for it in drawn.findobj(matplotlib_text.Text) if it.get_text())


def of_fire(folder: Path, system: System) -> dict[str, str]:
    scenario = fake_fire.scenario(folder, f"units={system}")
    dataset = fake_fire.night(units=system)
    found = assess(scenario, dataset)
    page = night_page.page(scenario, dataset, system, standing(scenario), found)
    return {
        "cautions": "\n".join(block(standing(scenario))),
        "findings": "\n".join(block(found)),
        "hours": "\n".join(table.hourly(scenario, dataset, system)),
        "summary": "\n".join(summary.summary(scenario, dataset, system)),
        "night picture": texts_of(figure.draw(scenario, dataset, system)),
        "air picture": texts_of(flows.draw(scenario, dataset, system, 5.0 * 3600.0)),
        "page": re.sub(
            r"<(style|script).*?</\1>|<[^>]*>|[A-Za-z]+ = [^\n]*",
            " ",
            page_frame.to_bytes(page).decode(),
            flags=re.S,
        ),
    }


def of_heights(folder: Path, system: System) -> dict[str, str]:
    scenario = heights_nights.scenario(folder, f"units={system}")
    dataset = heights_nights.night(units=system)
    others = tuple(Other(f"{share:g} %", scenario, dataset, share, share == 0.0) for share in (0.0, 1.0))
    comparison = Comparison("ridge vent", others)
    moments = heights.usual_moments(scenario, dataset)
    return {
        "findings": "\n".join(block(assess(scenario, dataset))),
        "levels": "\n".join(heights.levels_table(scenario, dataset, system)),
        "below": "\n".join(heights.below_levels(scenario, dataset, BALANCES, "", (comparison,), system)),
        "picture": texts_of(heights_picture.draw(scenario, dataset, system, moments, (0.7,))),
        "vent": texts_of(draw_vent(comparison, system)),
    }


@pytest.mark.parametrize("system", ["us", "si"])
@pytest.mark.parametrize("of", [of_fire, of_heights])
def test_no_unit_of_the_other_system(of, system, tmp_path):
    shown = of(tmp_path, system)
    assert {name: found for name, text in shown.items() if (found := foreign(text, system))} == {}

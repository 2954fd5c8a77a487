"""What the user's own thermometer at the pipe showed, against what practice calls usual."""

from collections.abc import Iterator

from simtent.assess import kinds
from simtent.assess.findings import Finding, Level
from simtent.scenario.instruments import USUAL, Where
from simtent.scenario.scenario import Scenario
from simtent.units import show

# degC: usual from, usual to, too hot; common practice, no source.
BANDS: dict[Where, tuple[float, float, float]] = {
    "surface": (*USUAL["surface"], 260.0),
    "gas": (*USUAL["gas"], 482.0),
}
WORDS: dict[Where, str] = {
    "surface": "the pipe's surface, half a metre above the stove",
    "gas": "a probe in the flue gas",
}
ZERO_CELSIUS = 273.15


def instrument_findings(scenario: Scenario) -> Iterator[Finding]:
    """One on the pipe's thermometer, if it was read."""
    reading = scenario.instruments.flue
    if reading is None:
        return
    low, high, hottest = (end + ZERO_CELSIUS for end in BANDS[reading.where])
    level: Level = (
        "stop" if reading.kelvin > hottest else "caution" if not low <= reading.kelvin <= high else "note"
    )
    if reading.kelvin > high:
        what, todo = "hot: the pipe may glow, and soot in it may burn", "Close the air, leave the door shut."
    elif reading.kelvin < low:
        what, todo = "cool: creosote settles while wood smokes", "More air, drier wood, an hour a day hot."
    else:
        what, todo = (
            "as practice calls usual, which says nothing about soot, cloth or air",
            "Look at the pipe all the same.",
        )
    ends = [show(kelvin, "temperature", scenario.units, 0) for kelvin in (low, high, hottest)]
    yield kinds.PIPE_READ.found(
        level=level,
        what=f"{WORDS[reading.where]} was {what}",
        where="pipe",
        number=show(reading.kelvin, "temperature", scenario.units, 0),
        limit=f"usual {ends[0]} to {ends[1]}, not above {ends[2]} for long",
        todo=f"{todo} The makers' manuals, local codes and licensed practice come before this.",
    )

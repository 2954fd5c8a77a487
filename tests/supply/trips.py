"""Trips for tests: a small camp, invented, and quick to simulate."""

from pathlib import Path

from simtent.scenario.load import load
from simtent.scenario.scenario import Scenario
from tests.planning.camps import THREE_METRES

NIGHTS = """
[carry]
sled_load = "25 kg"

[[trip]]
evening = "2031-02-01"

[[trip]]
evening = "2031-02-02"
low = "-24 degC"
high = "-12 degC"
wind = "3 m/s"

[[trip]]
evening = "2031-02-03"
low = "-6 degC"
high = "1 degC"
"""
NIGHT = """
[[stoking.load]]
at = "21:00"
pieces = { split = 3 }
air = [{ for = "10 min", mark = "open" }, { mark = "half" }]
"""
RULE = """
[[stoking.rule]]
from = "21:30"
to = "06:30"
when = { level = "cot", below = "8 degC" }
load = { split = 2 }
air = [{ for = "10 min", mark = "open" }, { mark = "half" }]
"""
TEXT = THREE_METRES + NIGHT + RULE + NIGHTS
SHORT = {"model.layers": 5}


def trip(folder: Path, text: str = TEXT, **changes: object) -> Scenario:
    """The camp with its trip, of few layers; keys replaced: dots are written as two underscores."""
    path = folder / "trip.toml"
    path.write_text(text, encoding="utf-8")
    return load(path).replace(SHORT | {key.replace("__", "."): it for key, it in changes.items()})

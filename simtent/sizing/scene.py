"""The shelter of a scenario under steady weather: what a design night is simulated with."""

from collections.abc import Callable, Mapping, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from typing import Any, TypeVar

from simtent.driver import drive
from simtent.network.solve import Accuracy
from simtent.run import Run
from simtent.scenario.scenario import Scenario
from simtent.sizing.classes import sized

FEW_LAYERS = 12
"""Of 20: the steady cot misses those by 0.2 K, with 8 layers by 0.8 K, for a fifth of the time less."""

ANY = 0.03  # m3, of the stove that stands in until another is asked for
QUICK = Accuracy("NDF", 1e-5, 1e-3)
CORES = 2
PIECE, KINDLING = "piece", "kindling"
SPECIES, MOISTURE = (
    "softwood",
    "20 % wet",
)  # where none is named; moisture of stove tests: CSA B415.1, second-hand
USUAL_PIECE = 0.09  # m thick, where no wood is given; common practice, no source

T = TypeVar("T")
U = TypeVar("U")


@dataclass(frozen=True)
class Scene:
    """A shelter to put stoves into.

    given  the scenario without what ties it to its own night; it has a stove with a token fire, its own or any
    thick  thickness of the thickest pieces at hand [m]
    own    whether its stove is the scenario's own
    wish   lowest wanted at the cot [K]
    """

    given: Scenario
    thick: float
    own: bool
    wish: float


def stripped(scenario: Scenario) -> Scene:
    """The scenario without doors by the clock, bed and rise, sun, damp and questions, under its wish for the cot."""
    assert scenario.shelter is not None and scenario.wish.cot_at_least is not None
    away = ["wish.bed", "wish.rise", "damp", "what_if", "instruments", "log", "fit", "fitted"]
    if scenario.site.latitude is not None:
        away += ["site.latitude", "site.solar_noon"]
    if scenario.shelter.openings.door is not None:
        away.append("shelter.openings.door.open")
    few = min(FEW_LAYERS, scenario.model.layers)
    changes = {**dict.fromkeys(away, "none"), "model.layers": few, **_token_fire(scenario)}
    if scenario.stove is None:
        changes |= {"heat": "none", **sized(ANY, scenario)}
    pieces = scenario.wood.pieces.values() if scenario.wood else ()
    thick = max((piece.thick for piece in pieces), default=USUAL_PIECE)
    return Scene(scenario.replace(changes), thick, scenario.stove is not None, scenario.wish.cot_at_least)


def _token_fire(scenario: Scenario) -> dict[str, Any]:
    """Wood and a load that any firebox takes, in place of the scenario's: each night brings its own."""
    token = {"thick": "1 cm", "long": "5 cm"}
    load = [{"at": scenario.night.begin, "pieces": {PIECE: "10 g"}}]
    if scenario.stove is None or scenario.wood is None:
        wood = {"species": SPECIES, "moisture": MOISTURE, "pieces": {PIECE: token}}
        return {"wood": wood, "stoking": {"air": "open", "load": load}}
    away = {f"wood.pieces.{name}": "none" for name in scenario.wood.pieces if name != PIECE}
    fire = dict.fromkeys(("stoking.set", "stoking.rule"), "none")
    return {**away, f"wood.pieces.{PIECE}": {**token, "mass": "none"}, "stoking.load": load, **fire}


def weather(air: float, wind: float, hours: float, given: Scenario) -> dict[str, Any]:
    """What lets a night last so many hours [h] under steady air [K] and wind [m/s], begun in a shelter that is warm."""
    hour, minute, *_ = given.night.begin.split(":")
    end = (int(hour) * 60 + int(minute) + round(60.0 * hours)) % 1440
    start = given.wish.cot_at_least
    return {
        **dict.fromkeys(("outdoors.high", "outdoors.low", "outdoors.file"), "none"),
        "outdoors.steady": f"{air!r} K",
        "outdoors.shift": "0 K",
        "outdoors.wind": f"{wind!r} m/s",
        "night.zone": "UTC",  # where no clock is changed tonight
        "night.begin": f"{hour}:{minute}",
        "night.end": f"{end // 60:02d}:{end % 60:02d}",
        "night.inside_at_start": f"{air if start is None else start!r} K",
    }


def solved(given: Scenario, changes: Mapping[str, Any]) -> Run:
    """One night of it, quickly."""
    return drive(given.replace(dict(changes)), accuracy=QUICK)


def side_by_side(one: Callable[[T], U], those: Sequence[T]) -> list[U]:
    """What `one` makes of each, two at a time: the driver leaves Python alone while it solves."""
    threads = ThreadPoolExecutor(CORES)
    try:
        return list(threads.map(one, those))
    finally:  # whoever interrupts waits for the nights at hand, not for all
        threads.shutdown(cancel_futures=True)

"""A page of every verb and of what may be asked of it, from answers that nobody had to simulate."""

from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from simtent.assess.cautions import standing
from simtent.balance import Balances, Share
from simtent.studies import batch, worker
from simtent.supply import supplied
from simtent.tell import heights
from simtent.tell.compared import Comparison, Other
from simtent.tell.page import card, compare, frame, levels, night, stoke, stove, study, wood
from tests.sizing import camps
from tests.supply.test_supplied import burns
from tests.supply.trips import trip
from tests.tell import cards, comparisons, heights_nights, plans, studies
from tests.tell.test_page import KINDS, made
from tests.tell.test_page_verbs import ford_page

SHARES = (Share("walls", -120.0), Share("stove and pipe", 200.0))
SIZES = [camps.likened(12, "too small", coldest=-2.0, air=-3.0), camps.likened(27), camps.likened(40)]
METHODS = ("grid", "morris", "saltelli")


def every(folder: Path, patch: pytest.MonkeyPatch) -> Iterator[tuple[str, Callable[[], bytes]]]:
    """Names, and what makes the page, each in a folder of its own."""
    for kind in KINDS:
        yield kind, lambda kind=kind: _night(kind, folder)
    yield "log", ford_page
    yield "heights", lambda: _heights(folder)
    yield "stoke", lambda: _stoke(folder)
    yield "stove", lambda: _stove(folder)
    yield "wood", lambda: _wood(folder, patch)
    yield "compare", lambda: _compare(folder)
    yield "usual", lambda: _usual(folder)
    for method in METHODS:
        yield method, lambda method=method: _study(folder, method, patch)
    for name in cards.CARDS:
        yield f"card, {name}", lambda name=name: _card(name)


def _night(kind: str, folder: Path) -> bytes:
    """With the air at a moment, where there is a room."""
    scenario, dataset = made(kind, folder)
    air_at = None if scenario.shelter is None else 4.0 * 3600.0
    return frame.to_bytes(night.page(scenario, dataset, "us", standing(scenario), (), air_at))


def _heights(folder: Path) -> bytes:
    """With cots and vents compared, and with the air at a moment."""
    scenario, dataset = heights_nights.scenario(folder), heights_nights.night()
    found = Balances(3600.0, 0.3, SHARES, SHARES, 80.0, 80.0)
    cots = (Other("16 in", scenario, dataset, 0.4, given=True), Other("28 in", scenario, dataset, 0.7))
    vents = tuple(
        Other(f"{share} %", scenario, dataset, share / 100.0, given=share == 50) for share in (0, 50, 100)
    )
    comparisons = [
        Comparison("cot at", cots),
        Comparison("stove", tuple(Other(it, scenario, dataset) for it in ("free", "corner")), "Keep clear."),
        Comparison("ridge vent", vents, "Keep a vent open."),
    ]
    told = heights.below_levels(scenario, dataset, found, "", comparisons, "us")
    moments = heights.usual_moments(scenario, dataset)
    always = (standing(scenario), ())
    return frame.to_bytes(
        levels.page(scenario, dataset, told, moments, comparisons, "us", always, 4.0 * 3600.0)
    )


def _stoke(folder: Path) -> bytes:
    scenario, plan = plans.plan(folder)
    return frame.to_bytes(stoke.page(scenario, plan, "us", standing(scenario), ()))


def _stove(folder: Path) -> bytes:
    scenario = camps.scenario(folder)
    return frame.to_bytes(stove.page(scenario, camps.answer(SIZES), "us", standing(scenario)))


def _wood(folder: Path, patch: pytest.MonkeyPatch) -> bytes:
    scenario = trip(folder)
    with patch.context() as here:
        here.setattr(supplied, "as_stoked", burns)
        here.setattr(supplied, "check", lambda _night: ())
        supply = supplied.wood(scenario)
    return frame.to_bytes(wood.page(scenario, supply, "us", standing(scenario), ()))


def _compare(folder: Path) -> bytes:
    found = comparisons.compared(folder)
    return frame.to_bytes(compare.page(found, "us", standing(found.scenario)))


def _usual(folder: Path) -> bytes:
    found, rows = comparisons.usual(folder)
    return frame.to_bytes(compare.page(found, "us", standing(found.scenario), rows, "EUR"))


def _study(folder: Path, method: str, patch: pytest.MonkeyPatch) -> bytes:
    def here(setup, tasks, *_rest, **_names):
        for task in tasks:
            yield from worker.work(setup, task)

    (own := folder / method).mkdir()
    with patch.context() as inside:
        inside.setattr(batch, "solve_all", here)
        it, found, answers, text = studies.study(own, method)
    return frame.to_bytes(study.page(it.bases, found, answers, text, "us", standing(it.bases[0])))


def _card(name: str) -> bytes:
    made_up = cards.card(**cards.CARDS[name])
    return frame.to_bytes(card.page(made_up, standing(made_up.scenario)))

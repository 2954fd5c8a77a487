"""Documents of stoke, stove and wood: a plan in both units, classes and piles as the Python API has them."""

import contextlib
import importlib
import io
from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from simtent.cli import main
from simtent.planning.choices import Levers
from simtent.planning.outcome import Plan
from simtent.planning.planned import plan_stoking
from simtent.scenario.load import load
from simtent.sizing.answer import Answer
from simtent.supply.supplied import Supply
from simtent.tell.answers import stoke, stove, wood
from simtent.tell.answers.head import Around
from simtent.tell.answers.text import text
from simtent.tell.answers.told import Told
from tests import answers
from tests.planning.camps import THREE_METRES
from tests.sizing.camps import BOX
from tests.supply.trips import TEXT

SHORT = {"night.end": "03:15", "wish.rise": "03:00", "model.layers": 5, "wish.fire_may_go_out": True}
BRIEF = ("--volume", "12 L,30 L", "--every", "3 h", "--set", "model.layers=5", "--wind", "4 m/s")


def both(answer: Callable[[Around], Told], around: Around) -> tuple[dict[str, Any], dict[str, Any]]:
    """The document in US units and in SI, held to its schema and to each other."""
    us, metric = (answers.document(text(answer(replace(around, system=it)))) for it in ("us", "si"))
    assert answers.alike(us, metric) > 10
    return us, metric


@contextlib.contextmanager
def kept(module: str, name: str) -> Iterator[list[Any]]:
    """What a function gives back while a verb runs."""
    whole, found = importlib.import_module(module), list[Any]()
    real = getattr(whole, name)

    def watched(*given: Any, **more: Any) -> Any:
        found.append(real(*given, **more))
        return found[-1]

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(whole, name, watched)
        yield found


def printed(*command: str) -> dict[str, Any]:
    with contextlib.redirect_stdout(io.StringIO()) as out:
        assert main([*command, "--quiet", "--json"]) == 0
    return answers.document(out.getvalue())


@pytest.mark.slow
def test_a_plan(tmp_path: Path) -> None:
    path = tmp_path / "camp.toml"
    path.write_text(THREE_METRES)
    scenario = load(path).replace(SHORT)
    plan: Plan = plan_stoking(scenario)
    us, metric = both(lambda around: stoke.answer(around, plan), Around(path, scenario, "si", ()))
    lines = list(plan.lines())
    assert [it["mass"]["value"] for it in metric["loads"]] == pytest.approx([it.mass for it in lines])
    assert [it["wake_up"] for it in metric["loads"]] == [it.wake_up for it in lines]
    assert metric["loads"][0]["chance"] is None and metric["loads"][0]["then"] == []
    last = lines[-1].levers
    assert isinstance(last, Levers) and metric["loads"][-1]["then"][0]["mark"] == last.air
    assert metric["promised"]["cot_coldest"]["value"] == pytest.approx(plan.promised.cot_lowest)
    assert [it["wake_ups"] for it in us["wake_ups"] if it["chosen"]] == [plan.chosen.wake_ups]
    assert metric["fire_out"]["lit_at"]["clock"] and metric["given"] is True


@pytest.mark.compiled
def test_stoves(tmp_path: Path) -> None:
    path = tmp_path / "camp.toml"
    path.write_text(BOX)
    with kept("simtent.sizing.answer", "answer") as those:
        told = printed("stove", str(path), *BRIEF)
    found: Answer = those[0]
    scenario = load(path)
    _, metric = both(lambda around: stove.answer(around, found), Around(path, scenario, "si", ()))
    assert metric["design"] == {"value": pytest.approx(found.design), "unit": "W"}
    assert [it["firebox"]["value"] for it in metric["sizes"]] == pytest.approx(
        [one.size.volume for one in found.built]
    )
    assert [it["verdict"] for it in metric["held"]] == [it.judged.word for it in found.found]
    kelvin = [it["cot"]["value"] + 273.15 for it in metric["held"]]
    assert kelvin == pytest.approx([it.judged.used.coldest for it in found.found])
    assert sum(it["smallest"] for it in metric["held"]) == (found.smallest(3.0) is not None)
    assert told["held"] == metric["held"] and [it["what"] for it in told["files"]] == ["picture"]


@pytest.mark.compiled
def test_wood_of_a_trip(tmp_path: Path) -> None:
    path = tmp_path / "camp.toml"
    path.write_text(TEXT)
    with kept("simtent.supply.supplied", "wood") as those:
        told = printed("wood", str(path), "--as-stoked", "--set", "model.layers=5", "--units", "si")
    supply: Supply = those[0]
    _, metric = both(lambda around: wood.answer(around, supply), Around(path, load(path), "si", ()))
    assert metric["to_bring"]["pieces"] == dict(supply.to_bring.counts)
    assert metric["to_bring"]["mass"]["value"] == pytest.approx(supply.to_bring.mass)
    assert [it["burnt"]["cot_coldest"]["value"] for it in metric["nights"]] == pytest.approx(
        [it.burnt.coldest for it in supply.nights]
    )
    assert told["nights"] == metric["nights"] and told["planned"] is False

"""Compiled and plain Python are one source: the same numbers; and a second process compiles nothing."""

import json
import os
import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest

from tests.simulate.cases import FEW, SHIPPED, each

pytestmark = pytest.mark.compiled

ROOT = Path(__file__).parents[2]
LOOK = """
import json, sys, simtent
simtent.simulate(simtent.load(sys.argv[1]))
found = {}
for name, module in list(sys.modules.items()):
    if name.startswith("simtent."):
        for key, value in vars(module).items():
            if hasattr(value, "stats") and hasattr(value, "py_func") and value.signatures:
                found[f"{value.py_func.__module__}.{key}"] = [
                    sum(value.stats.cache_hits.values()), sum(value.stats.cache_misses.values())
                ]
print(json.dumps(found))
"""


def python(*arguments, **environment):
    return subprocess.run(
        [sys.executable, *map(str, arguments)],
        check=True,
        capture_output=True,
        text=True,
        cwd=ROOT,
        env={**os.environ, **environment},
    ).stdout


def both(tmp_path, what, scenario):
    out = []
    for pure in ("0", "1"):
        target = tmp_path / f"{what}{pure}.npz"
        python("-m", "tests.simulate.both_ways", target, what, scenario, SIMTENT_PURE=pure)
        with np.load(target) as saved:
            assert bool(saved["compiled"]) == (pure == "0")
            out.append(saved["values"])
    return out


@each(SHIPPED, "scenario")
def test_a_thousand_random_states_give_the_same_rates(tmp_path, scenario):
    """Each number by the largest rate it has in any of the states: kelvins, watts and kilograms a second apart."""
    compiled, pure = both(tmp_path, "rates", scenario)
    scale = np.abs(compiled).max(axis=0)
    assert np.isfinite(scale).all()
    assert (np.abs(compiled - pure) <= 1e-12 * scale).all()
    assert (scale > 0.0).any()


def test_an_hour_of_a_burn_gives_the_same_state(tmp_path):
    """Lit, loaded and turned by the clock; temperatures, heat along paths, wood, flow of air."""
    compiled, pure = both(tmp_path, "steps", next(path for path in SHIPPED if path.stem == "yard_burn"))
    assert compiled.max() > 1e6  # joules: it burnt
    assert compiled == pytest.approx(pure, rel=1e-9, abs=1e-12)


@pytest.mark.slow
def test_an_hour_of_fixed_steps_in_a_tent_gives_the_same_state(tmp_path):
    """Kelvins to 1e-9; the joules along the paths, tens of millions, to their last digits."""
    compiled, pure = both(tmp_path, "steps", SHIPPED[0])
    assert compiled == pytest.approx(pure, rel=1e-12, abs=1e-9)


@pytest.mark.slow
@each(FEW, "scenario")
def test_the_adaptive_night_is_the_same_in_plain_python(tmp_path, scenario):
    compiled, pure = both(tmp_path, "night", scenario)
    assert np.abs(compiled - pure).max() < 0.02


@pytest.mark.slow
def test_a_second_process_finds_every_compiled_function(tmp_path):
    """The first call in an empty cache compiles; the next compiles nothing."""
    first, second = (
        json.loads(python("-c", LOOK, SHIPPED[0], SIMTENT_CACHE=str(tmp_path), SIMTENT_PURE="0"))
        for _ in range(2)
    )
    assert sum(misses for _, misses in first.values()) > 20
    assert {name: misses for name, (_, misses) in second.items() if misses} == {}
    assert second.keys() >= {"simtent.assembly.rhs.shelter_rhs", "simtent.assembly.rhs.observe"}


def test_without_a_writable_cache_the_night_still_runs(tmp_path):
    blocked = tmp_path / "file"
    blocked.write_text("not a folder")
    code = "import simtent.compiled as c; print(c.FOLDER, c.OPTIONS['cache'], c.cold())"
    assert python("-c", code, SIMTENT_CACHE=str(blocked), SIMTENT_PURE="0").split() == [
        "None",
        "False",
        "True",
    ]

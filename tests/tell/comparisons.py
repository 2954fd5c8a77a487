"""A comparison made up by hand, for what is told of it: no night is simulated."""

from pathlib import Path

import numpy as np

from simtent.assess.findings import Finding
from simtent.comparing.asked import NAMES
from simtent.comparing.compared import Compared
from simtent.comparing.nights import Night
from simtent.comparing.ranked import Bought, ranked
from simtent.comparing.usual import applied
from simtent.scenario.scenario import Scenario
from simtent.scenario.varied import BASE, Variant, of_variant
from tests.comparing.camps import known_heat

NEAR = Finding("caution", "it is closer to the wall than cloth bears", "Move it away", "made up", "Wall")
HOT = Finding("stop", "the pipe glows", "Let it burn down", "made up", "Pipe", "at 21:00", "700 degC")
DRAWS = 8


def compared(folder: Path) -> Compared:
    """Three variants of a camp: alike, colder with two more cautions, warmer without one that the base has."""
    scenario = known_heat(folder)
    mat, windy, lined = (of_variant(scenario, name) for name in scenario.variants)
    nights = (
        _night(Variant(BASE, scenario, (), same=True), 0.0, (NEAR,)),
        _night(mat, 0.02, (NEAR,)),
        _night(windy, -3.4, (NEAR, HOT)),
        _night(lined, 2.6),
    )
    return Compared(nights, _drawn(nights))


def usual(folder: Path) -> tuple[Compared, tuple[Bought, ...]]:
    """The usual changes that apply to the same camp, each a little warmer than the one before; one adds a caution."""
    scenario = known_heat(folder)
    changes = applied(scenario)
    warmer = [0.7 * k - 1.0 for k in range(len(changes))]
    base = _night(Variant(BASE, scenario, (), same=True), 0.0)
    others = [
        _night(it.variant, by, (HOT,) if k == 2 else ())
        for k, (it, by) in enumerate(zip(changes, warmer, strict=True))
    ]
    nights = (base, *others)
    found = Compared(nights, _drawn(nights))
    return found, ranked(found, changes, {changes[-1].usual.name: 80.0})


def _night(variant: Variant, warmer: float, findings: tuple[Finding, ...] = ()) -> Night:
    """A night by a formula, so much warmer [K] than the base's."""
    scenario: Scenario = variant.scenario
    seconds = np.arange(0.0, scenario.night.seconds + 1.0, 600.0)
    cot = 8.0 - seconds / 3600.0 + warmer
    levels = np.stack([cot + 4.0 * (name == "head") for name in scenario.levels], axis=1)
    values = dict.fromkeys(NAMES, np.nan) | {
        "cot_lowest": 1.0 + warmer, "floor_lowest": -4.0 + 0.5 * warmer, "cot_mean": 3.0 + warmer,
        "floor_mean": -3.0 + 0.5 * warmer, "head_highest": 24.0 + warmer, "head_over_floor": 14.0, "wood": 0.0,
    }  # fmt: skip
    energy = {"source": 36e6, "outside_convection": -30e6 - 1e6 * warmer, "stored_ground": 6e6}
    return Night(variant, values, energy, findings, seconds, levels)


def _drawn(nights: tuple[Night, ...]) -> np.ndarray:
    """Draws that move each night's numbers alike, and what it differs by from 0.7 to 1.3 of itself."""
    values = np.array([[night.values[name] for name in NAMES] for night in nights])
    factors = np.linspace(0.7, 1.3, DRAWS)[None, :, None]
    return values[:1, None, :] + factors * (values - values[:1])[:, None, :]

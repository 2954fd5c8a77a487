"""What a burn of the stove in the open adds to one logged night without a thermometer at the stove.

Fits the demo's first night alone, its burn in the open alone, and both; prints how far each number is open (one
standard deviation, in those of what was believed before) and how heat loss and stove output trade for each other. The
logs are invented: this shows what a fit does, not what a tent does.
"""

import sys
from datetime import date
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

import simtent
from simtent.calibrate.calibrated import Calibrated

BURN, NIGHT = date(2031, 1, 18), date(2031, 1, 24)
LOSS = ("model.walls", "model.leak_area", "model.ground")
OUTPUT = ("model.heat", "model.gas_side", "model.burn_rate", "model.inlet", "mass of a counted piece")


def main() -> None:
    """Fit three times, print a table."""
    scenario = simtent.load("scenarios/alder_ford.toml")
    fits = {"night": [NIGHT], "burn": [BURN], "both": [BURN, NIGHT]}
    found = {name: simtent.calibrate(scenario, evenings, starts=1) for name, evenings in fits.items()}
    print(f"| open, of what was believed | {' | '.join(found)} |\n|---|{'---|' * len(found)}")
    for name in (*LOSS, *OUTPUT):
        cells = (_open(one, name) for one in found.values())
        print(f"| {name} | {' | '.join(cells)} |")
    print(f"| largest correlation of loss and output | {' | '.join(_trade(one) for one in found.values())} |")


def _open(found: Calibrated, name: str) -> str:
    names = [one.name for one in found.sought]
    return f"{found.posterior.deviations[names.index(name)]:.2f}" if name in names else "-"


def _trade(found: Calibrated) -> str:
    names = [one.name for one in found.sought]
    spread = found.posterior.deviations
    correlations = found.posterior.covariance / np.outer(spread, spread)
    pairs = [
        (float(correlations[names.index(a), names.index(b)]), a, b)
        for a in LOSS
        for b in OUTPUT
        if a in names and b in names
    ]
    if not pairs:
        return "-"
    size, a, b = max(pairs, key=lambda pair: abs(pair[0]))
    return f"{size:+.2f} ({a}, {b})"


if __name__ == "__main__":
    main()

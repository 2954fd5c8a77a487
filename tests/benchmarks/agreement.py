"""How far the compiled driver is from a tight night by SciPy, over generated scenarios.

    python tests/benchmarks/agreement.py [--nights N] [--fires] [--method LSODA | Radau]

Each night is solved by `simtent.driver.drive` as shipped, and by SciPy at rtol 1e-8. What is told is the worst
difference of air and skins at the times reported while layers differ by a kelvin (in the open, of the stove), in how
many nights the same was done at the stove, and the worst residual of both ledgers. The same nights each time.
"""

import argparse
import sys
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).parents[2]))

from hypothesis import HealthCheck, Phase, given, seed, settings

from simtent.driver import drive
from simtent.network import Accuracy
from simtent.run import run
from tests.simulate.test_driver import AIR, apart, done
from tests.strategies import fires, scenarios


def main() -> None:
    """Solve, and print one line."""
    parser = argparse.ArgumentParser()
    parser.add_argument("--nights", type=int, default=200)
    parser.add_argument("--fires", action="store_true")
    parser.add_argument("--method", default="LSODA", choices=["LSODA", "Radau"])
    given_ = parser.parse_args()
    rows: list[tuple[float, bool, float]] = []

    @seed(20261128)
    @settings(
        max_examples=given_.nights,
        phases=[Phase.generate],
        deadline=None,
        suppress_health_check=list(HealthCheck),
        database=None,
    )
    @given(fires(hours=(1, 6), rules=False) if given_.fires else scenarios())
    def solve(scenario: object) -> None:
        swift, tight = drive(scenario), run(scenario, accuracy=Accuracy(given_.method, 1e-8, 1e-6))
        rows.append(
            (float(apart(swift, tight)), done(swift) == done(tight), max(swift.residual, tight.residual))
        )

    solve()
    misses, alike, residuals = (np.array(column) for column in zip(*rows, strict=True))
    print(
        f"{misses.size} nights against {given_.method}: worst {misses.max():.3f} K, median {np.median(misses):.4f} K, "
        f"{(misses > AIR).sum()} over {AIR} K; the same done in {alike.sum()}; residual {residuals.max():.0e}"
    )


if __name__ == "__main__":
    main()

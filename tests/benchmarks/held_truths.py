"""How often intervals of a fit hold the truth: nights made by the model itself, with numbers drawn from the beliefs.

Prints a table: for each number how often its 90 % interval held the truth, and the size of its errors; pooled, the
chance of so few or so many by a binomial law. With `--nights 200` it is the study whose table stands in
tests/calibrate/COVERAGE.md.
"""

import argparse
import sys
from pathlib import Path

import numpy as np
from scipy.stats import binomtest

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from simtent.calibrate.sampling import weighed
from tests.calibrate.planted import plant

SHARE = 0.9
DRAWS = 60.0  # independent ones that a fit's ranges rest on


def main() -> None:
    """Fit, count, print."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--nights", type=int, default=40, metavar="N", help="planted fits of two nights each")
    parser.add_argument("--first", type=int, default=0, metavar="SEED", help="first seed")
    options = parser.parse_args()
    rows = []
    for seed in range(options.first, options.first + options.nights):
        rows.append(covered(seed))
        held = sum(inside for row in rows for _, inside, _ in row)
        print(f"{len(rows)} fits, {held} of {sum(map(len, rows))} held", file=sys.stderr)
    names = [name for name, *_ in rows[0]]
    inside = np.array([[held for _, held, _ in row] for row in rows])
    errors = np.array([[z for *_, z in row] for row in rows])
    print("\n".join(table(names, inside, errors)))


def covered(seed: int) -> list[tuple[str, bool, float]]:
    """Each number's name, whether its interval holds the truth, and the error in deviations."""
    planted = plant(seed)
    found = weighed(planted.fit(), DRAWS, seed)
    out = []
    middle = found.posterior.mean
    for k, one in enumerate(planted.sought):
        low, high = found.posterior.interval(one.name, SHARE)
        truth = one.value(float(planted.truth[k]))
        error = (float(middle[k]) - float(planted.truth[k])) / float(found.posterior.deviations[k])
        out.append((one.name, low <= truth <= high, error))
    return out


def table(names: list[str], inside: np.ndarray, errors: np.ndarray) -> list[str]:
    """Lines of a table in Markdown."""
    count = len(inside)
    lines = [
        f"| number | 90 % interval held the truth, of {count} | mean error | deviation of errors |",
        "|---|---|---|---|",
    ]
    for k, name in enumerate(names):
        held = int(inside[:, k].sum())
        size = f"{errors[:, k].mean():+.2f} | {errors[:, k].std():.2f}"
        lines.append(f"| {name} | {held} ({100.0 * held / count:.0f} %) | {size} |")
    held, tried = int(inside.sum()), inside.size
    chance = binomtest(held, tried, SHARE).pvalue
    lines.append(f"| all | {held} of {tried} ({100.0 * held / tried:.1f} %), binomial {chance:.3f} | | |")
    return lines


if __name__ == "__main__":
    main()

"""Print the story night against what the trade says of it, and what a load's heat becomes by lever mark.

python tests/benchmarks/story.py
"""

import sys
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).parents[2]))

from simtent.run import run
from tests.fire.burns import bedtime, since_bedtime, stays_inside, story
from tests.fire.test_story import BED, BURNS, DAWN, LIT, SECOND, Told, fahrenheit, peaks


def main() -> None:
    """Print the tables."""
    told, alone = Told(run(story(), step=60.0)), Told(run(bedtime("half"), step=60.0))
    head = told.between("head", LIT, 1.5)
    cold = alone.first(alone.level("cot") < 40.0, after=BED + 1.0)
    dead = alone.first(alone.chance < 0.5, after=BED + 1.0)
    print(
        f"head at most {fahrenheit(head.max()):.0f} degF after {int(np.argmax(head))} min (told: about 120)"
    )
    print(f"cot at 40 degF {cold - BED:.2f} h after the damped load (told: about 3)")
    print(f"chance of the coals then {np.interp(cold, alone.hours, alone.chance):.2f} (told: they light)")
    print(f"chance below one half after {dead - BED:.2f} h, cot then {alone.at('cot', dead):.0f} degF")
    print(f"waist on rising {fahrenheit(told.between('waist', DAWN, 24.0)[-1]):.0f} degF (told: about 35)")
    burning = (told.heat > BURNS) & (told.hours > LIT + 0.25)
    levels = [told.level(name)[burning] for name in ("head", "waist", "floor")]
    for high, low, names in ((0, 1, "head over waist"), (1, 2, "waist over six inches")):
        more = levels[high] - levels[low]
        print(
            f"{names} while it burns {more.min():.0f} to {more.max():.0f} degF, median {np.median(more):.0f}"
        )
    for begin, end in ((LIT, BED), (BED, SECOND), (SECOND, DAWN), (DAWN, 24.0)):
        found = [f"{fahrenheit(peak):.0f}" for peak in peaks(told.between("head", begin, end))]
        print(f"load at {begin:g} h peaks at {', '.join(found)} degF (told: two or three peaks)")
    print(
        f"\n{'mark':8} {'to the shelter':>14} {'unburnt':>8} {'up the flue':>12}  of a load put on coals, 3 h"
    )
    for mark in ("wide", "half", "quarter", "shut"):
        parts = since_bedtime(run(bedtime(mark)))
        print(f"{mark:8} {stays_inside(parts):14.3f} {-parts['unburnt']:8.3f} {-parts['flue']:12.3f}")


if __name__ == "__main__":
    main()

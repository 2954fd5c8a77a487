"""Print the modes of the right-hand side along every shipped night.

python tests/benchmarks/spectrum.py
"""

import sys
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).parents[2]))

from simtent.run import run
from simtent.scenario.load import load
from tests.fire.burns import STORY
from tests.simulate.cases import SHIPPED
from tests.simulate.states import along
from tests.simulate.test_spectrum import STANDS, TURNS, modes_of


def modes() -> None:
    """Fastest mode, growing and oscillating modes [1/s]."""
    print(
        f"{'scenario':14} {'fastest':>8} {'median':>8} {'growing':>8} {'most':>9} "
        f"{'oscillating':>12} {'fastest':>8} {'damping':>8}"
    )
    for path in [*SHIPPED, STORY]:
        spectra = [modes_of(state) for state in along(run(load(path)))]
        fastest = [-m.real.min() for m in spectra]
        turning = [m[np.abs(m.imag) > TURNS] for m in spectra]
        damping = min((np.min(-m.real / np.abs(m.imag)) for m in turning if m.size), default=np.nan)
        print(
            f"{path.stem:14} {max(fastest):8.2f} {np.median(fastest):8.2f} "
            f"{max((m.real > STANDS).sum() for m in spectra):8d} {max(m.real.max() for m in spectra):9.1e} "
            f"{max(m.size for m in turning) // 2:12d} {max(np.abs(m.imag).max() for m in spectra):8.2f} {damping:8.2f}"
        )


if __name__ == "__main__":
    modes()

"""What counting damp costs, and how far its numbers move: `python tests/benchmarks/damp.py`.

Processor time of a solved night, the second of two; wet gear and snow on the floor. The largest difference over the
night: of dew points at the layers against a run at rtol 1e-8, by LSODA and by the compiled driver; of the named levels
and of all frost between the usual number of layers and 48.
"""

import time
from pathlib import Path

import numpy as np

from simtent.dampness import dampness
from simtent.driver import drive
from simtent.network.solve import Accuracy
from simtent.readings import readings
from simtent.run import run
from simtent.scenario.load import load

SCENARIOS = Path(__file__).parents[2] / "scenarios"
WET = {"damp.snow": "200 g", "crew.wet_gear": "500 g"}
TIGHT = Accuracy(rtol=1e-8, atol=1e-6)
NAMED = ("head", "waist", "cot", "floor")


def seconds(scenario):
    """Processor time of a night that is solved a second time."""
    run(scenario)
    begin = time.process_time()
    run(scenario)
    return time.process_time() - begin


def frost(values):
    """All frost inside at every time [g]."""
    return 1e3 * values["frost"] @ values["surface_area"]


def at_levels(night, values):
    """Dew point and felt temperature at head, waist, cot and floor [degC]."""
    heights, levels = night.model.house.bands.centres, night.scenario.levels
    dew = [[np.interp(levels[name], heights, row) for name in NAMED] for row in values["dew_point"]]
    columns = [list(levels).index(name) for name in NAMED]
    return np.array(dew), np.asarray(readings(night)[0]["operative_temperature"])[:, columns]


def row(path):
    """One scenario's line of the table."""
    dry = load(path)
    wet = dry.replace(WET)
    drive(wet)
    costs = seconds(dry), seconds(wet)
    nights = [run(wet, accuracy=TIGHT), run(wet), drive(wet), run(wet.replace("model.layers", 48))]
    tight, usual, driven, fine = ((night, dampness(night)[0]) for night in nights)
    off = [float(np.abs(other[1]["dew_point"] - tight[1]["dew_point"]).max()) for other in (usual, driven)]
    apart = [float(np.abs(a - b).max()) for a, b in zip(at_levels(*usual), at_levels(*fine), strict=True)]
    ends = [frost(values)[-1] for _, values in (usual, fine)]
    return (
        f"{path.stem:14}{costs[0]:8.2f}{costs[1]:8.2f}{costs[1] / costs[0]:7.2f}"
        f"{off[0]:9.4f}{off[1]:9.4f}{apart[0]:9.2f}{apart[1]:9.2f}{ends[0]:9.0f}{ends[1]:9.0f}"
    )


if __name__ == "__main__":
    print(
        "               dry, s  damp, s  ratio  LSODA, K driver, K   layers: dew, K, felt, K, frost, g: 20, 48"
    )
    for name in ("larch_bench", "snow_saddle", "sedge_hollow", "stone_sheep", "gauge_bar"):
        print(row(SCENARIOS / f"{name}.toml"), flush=True)

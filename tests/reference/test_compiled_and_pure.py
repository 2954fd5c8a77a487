"""The same source runs compiled and as plain Python, with the same results."""

import json
import os
import subprocess
import sys

import pytest

PROGRAM = """
import json
from simtent import compiled
from simtent.physics import air, airspace, convection, ground, leakage, mixing, radiation, sky

def every(law, *columns):
    rows = [[]]
    for column in columns:
        rows = [row + [value] for row in rows for value in column]
    return [law(*row) for row in rows]

kelvin = [223.15, 263.15, 293.15, 873.15]
step, tilt = [-20.0, -1e-9, 0.0, 3.0, 20.0], [-1.0, -0.6, 0.0, 1.0]
out = {
    "film": every(convection.inside_film, step, tilt, [0.7, 1.0]),
    "wind": every(convection.outside_film, [0.0, 3.0]),
    "gap": every(airspace.gap_film, step, [0.002, 0.05], tilt),
    "pair": every(airspace.pair_emissivity, [0.05, 0.9], [0.9, 1.0]),
    "air": every(air.air_density, kelvin, [8e4]) + every(air.standard_pressure, [-400.0, 2000.0]),
    "leak": every(leakage.basic_leakage, [0.02], step, [0.0, 3.0], [2.0]),
    "mixing": every(mixing.mixing_conductivity, [-50.0, -0.3, 0.0, 4.0]),
    "radiation": every(radiation.black_exchange, kelvin, kelvin),
    "sky": every(sky.sky_temperature, kelvin, [243.15], [0.0, 0.4])
    + every(sky.dew_point, kelvin, [0.0, 0.8]) + every(sky.sky_emissivity_clark_allen, kelvin),
    "ground": every(ground.edge_conductance, [0.1, 2.0], [8e-7], [0.0, 3e4], [0.2])
    + every(ground.snow_conductivity, [100.0, 300.0]),
}
print(json.dumps([type(sky.dew_point).__name__, out]))
"""


def results(pure):
    run = subprocess.run(
        [sys.executable, "-W", "error", "-c", PROGRAM],
        env={**os.environ, "SIMTENT_PURE": pure},
        capture_output=True,
        text=True,
        check=True,
    )
    return json.loads(run.stdout)


def test_compiled_and_pure_agree():
    pytest.importorskip("numba")
    (compiled_kind, compiled), (pure_kind, pure) = results("0"), results("1")
    assert (compiled_kind, pure_kind) == ("CPUDispatcher", "function")
    assert compiled.keys() == pure.keys()
    for name, values in pure.items():
        assert compiled[name] == pytest.approx(values, rel=1e-12, abs=1e-300), name

"""The same source runs compiled and as plain Python, with the same results."""

import json
import os
import subprocess
import sys

import pytest

PROGRAM = """
import json
from simtent import compiled
from simtent.physics import air, airspace, burn, coals, convection, current, flue, flue_gas, ground, hot_surface
from simtent.physics import mixing, opening, pipe_heat, plume, radiation, sky, wood

def every(law, *columns):
    rows = [[]]
    for column in columns:
        rows = [row + [value] for row in rows for value in column]
    return [law(*row) for row in rows]

def flat(pairs):
    return [value for pair in pairs for value in pair]

kelvin = [223.15, 263.15, 293.15, 873.15]
share, burnt, thick = [0.0, 1e-7, 0.4, 1.0], [-1e-4, 0.0, 0.1, 0.5, 0.95, 1.0, 1.0001], [0.015, 0.09]
dioxide, flow = [0.0, 8.0, 20.5], [-1e-3, 0.0, 1e-5, 5e-3]
step, tilt = [-20.0, -1e-9, 0.0, 3.0, 20.0], [-1.0, -0.6, 0.0, 1.0]
out = {
    "film": every(convection.inside_film, step, tilt, [0.7, 1.0]),
    "wind": every(convection.outside_film, [0.0, 3.0]),
    "gap": every(airspace.gap_film, step, [0.002, 0.05], tilt),
    "pair": every(airspace.pair_emissivity, [0.05, 0.9], [0.9, 1.0]),
    "air": every(air.air_density, kelvin, [8e4]) + every(air.standard_pressure, [-400.0, 2000.0]),
    "leak": every(opening.leak_strength, [0.02]) + every(opening.orifice_strength, [0.02], [0.6, 1.0])
    + flat(every(opening.opening_flow, step, [0.01], [0.5, 0.65, 1.0], [1.1, 1.2], [0.5, 1.2]))
    + every(opening.wind_pressure, [-0.4, 0.7], [1.3], [0.0, 9.0]),
    "plume": every(plume.buoyancy_flux, [-50.0, 0.0, 2e3], [8e4])
    + every(plume.plume_growth, [-1e-3, 0.0, 1e-9, 1e-5, 0.05])
    + every(plume.virtual_distance, [-50.0, 0.0, 1e-3, 2e3, 6e4], [0.1, 0.4], [8e4]),
    "current": every(current.current_flow, [0.0, 4.0], [2.0])
    + every(current.going_on, [-1.0, 0.0, 0.04, 5.0, 60.0], [0.0, 0.03, 0.2], [-1e3, *step]),
    "mixing": every(mixing.mixing_conductivity, [-50.0, -0.3, 0.0, 4.0]),
    "radiation": every(radiation.black_exchange, kelvin, kelvin),
    "sky": every(sky.sky_temperature, kelvin, [243.15], [0.0, 0.4])
    + every(sky.dew_point, kelvin, [0.0, 0.8]) + every(sky.sky_emissivity_clark_allen, kelvin),
    "ground": every(ground.edge_conductance, [0.1, 2.0], [8e-7], [0.0, 3e4], [0.2])
    + every(ground.snow_conductivity, [100.0, 300.0]),
    "wood": every(wood.gas_heat, [18e6, 19.5e6], [0.1, 0.2]),
    "burn": every(burn.free_burn_time, thick) + every(burn.rest_rate, burnt)
    + every(burn.flame_feedback, kelvin, [0.3, 0.6, 1.0]) + every(burn.hot_box_heat, kelvin, [0.0, 12.0])
    + every(burn.catching, [-1.0, 0.0, 30.0, 1e4], thick) + every(burn.drying_coefficient, thick, share)
    + every(burn.dried, share, share) + every(burn.air_limited, [0.0, 0.9, 1.0, 40.0])
    + every(burn.burnt_share, kelvin, [0.0, 1.0, 1.7, 9.0]),
    "coals": every(coals.coal_rate, [-1e-5, 0.0, 0.5], [1e-5, 4e-3], [3e-4])
    + every(coals.relight_chance, [0.0, 0.05, 1.0], [0.0, 2.0]),
    "gas": every(flue_gas.flue_gas_heat_capacity, kelvin, dioxide) + every(flue_gas.flue_gas_enthalpy, kelvin, dioxide)
    + every(flue_gas.flue_gas_constant, dioxide) + every(flue_gas.flue_gas_conductivity, kelvin)
    + every(flue_gas.flue_gas_viscosity, kelvin)
    + every(flue_gas.flue_carbon_dioxide, [0.0, 1e3, 2e4], [-1e-3, 0.0, 1e-6, 5e-3]),
    "flue": every(flue.friction_factor, [20.0, 2e3, 3e4], [0.0, 0.01])
    + every(pipe_heat.pipe_film, flow, kelvin, [0.09], [2.5], [1e-3])
    + every(pipe_heat.gas_radiation, kelvin, kelvin, dioxide) + every(flue.bend_loss, [0.0, 0.6, 0.9, 1.5, 3.0])
    + every(flue.damper_loss, share) + every(flue.draught, [2.5], [1.3], [0.4, 1.4])
    + every(flue.flue_resistance, flow, kelvin, [0.09], [0.5], [1.5], [1e-3], dioxide, [8e4], [1.0])
    + every(flue.inlet_resistance, [1e-6, 2e-3], [1.2], [0.62]) + every(flue.signed_root, [-2.0, 0.0, 9.0], [0.02])
    + every(pipe_heat.segment_end, [900.0], [300.0], [1.5], [-2.0, 0.0, 1e-9, 5.0]),
    "hot": every(hot_surface.hot_film, step, [0.0, 4.0], [0.7, 1.0]),
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

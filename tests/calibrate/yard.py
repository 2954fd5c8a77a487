"""An invented burn in the open with its notes, its readings made by the model itself."""

import numpy as np

from simtent.assembly.drivers import driver
from simtent.calibrate import sensors
from simtent.driver import drive
from simtent.scenario.load import load
from tests.calibrate.drawn import autoregression
from tests.calibrate.logs import YARD, log, table

EVENING = "2031-01-11"
NOTES = """\
time,load,air,coals
14:00,"8 kindling, 1 split",open,no
14:30,?,,yes
~15:45,2.1 kg,half,yes
16:30,,low,
"""
FREE = '\n[fit]\nfree = ["model.heat", "model.gas_side"]\n'
NOISE = 4.0  # K


def camp(folder, notes=NOTES, fit=FREE, truth=None, seed=0):
    """Path of the scenario with a log of stove and outdoors, and its notes."""
    plain = load(YARD)
    there = plain.replace(dict(truth)) if truth else plain
    night = drive(there, step=60.0)
    times = night.solution.times
    stove = night.temperatures[:, night.model.hearth.body]
    outdoors = driver(there.outdoors.track("air")).values(times)
    shown = sensors.shown("stove", stove, stove, outdoors, 60.0, sensors.Traits(200.0, 0.0, 0.9))
    columns = {"stove": shown + autoregression(times, NOISE, 300.0, seed), "outdoors": outdoors}
    table(folder / f"{EVENING}.csv", there.night.begin_utc.timestamp() + times, columns)
    more = {"shelter": "none"}
    if notes:
        (folder / "notes.csv").write_text(notes, encoding="utf-8")
        more["notes"] = "notes.csv"
    path = folder / "yard.toml"
    path.write_text(plain.given + fit + log(EVENING, columns, **more), encoding="utf-8")
    return path


def cold(times):
    """Outdoor air of the yard [K]."""
    return np.full(np.shape(times), 271.15)

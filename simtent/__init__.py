"""Thermal simulation of a stove-heated fabric shelter through a cold night.

A scenario file becomes a frozen Scenario; a changed copy is another Scenario:

>>> import simtent
>>> scenario = simtent.load("scenarios/larch_bench.toml")
>>> colder = scenario.replace("outdoors.shift", "-10 degF")

A simulation gives an xarray Dataset with every temperature, flow of heat and energy account of the night,
each with its unit:

>>> night = simtent.simulate(scenario)
>>> night["level_temperature"].attrs["units"]
'degC'
>>> bool(simtent.simulate(colder)["level_temperature"].mean() < night["level_temperature"].mean())
True

Findings say what could hurt; the first ones hold for every night:

>>> simtent.assess(scenario, night)[0].level
'caution'

And a picture shows it, a matplotlib figure that can be saved:

>>> figure = simtent.pictures.night(scenario, night)

`simtent night FILE` does the same at a terminal.
"""

import importlib
import sys
from types import ModuleType
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from simtent import pictures
    from simtent.assess.judge import assess
    from simtent.calibrate.calibrate import calibrate
    from simtent.comparing.compare import compare
    from simtent.derivatives import derivatives
    from simtent.logbook.read import read_log
    from simtent.planning.card import stoking_card
    from simtent.planning.planned import plan_stoking
    from simtent.scenario.load import load
    from simtent.scenario.scenario import Scenario
    from simtent.simulate import simulate
    from simtent.sizing.sized import size_stove
    from simtent.studies.batch import study
    from simtent.studies.store import open_study
    from simtent.supply.supplied import wood
    from simtent.surveys.indices import sensitivity
    from simtent.surveys.survey import survey

__all__ = [
    "Scenario",
    "assess",
    "calibrate",
    "compare",
    "derivatives",
    "load",
    "open_study",
    "pictures",
    "plan_stoking",
    "read_log",
    "sensitivity",
    "simulate",
    "size_stove",
    "stoking_card",
    "study",
    "survey",
    "wood",
]

_HOMES = {
    "Scenario": "simtent.scenario.scenario",
    "assess": "simtent.assess.judge",
    "calibrate": "simtent.calibrate.calibrate",
    "compare": "simtent.comparing.compare",
    "derivatives": "simtent.derivatives",
    "load": "simtent.scenario.load",
    "open_study": "simtent.studies.store",
    "plan_stoking": "simtent.planning.planned",
    "read_log": "simtent.logbook.read",
    "sensitivity": "simtent.surveys.indices",
    "simulate": "simtent.simulate",
    "size_stove": "simtent.sizing.sized",
    "stoking_card": "simtent.planning.card",
    "study": "simtent.studies.batch",
    "survey": "simtent.surveys.survey",
    "wood": "simtent.supply.supplied",
}


class _Package(ModuleType):
    """The package: where a public name is also a module's, `simtent.name` stays the public one.

    Importing `simtent.simulate` would set the attribute `simulate` of the package to the module; that is
    refused. The modules stay within reach of ``from simtent.simulate import ...``, which asks `sys.modules`.
    """

    def __setattr__(self, name: str, value: Any) -> None:
        if not (name in _HOMES and isinstance(value, ModuleType)):
            super().__setattr__(name, value)


def __getattr__(name: str) -> Any:
    """Import a public name when it is first asked for, so that the package itself loads at once."""
    if name == "pictures":  # a module of functions, not one function
        return importlib.import_module("simtent.pictures")
    if name not in _HOMES:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    value = getattr(importlib.import_module(_HOMES[name]), name)
    globals()[name] = value
    return value


def __dir__() -> list[str]:
    return sorted({*globals(), *__all__})


sys.modules[__name__].__class__ = _Package

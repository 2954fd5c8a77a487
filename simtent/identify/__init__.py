"""Find the numbers of any network made with `simtent.network` from measured temperatures, and say what cannot be found.

The user gives parameters, a function that builds the network from their values, and columns of readings. A room that
cools to 263.15 K with a time constant of two hours, read every ten minutes without noise; capacity and loss are
both asked for, and a cooling curve tells only their quotient:

>>> import numpy as np
>>> from simtent.network import Builder, tables
>>> def build(values):
...     net = Builder(end=14400.0)
...     outside = net.boundary(tables.constant(263.15))
...     room = net.node(values["capacity"], start=283.15, group="room")
...     net.link(outside, room, values["loss"], net.path("loss", crossing=True))
...     return Built(net, {"room": room})
>>> times = np.arange(0.0, 14400.0, 600.0)
>>> readings = Column("room", times, 263.15 + 20.0 * np.exp(-times / 7200.0), noise=0.01)
>>> found = fit(Problem((Parameter("capacity", 1e5), Parameter("loss", 50.0)), build, (readings,)))
>>> bool(abs(found.values["capacity"] / found.values["loss"] - 7200.0) < 1.0)
True
>>> for sentence in unidentified(found).words():
...     print(sentence)
capacity and loss cannot be found separately: only capacity/loss can be found.
"""

from simtent.identify.band import Band, band
from simtent.identify.chains import Chains, UnsampledError
from simtent.identify.fit import Fit, fit
from simtent.identify.linear import why_not_linear
from simtent.identify.parameter import Parameter, Prior
from simtent.identify.posterior import draws, profiles, walked
from simtent.identify.problem import Built, Column, Problem, lagged
from simtent.identify.profile import Profile
from simtent.identify.resampling import Resampled, UntrustedError
from simtent.identify.unidentified import Confounded, Unidentified, unidentified

__all__ = [
    "Band",
    "Built",
    "Chains",
    "Column",
    "Confounded",
    "Fit",
    "Parameter",
    "Prior",
    "Problem",
    "Profile",
    "Resampled",
    "Unidentified",
    "UnsampledError",
    "UntrustedError",
    "band",
    "draws",
    "fit",
    "lagged",
    "profiles",
    "unidentified",
    "walked",
    "why_not_linear",
]

"""Errors that remember, drawn by a seed."""

import numpy as np


def autoregression(times, deviation, memory, seed):
    """A first-order autoregression at any times: it keeps exp(-gap / memory) of itself."""
    chance = np.random.default_rng(seed)
    kept = np.exp(-np.diff(times) / memory)
    out = [chance.standard_normal()]
    for share in kept:
        out.append(share * out[-1] + np.sqrt(1.0 - share**2) * chance.standard_normal())
    return deviation * np.array(out)

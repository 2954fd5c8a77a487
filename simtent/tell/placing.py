"""Where words fit in a picture: free of lines, near what they speak of, apart from each other.

All in shares of the axes, 0 to 1 from left to right and from bottom to top.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Trace:
    """Something drawn from left to right that words should not cover: rising x and its y, shape (n,) each."""

    x: Floats
    y: Floats


def clearest(traces: Sequence[Trace], x: Floats, y: Floats, size: tuple[float, float]) -> int:
    """Index of the place (centres x, y, shape (m,)) where words of that size are farthest from all traces."""
    return int(np.argmax([gap(traces, *place, size) for place in zip(x, y, strict=True)]))


def nearest_free(
    traces: Sequence[Trace], point: tuple[float, float], size: tuple[float, float], tall_per_wide: float
) -> tuple[float, float]:
    """Centre of the free place nearest to a point, else of the clearest there is.

    A grid of places inside the axes is tried; `tall_per_wide` is the axes' height over its width on paper, so
    that near means near to the eye.
    """
    wide, tall = size
    grid = np.meshgrid(np.linspace(0.5 * wide, 1.0 - 0.5 * wide, 33), np.linspace(tall, 1.0 - tall, 49))
    places = np.column_stack([axis.ravel() for axis in grid])
    away = np.hypot(places[:, 0] - point[0], tall_per_wide * (places[:, 1] - point[1]))
    tried = []
    for x, y in places[np.argsort(away, kind="stable")].tolist():
        free = gap(traces, x, y, size)
        if free > 0.25 * tall:
            return x, y
        tried.append((free, x, y))
    _, x, y = max(tried)
    return x, y


def apart(places: Sequence[float], distance: float, top: float) -> list[float]:
    """The places in their order, moved by as little as keeps them this far apart and none above the top."""
    order = np.argsort(places)
    steps = distance * np.arange(len(places))
    fitted = np.minimum(_never_falling(np.asarray(places)[order] - steps), top - steps[-1])
    result = np.empty(len(places))
    result[order] = fitted + steps
    return [float(place) for place in result]


def gap(traces: Sequence[Trace], x: float, y: float, size: tuple[float, float]) -> float:
    """Distance from a box to the nearest trace above or below it; negative where one passes through."""
    wide, tall = size
    free = 1.0
    for trace in traces:
        inside = trace.y[np.abs(trace.x - x) <= 0.5 * wide]
        if inside.size:
            low, high = float(inside.min()), float(inside.max())
            free = min(free, max(low - y, y - high) - 0.5 * tall)
    return free


def _never_falling(values: Floats) -> Floats:
    """The never-falling sequence nearest to the values (pool adjacent violators)."""
    blocks: list[list[float]] = []
    for value in values:
        blocks.append([float(value)])
        while len(blocks) > 1 and np.mean(blocks[-2]) > np.mean(blocks[-1]):
            blocks[-2:] = [blocks[-2] + blocks[-1]]
    return np.concatenate([np.full(len(block), np.mean(block)) for block in blocks])

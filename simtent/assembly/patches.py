"""The skin cut into pieces of like layers: walls and roof band by band, then every window band by band."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from simtent.assembly.shape import Bands
from simtent.geometry.face import Shape
from simtent.network.arrays import Array
from simtent.scenario.fabric import PARTS, SkinLayers
from simtent.scenario.layers import Layer
from simtent.scenario.windows import Window

SMALLEST = 1e-6  # m2, below it a piece of a face is left out


@dataclass(frozen=True)
class Patch:
    """One piece of skin.

    label     what surfaces are called by: "wall", "roof", "window"; several windows are counted
    part      "wall", "roof" or "window"
    band      number of the air layer, from the floor up
    layers    from the inside out
    facets    true area of each of its faces and of the whole plane that face lies in [m2]
    tilt_up   mean over its area of the cosine between its outward normal and straight up [-]
    """

    label: str
    part: str
    band: int
    layers: tuple[Layer, ...]
    facets: tuple[tuple[float, float], ...]
    tilt_up: float


def build_patches(shape: Shape, bands: Bands, skin: SkinLayers, windows: Sequence[Window]) -> Iterator[Patch]:
    """Every piece: the wall, the roof, then the windows, each from the floor up."""
    panes = [cut_out(shape, bands, window) for window in windows]
    areas = bands.faces - sum((area for area, _ in panes), np.zeros_like(bands.faces))
    plans = bands.plans - sum((plan for _, plan in panes), np.zeros_like(bands.plans))
    for part in PARTS:
        own = np.array([[face.part == part] for face in shape.faces])
        yield from _pieces(shape, bands, part, part, skin.of(part)[::-1], (areas * own, plans))
    for number, (window, pane) in enumerate(zip(windows, panes, strict=True), start=1):
        label = "window" if len(windows) == 1 else f"window {number},"
        yield from _pieces(shape, bands, label, "window", window.layers[::-1], pane)


def cut_out(shape: Shape, bands: Bands, window: Window) -> tuple[Array, Array]:
    """Area and shadow that a window takes of every face in every band [m2], shape (faces, n) each.

    Between its heights it takes the same share of the part everywhere.
    """
    edges = np.clip(bands.edges, window.from_, window.to)
    share = window.area / shape.area(window.part, window.from_, window.to)
    shares = np.array([[share * (face.part == window.part)] for face in shape.faces])
    areas = np.array([np.diff([face.area_to(z) for z in edges]) for face in shape.faces])
    plans = np.array([np.diff([face.plan_to(z) for z in edges]) for face in shape.faces])
    return shares * areas, shares * plans


def _pieces(
    shape: Shape, bands: Bands, label: str, part: str, layers: tuple[Layer, ...], sizes: tuple[Array, Array]
) -> Iterator[Patch]:
    """Pieces of one kind, by area and shadow of every face in every band [m2]."""
    areas, plans = sizes
    planes = [float(bands.faces[k].sum()) / face.planes for k, face in enumerate(shape.faces)]
    for band in range(bands.centres.size):
        kept = [k for k in range(len(planes)) if areas[k, band] > SMALLEST]
        if not kept:
            continue
        facets = tuple((float(areas[k, band]), planes[k]) for k in kept)
        # Shadow over area: exact for planes, for curves the mean by the divergence theorem.
        mean = float(plans[kept, band].sum() / areas[kept, band].sum())
        yield Patch(label, part, band, layers, facets, min(max(mean, -1.0), 1.0))

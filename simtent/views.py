"""What a small body sees from a height in a shelter: stove and pipe, and round them floor, walls, roof and windows."""

from collections.abc import Iterator
from dataclasses import dataclass
from math import pi, sqrt

import numpy as np

from simtent.assembly.assemble import Model
from simtent.assembly.house import House
from simtent.assembly.stove import GLASS_PASSES, TOP_EMISSIVITY, Hearth
from simtent.network.arrays import Array
from simtent.network.builder import Node
from simtent.physics.seen import bands_seen, box_share, pipe_share

HALF_A_BED = 0.3  # m, from the bedding's near edge to the sleeper's middle; common practice, no source
USUAL_DISTANCE = 1.0  # m, from a heater, or from a stove where no bed's distance is given; an assumption
LEAST_DISTANCE = 0.005  # m; what touches is as close as this
SLIVER = 1e-6  # m2; a smaller area is none


@dataclass(frozen=True)
class Seen:
    """One face that a body sees.

    node        whose temperature it has
    share       of the body's whole view [-]
    emissivity  of the face [-]; the rest of what comes from it is reflected
    """

    node: Node
    share: float
    emissivity: float


def seen_from(model: Model, height: float) -> Iterator[Seen]:
    """All that a body at a height [m] sees, stove and pipe before the shelter; the shares add up to 1."""
    house, hearth = model.house, model.hearth
    if house is None:
        raise ValueError("a stove in the open stands in no shelter to be seen")
    spot = min(max(height, 0.0), house.shape.peak)
    hot = [] if hearth is None else [*_stove(hearth, house, spot)]
    left = 1.0 - sum(face.share for face in hot)
    yield from hot
    for face in enclosure(house, spot):
        yield Seen(face.node, left * face.share, face.emissivity)


def enclosure(house: House, height: float) -> Iterator[Seen]:
    """Floor, walls, roof and windows as seen from a height on the axis [m], nothing before them; shares add up to 1.

    Round as the shelter's section at every height is wide. In a band the skin counts by area, the floor's parts too.
    """
    edges, section_at = house.bands.edges.tolist(), house.shape.section_at
    radii = [sqrt(max(section_at(edge), 0.0) / pi) for edge in edges]
    ground, *bands, flat = bands_seen(height, edges, radii)
    rows = [(part.top, ground * part.area / house.shape.floor_area, part.emissivity) for part in house.floors]
    for strip, side_part, flat_part in zip(house.strips, *_parts_of_bands(house), strict=True):
        share = bands[strip.patch.band] * side_part + flat * flat_part
        rows.append((strip.stack.inner, float(share), strip.patch.layers[0].emissivity_in))
    whole = sum(share for _, share, _ in rows)  # 1, but where a band's skin is too small to be there
    for node, share, emissivity in rows:
        yield Seen(node, share / whole, emissivity)


def _parts_of_bands(house: House) -> tuple[Array, Array]:
    """What part of its band's sides each strip is, and what part of what lies flat at the peak; by area [-]."""
    patches = [strip.patch for strip in house.strips]
    band = np.array([patch.band for patch in patches])
    area = np.array([sum(facet for facet, _ in patch.facets) for patch in patches])
    lid = house.shape.section_at(house.shape.peak)
    at_lid = (band == house.bands.centres.size - 1) & (lid > SLIVER)
    plan = area * np.array([patch.tilt_up for patch in patches]) * at_lid
    flat = plan / max(float(plan.sum()), SLIVER)
    side = np.maximum(area - lid * flat, 0.0)
    return side / np.maximum(np.bincount(band, side)[band], SLIVER), flat


def _stove(hearth: Hearth, house: House, height: float) -> Iterator[Seen]:
    """Body, the fire through its glass, what stands on it, and the pipe, as seen from a height [m].

    The larger side faces the bed, as it does where radiation onto bedding is judged.
    """
    stove, peak = hearth.noun, house.shape.peak
    away, box, top = bed_distance(hearth, house), stove.firebox, min(stove.collar, peak)
    depth, width = sorted((box.length, box.width))
    body = box_share(width, depth, min(stove.legs, peak) - height, top - height, away)
    # The door may face any way: in the mean of all directions a plate shows 1/pi of itself.
    fire = GLASS_PASSES * body * min(stove.glass / (width * box.height), 1.0) / pi
    yield Seen(hearth.fire, fire, 1.0)
    yield Seen(hearth.body, body - fire, stove.emissivity)
    if hearth.top is not None and stove.on_top is not None:
        edge = (stove.on_top.mass / stove.on_top.density) ** (1.0 / 3.0)
        behind = away + 0.5 * max(depth - edge, 0.0)
        standing = box_share(edge, edge, top - height, min(top + edge, peak) - height, behind)
        yield Seen(hearth.top, standing, TOP_EMISSIVITY)
    yield from _pipe(hearth, height, peak, away, away + 0.5 * depth)


def _pipe(hearth: Hearth, height: float, peak: float, away: float, axis: float) -> Iterator[Seen]:
    """The pipe inside, segment by segment, at an axis [m] behind the body's side; who is low sees less of it."""
    stove, pipe = hearth.noun, hearth.noun.pipe
    step, radius = pipe.inside / len(hearth.inside), 0.5 * pipe.diameter
    hidden = height + (stove.collar - height) * axis / away if height < stove.collar else 0.0
    for k, node in enumerate(hearth.inside):
        low, high = (max(stove.collar + n * step, hidden) for n in (k, k + 1))
        share = pipe_share(
            radius, max(axis, radius + LEAST_DISTANCE), min(low, peak) - height, min(high, peak) - height
        )
        yield Seen(node, share, stove.emissivity)


def bed_distance(hearth: Hearth, house: House) -> float:
    """From the stove's side to the middle of the nearest sleeper [m], or an assumption where no bed's is given."""
    place = hearth.noun.place
    if place is None or place.from_bed is None:
        return min(USUAL_DISTANCE, sqrt(house.shape.floor_area / pi))
    return max(place.from_bed, LEAST_DISTANCE) + HALF_A_BED

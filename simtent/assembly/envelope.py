"""Wall, roof and windows by layer of air: nodes, films, outer faces, gaps, and what each surface sees of the others."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from simtent.assembly.ground import Floor
from simtent.assembly.parameters import Films, Gaps, OuterFaces, floats, indices
from simtent.assembly.patches import Patch
from simtent.assembly.stack import Stack, build_stack
from simtent.network.builder import Builder, Node
from simtent.physics.airspace import pair_emissivity
from simtent.physics.star import carroll_weights


@dataclass(frozen=True)
class Strip:
    """A piece of skin in the network.

    patch     where it lies, how it leans, what it is made of
    stack     its nodes
    area      effective area [m2]
    factor    of the effective area over the true one [-]
    """

    patch: Patch
    stack: Stack
    area: float
    factor: float

    @property
    def name(self) -> str:
        """What its surfaces are called by."""
        return f"{self.patch.label} {self.patch.band + 1}"


def build_strips(net: Builder, patches: Iterable[Patch], factor: float, start: float) -> list[Strip]:
    """Add the pieces of the skin.

    `factor` scales the effective area, so that each loss and each capacity of the skin grows with it; what the
    surfaces see of each other stays with the true areas.
    """
    strips = []
    for patch in patches:
        area = factor * sum(facet for facet, _ in patch.facets)
        stack = build_stack(net, patch.layers, area, start, "skin")
        strips.append(Strip(patch, stack, area, factor))
    return strips


def films(strips: Sequence[Strip], floors: Sequence[Floor], paths: Mapping[str, int]) -> Films:
    """Convection of every inner face; the floor's to the lowest layer."""
    rows = [
        (
            strip.patch.band,
            strip.stack.inner,
            strip.area,
            -strip.patch.tilt_up,
            paths[f"{strip.patch.part}_to_air"],
        )
        for strip in strips
    ]
    rows += [(0, floor.top, floor.area, 1.0, paths["floor_to_air"]) for floor in floors]
    air, node, area, tilt, path = zip(*rows, strict=True)
    return Films(indices(air), indices(node), floats(area), floats(tilt), indices(path))


def outer_faces(strips: Sequence[Strip], paths: Mapping[str, int]) -> OuterFaces:
    """Outer faces; a face sees the sky by its tilt, (1 + cos)/2, as a plane over open ground does."""
    return OuterFaces(
        indices(strip.stack.outer for strip in strips),
        floats(strip.area for strip in strips),
        floats((1.0 + strip.patch.tilt_up) / 2.0 for strip in strips),
        floats(strip.patch.layers[-1].emissivity_out for strip in strips),
        paths["outside_convection"],
        paths["sky_radiation"],
    )


def gaps(strips: Sequence[Strip]) -> Gaps:
    """Air gaps of all strips."""
    found = [(strip, gap) for strip in strips for gap in strip.stack.gaps]
    return Gaps(
        indices(gap.inner for _, gap in found),
        indices(gap.outer for _, gap in found),
        floats(strip.area for strip, _ in found),
        floats(gap.thickness for _, gap in found),
        floats(-strip.patch.tilt_up for strip, _ in found),
        floats(pair_emissivity(*gap.emissivities) for _, gap in found),
    )


def star_weights(strips: Sequence[Strip], floors: Sequence[Floor]) -> dict[Node, float]:
    """Weight [m2] of each inner face in the exchange of radiation; all parts of the floor are one plane."""
    ground = sum(floor.area for floor in floors)
    rows = [(floor.top, floor.area, floor.emissivity, ground, 1.0) for floor in floors]
    for strip in strips:
        inner, emissivity = strip.stack.inner, strip.patch.layers[0].emissivity_in
        rows += [(inner, area, emissivity, plane, strip.factor) for area, plane in strip.patch.facets]
    nodes, areas, emissivities, planes, factors = zip(*rows, strict=True)
    weights: dict[Node, float] = {}
    for node, weight, factor in zip(
        nodes, carroll_weights(areas, emissivities, planes), factors, strict=True
    ):
        weights[node] = weights.get(node, 0.0) + factor * float(weight)
    return weights

"""Geometry of a shelter straight from its drawing, in horizontal bands: integrated numerically, for `by_hand`.

Nothing of the package is used: a drawing tells for every set of equal surfaces how much of it, and of its shadow on the
ground, lies at each height; what lies between two heights is a sum over it. Upward goes by height, and where an ellipse
is drawn by the angle that draws it, so that nothing turns infinitely steep.
"""

import itertools
import math
from collections import namedtuple

import numpy as np
from scipy.integrate import quad
from scipy.optimize import root

LEAST_STRIP = 1e-6  # m2 of a plane in a band; less is left out (the package's rule)
FACETS = 12  # flat ones that a curve counts as (the package's rule)

# Equal surfaces: part, flat planes, area and shadow by step upward; one that lies flat at the top has its area only.
Sheet = namedtuple("Sheet", "part planes area shadow flat", defaults=(0.0,))
# Height by what is gone upward, back, and by step; section by the same [m2]; where surfaces break; floor [m2]; rim [m].
Plan = namedtuple("Plan", "height gone climb section breaks sheets floor rim")
# In bands between `edges` [m]: volume; section at inner edges; area of a plane of every sheet; the pieces of skin.
Drawing = namedtuple("Drawing", "edges volume section planes patches plan")
# A piece of skin: its cosine to straight up, layers from the outside in, area [m2] by number of its sheet.
Patch = namedtuple("Patch", "name part band up layers areas")


def layer_edges(peak, count):
    """Layers that thicken upward; the top one is 1.1^15 times as thick as the bottom one."""
    thick = 1.1 ** (15.0 * np.arange(count) / (count - 1))
    gone = np.concatenate(([0.0], np.cumsum(thick)))
    return peak * (gone / gone[-1])  # so that the last is the peak to the last digit


def draw(shelter, count):
    """Cut the shelter into bands."""
    plan = PLANS[shelter.shape](shelter)
    edges = layer_edges(shelter.peak, count)
    volume = np.array(
        [between(plan, lambda u: plan.section(u) * plan.climb(u), low, high) for low, high in pairs(edges)]
    )
    section = np.array([plan.section(plan.gone(z)) for z in edges[1:-1]])
    whole = [sheet.flat or between(plan, sheet.area, 0.0, shelter.peak) for sheet in plan.sheets]
    planes = [area / sheet.planes for area, sheet in zip(whole, plan.sheets, strict=True)]
    return Drawing(edges, volume, section, planes, list(patches(shelter, plan, edges)), plan)


def pairs(edges):
    return list(itertools.pairwise(edges))


def between(plan, rate, low, high):
    """Sum of a rate by step from one height up to another."""
    begin, end = plan.gone(low), plan.gone(high)
    stops = [begin, *(stop for stop in plan.breaks if begin < stop < end), end]
    return sum(quad(rate, a, b, epsabs=1e-14, epsrel=1e-12)[0] for a, b in pairs(stops))


def by_height(section, breaks, sheets, floor, rim):
    """A plan whose steps are heights."""
    return Plan(lambda z: z, lambda z: z, lambda _z: 1.0, section, breaks, sheets, floor, rim)


def patches(shelter, plan, edges):
    """Wall and roof from the floor up, without the windows; then the windows."""
    skin, windows = shelter.skin, shelter.window
    panes = [pane(plan, edges, window) for window in windows]
    for part in ("wall", "roof"):
        layers = skin.all if skin.all else getattr(skin, part)
        for band, (low, high) in enumerate(pairs(edges)):
            rest = {k: sizes(plan, k, low, high) for k, sheet in enumerate(plan.sheets) if sheet.part == part}
            for k, it in itertools.product(rest, panes):
                rest[k] = rest[k] - it[band].get(k, 0.0)
            yield from patch(f"{part} {band + 1}", part, band, layers, rest)
    for number, (window, it) in enumerate(zip(windows, panes, strict=True), start=1):
        name = "window" if len(windows) == 1 else f"window {number},"
        for band, taken in enumerate(it):
            yield from patch(f"{name} {band + 1}", "window", band, window.layers, taken)


def patch(name, part, band, layers, found):
    """One piece of skin of the area and shadow by sheet, if it has any area."""
    kept = {k: both for k, both in found.items() if both[0] > LEAST_STRIP}
    if kept:
        area, shadow = sum(kept.values())
        yield Patch(name, part, band, shadow / area, layers, {k: both[0] for k, both in kept.items()})


def sizes(plan, k, low, high):
    """Area and shadow of a sheet between two heights."""
    sheet = plan.sheets[k]
    if sheet.flat:
        top = plan.height(plan.breaks[-1])
        return np.full(2, sheet.flat if low < top <= high else 0.0)
    return np.array([between(plan, rate, low, high) for rate in (sheet.area, sheet.shadow)])


def pane(plan, edges, window):
    """What a window takes of every sheet in every band: the same share everywhere between its heights."""
    own = [k for k, sheet in enumerate(plan.sheets) if sheet.part == window.part]
    share = window.area / sum(sizes(plan, k, window.from_, window.to)[0] for k in own)
    spans = [(max(low, window.from_), min(high, window.to)) for low, high in pairs(edges)]
    return [
        {k: share * sizes(plan, k, low, high) for k in own} if low < high else dict.fromkeys(own, np.zeros(2))
        for low, high in spans
    ]


def steepest(plan, height, parts=("wall", "roof")):
    """Least cosine to straight up of what is there at a height, or just below where it breaks; 1 if nothing is."""
    u = max(plan.gone(height) - 1e-9, 1e-9)
    there = [sheet for sheet in plan.sheets if sheet.part in parts and not sheet.flat and sheet.area(u) > 0.0]
    return min((sheet.shadow(u) / sheet.area(u) for sheet in there), default=1.0)


def narrowing(wall, peak):
    """Share of the floor's width at a height: straight up, then straight to ridge or tip."""
    return lambda z: 1.0 if z <= wall else max(peak - z, 0.0) / (peak - wall)


def nothing(_u):
    return 0.0


def below(wall, rate):
    """What stands upright up to a height."""
    return lambda z: rate if z < wall else 0.0


def above(wall, rate):
    """What is alike all the way up from a height."""
    return lambda z: rate if z > wall else 0.0


def leaning(wall, peak, edge, reach):
    """Area and shadow by height of triangles over edges of a length in all, each to a point `reach` inward of it."""
    rise, share = peak - wall, narrowing(wall, peak)
    slant = math.sqrt(rise**2 + reach**2) / rise
    return (
        lambda z: edge * share(z) * slant if z > wall else 0.0,
        lambda z: edge * share(z) * reach / rise if z > wall else 0.0,
    )


def oblong(it, wall, sheets, share):
    floor = it.length * it.width
    sides = Sheet("wall", 2, below(wall, 2.0 * it.length), nothing)
    ends = Sheet("wall", 2, lambda z: 2.0 * it.width * share(z), nothing)
    rim = 2.0 * (it.length + it.width)
    return by_height(lambda z: floor * share(z), (wall,), (sides, ends, *sheets), floor, rim)


def box(it):
    floor = it.length * it.width
    return oblong(
        it, it.height, [Sheet("roof", 1, nothing, nothing, floor)], narrowing(it.height, it.height + 1.0)
    )


def wall_tent(it):
    rise, reach = it.ridge - it.wall, it.width / 2.0
    slant = math.sqrt(rise**2 + reach**2) / rise
    roof = Sheet(
        "roof", 2, above(it.wall, 2.0 * it.length * slant), above(it.wall, 2.0 * it.length * reach / rise)
    )
    return oblong(it, it.wall, [roof], narrowing(it.wall, it.ridge))


def to_a_tip(wall, peak, sides, floor, extra=(), section=None):
    """Sides as (edge in all, reach inward, planes) over upright walls, or over others in their place."""
    share = narrowing(wall, peak)
    upright = [Sheet("wall", n, below(wall, edge), nothing) for edge, _, n in sides]
    roof = [Sheet("roof", n, *leaning(wall, peak, edge, reach)) for edge, reach, n in sides]
    breaks = (wall / 2.0, wall)
    rim = sum(edge for edge, *_ in sides)
    section = section or (lambda z: floor * share(z) ** 2)
    return by_height(section, breaks, (*(extra or upright), *roof), floor, rim)


def bell(it):
    half = it.diameter / 2.0
    return to_a_tip(it.wall, it.peak, [(2.0 * math.pi * half, half, FACETS)], math.pi * half**2)


def regular(sides, width):
    """Edge and area of a regular polygon round a circle: as many triangles, each the circle's half width high."""
    edge = 2.0 * (width / 2.0) * math.tan(math.pi / sides)
    return edge, sides * edge * width / 2.0 / 2.0


def pyramid(it):
    if it.sides == 4:
        long, wide = it.length or it.width, it.width
        return to_a_tip(
            it.wall, it.peak, [(2.0 * long, wide / 2.0, 2), (2.0 * wide, long / 2.0, 2)], long * wide
        )
    edge, floor = regular(it.sides, it.width)
    return to_a_tip(it.wall, it.peak, [(it.sides * edge, it.width / 2.0, it.sides)], floor)


def hub(it):
    """By height: triangles under and over the hub shrink towards it, the two beside it widen towards it."""
    edge, floor = regular(it.sides, it.width)
    half, out, share = it.wall / 2.0, it.pushed_out, narrowing(it.wall, it.peak)

    def near(z):
        """0 at ground and eaves, 1 at the hub."""
        return max(1.0 - abs(z - half) / half, 0.0)

    def area(z):
        slant, beside = math.sqrt(half**2 + out**2) / half, math.sqrt((edge / 2.0) ** 2 + out**2)
        return it.sides * ((1.0 - near(z)) * edge * slant + 2.0 * near(z) * beside) if z < it.wall else 0.0

    def shadow(z):
        if z >= it.wall:
            return 0.0
        return it.sides * (1.0 - near(z)) * edge * (out / half if z > half else -out / half)

    def section(z):
        if z > it.wall:
            return floor * share(z) ** 2
        return floor + it.sides * out * near(z) * (edge + (1.0 - near(z)) * edge) / 2.0

    sides = [(it.sides * edge, it.width / 2.0, it.sides)]
    return to_a_tip(it.wall, it.peak, sides, floor, [Sheet("wall", it.sides, area, shadow)], section)


def by_angle(peak, section, sheets, floor, rim):
    """An ellipse drawn as (across cos, peak sin)."""
    return Plan(
        lambda u: peak * math.sin(u),
        lambda z: math.asin(min(z / peak, 1.0)),
        lambda u: peak * math.cos(u),
        section,
        (),
        sheets,
        floor,
        rim,
    )


def along(across, peak):
    """Length of the ellipse by angle."""
    return lambda u: math.sqrt((across * math.sin(u)) ** 2 + (peak * math.cos(u)) ** 2)


def dome(it):
    half, arc = it.diameter / 2.0, along(it.diameter / 2.0, it.peak)

    def round_about(u):
        return 2.0 * math.pi * half * math.cos(u)

    sheet = Sheet(
        "roof", FACETS, lambda u: round_about(u) * arc(u), lambda u: round_about(u) * half * math.sin(u)
    )
    floor = math.pi * half**2
    return by_angle(it.peak, lambda u: floor * math.cos(u) ** 2, (sheet,), floor, 2.0 * math.pi * half)


def tunnel(it):
    half, arc = it.width / 2.0, along(it.width / 2.0, it.peak)
    ends = Sheet("wall", 2, lambda u: 4.0 * half * math.cos(u) * it.peak * math.cos(u), nothing)
    arch = Sheet(
        "roof", FACETS, lambda u: 2.0 * it.length * arc(u), lambda u: 2.0 * it.length * half * math.sin(u)
    )
    floor = it.length * it.width
    return by_angle(it.peak, lambda u: floor * math.cos(u), (ends, arch), floor, 2.0 * (it.length + it.width))


PLANS = {
    "box": box,
    "wall tent": wall_tent,
    "bell": bell,
    "pyramid": pyramid,
    "hub": hub,
    "dome": dome,
    "tunnel": tunnel,
}


def views(drawing):
    """Carroll 1980 (from memory): f = 1/(1 - A f / sum A f) of every plane, for the sheets and then the floor.

    Strips of a plane do not see each other: the plane's whole area stands above the line.
    """
    plane = np.array([*drawing.planes, drawing.plan.floor])
    count = np.array([*(sheet.planes for sheet in drawing.plan.sheets), 1])
    kept = plane > 0.0
    whole = plane * count

    def miss(f):
        return f - 1.0 / (1.0 - plane[kept] * f / (whole[kept] @ f))

    start = np.ones(kept.sum())
    for _ in range(50):
        start = (start + 1.0 / (1.0 - plane[kept] * start / (whole[kept] @ start))) / 2.0
    found = root(miss, start, tol=1e-14).x
    assert np.abs(miss(found)).max() < 1e-11
    assert (found > 1.0).all()
    every = np.full(plane.size, np.nan)
    every[kept] = found
    return every


def star_weight(area, view, emissivity):
    """Carroll 1980: the star's conductance of a grey surface, A / (1/f + (1 - e)/e) [m2]."""
    return area / (1.0 / view + (1.0 - emissivity) / emissivity)

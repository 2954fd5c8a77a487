"""Derivatives of the vapour's part of the right-hand side: of each amount of water, and of each face's temperature.

What the temperatures of the air move is differenced with all else that they move, in `jacobian`.
"""

from simtent import compiled
from simtent.assembly.parameters import Damp, Films
from simtent.assembly.vapour import Carrying, Face, at_bags, at_face, from_air, from_hung, latent
from simtent.network.arrays import Array
from simtent.physics.damp import EVAPORATION

RATIO_STEP = 1e-7  # kg/kg
WATER_STEP = 1e-6  # kg/m2


def add_damp_slopes(
    out: Array,
    state: Array,
    damp: Damp,
    films: Films,
    flows: Carrying,
    density_ratio: float,
    pressure: float,
    outside: float,
    base: Array,
    after: Array,
    step: float,
    capacity: Array,
) -> None:
    """Slopes of faces, bags, wet things and of the air that carries vapour.

    `after` are temperatures a step on [K], `outside` is the humidity ratio outdoors [kg/kg].
    """
    add_carrying_slopes(out, damp, flows)
    for k in range(films.node.size):
        add_face_slopes(
            out, state, damp, films, k, density_ratio, pressure, outside, base, after, step, capacity
        )
    add_fog_slopes(out, state, damp, pressure, base, capacity)
    add_bag_slopes(out, state, damp, pressure, base, capacity)
    for k in range(damp.wet_layer.size):
        add_hung_slopes(out, state, damp, k, pressure, base, capacity)


def add_carrying_slopes(out: Array, damp: Damp, flows: Carrying) -> None:
    """What the vapour of every layer moves in the air."""
    for k in range(damp.mass.size):
        column = damp.first + k
        gone = flows.leaving[k] / damp.mass[k]
        out[column, column] -= gone
        out[damp.left, column] += gone
        if k < damp.mass.size - 1:
            risen = flows.up[k] / damp.mass[k]
            out[column, column] -= risen
            out[column + 1, column] += risen
        if k > 0:
            fallen = flows.down[k - 1] / damp.mass[k]
            out[column, column] -= fallen
            out[column - 1, column] += fallen


def add_face_slopes(
    out: Array,
    state: Array,
    damp: Damp,
    films: Films,
    k: int,
    density_ratio: float,
    pressure: float,
    outside: float,
    base: Array,
    after: Array,
    step: float,
    capacity: Array,
) -> None:
    """What the vapour beside a face, its temperature, and ice and water on it move."""
    layer, node, area = films.air[k], films.node[k], films.area[k]
    vapour, ice, liquid = damp.first + layer, damp.ice + k, damp.liquid + k
    ratio, air, face = state[vapour] / damp.mass[layer], base[layer], base[node]
    here = at_face(
        damp, films, k, density_ratio, pressure, ratio, outside, air, face, state[ice], state[liquid]
    )
    more = at_face(
        damp,
        films,
        k,
        density_ratio,
        pressure,
        ratio + RATIO_STEP,
        outside,
        air,
        face,
        state[ice],
        state[liquid],
    )
    book_slope(out, vapour, damp, k, vapour, node, more, here, RATIO_STEP * damp.mass[layer], capacity)
    more = at_face(
        damp, films, k, density_ratio, pressure, ratio, outside, air, after[node], state[ice], state[liquid]
    )
    book_slope(out, node, damp, k, vapour, node, more, here, step, capacity)
    by = WATER_STEP * area
    more = at_face(
        damp, films, k, density_ratio, pressure, ratio, outside, air, face, state[ice] + by, state[liquid]
    )
    book_slope(out, ice, damp, k, vapour, node, more, here, by, capacity)
    more = at_face(
        damp, films, k, density_ratio, pressure, ratio, outside, air, face, state[ice], state[liquid] + by
    )
    book_slope(out, liquid, damp, k, vapour, node, more, here, by, capacity)


def book_slope(
    out: Array,
    column: int,
    damp: Damp,
    k: int,
    vapour: int,
    node: int,
    more: Face,
    here: Face,
    step: float,
    capacity: Array,
) -> None:
    """Book in a column how what goes on at face k differs over a step."""
    out[vapour, column] -= (more.vapour - here.vapour) / step
    out[damp.left, column] += (more.through - here.through) / step
    out[damp.ice + k, column] += (more.ice - here.ice) / step
    out[damp.liquid + k, column] += (more.liquid - here.liquid) / step
    off = (more.off - here.off) / step
    if off != 0.0:
        out[damp.dripped, column] += off
        for below in range(damp.below.size):
            out[damp.liquid + below, column] += damp.below[below] * off
    watts = (more.watts - here.watts) / step
    out[node, column] += watts / capacity[node]
    out[capacity.size + damp.path, column] += watts


def add_fog_slopes(
    out: Array, state: Array, damp: Damp, pressure: float, base: Array, capacity: Array
) -> None:
    """What vapour moves where it turns to fog."""
    for k in range(damp.mass.size):
        column, step = damp.first + k, RATIO_STEP * damp.mass[k]
        ratio = state[column] / damp.mass[k]
        here = from_air(damp, k, pressure, ratio, base[k])
        slope = (from_air(damp, k, pressure, ratio + RATIO_STEP, base[k]) - here) / step
        if slope > 0.0:
            out[column, column] -= slope
            for below in range(damp.below.size):
                out[damp.liquid + below, column] += damp.below[below] * slope
            out[k, column] += slope * EVAPORATION / capacity[k]
            out[capacity.size + damp.path, column] += slope * EVAPORATION


def add_bag_slopes(
    out: Array, state: Array, damp: Damp, pressure: float, base: Array, capacity: Array
) -> None:
    """What the vapour around the sleeping bags moves."""
    for k in range(damp.mass.size):
        if damp.skin[k] == 0.0:
            continue
        column, step = damp.first + k, RATIO_STEP * damp.mass[k]
        ratio = state[column] / damp.mass[k]
        here, _ = at_bags(damp, k, pressure, ratio, base[k])
        more, _ = at_bags(damp, k, pressure, ratio + RATIO_STEP, base[k])
        slope = (more - here) / step
        watts = -slope * latent(base[k] + damp.bag_over)
        out[column, column] += slope
        out[damp.bag, column] -= slope
        out[k, column] += watts / capacity[k]
        out[capacity.size + damp.path, column] += watts


def add_hung_slopes(
    out: Array, state: Array, damp: Damp, k: int, pressure: float, base: Array, capacity: Array
) -> None:
    """What the vapour around a wet thing moves, and the water left in it."""
    layer, thing = damp.wet_layer[k], damp.wet + k
    vapour = damp.first + layer
    ratio, air, left = state[vapour] / damp.mass[layer], base[layer], state[thing]
    here, by = from_hung(damp, k, pressure, ratio, air, left), WATER_STEP * damp.wet_area[k]
    damper = from_hung(damp, k, pressure, ratio + RATIO_STEP, air, left)
    wetter = from_hung(damp, k, pressure, ratio, air, left + by)
    by_vapour, by_water = (damper - here) / (RATIO_STEP * damp.mass[layer]), (wetter - here) / by
    heat = latent(air)
    for column, slope in ((vapour, by_vapour), (thing, by_water)):
        out[vapour, column] += slope
        out[thing, column] -= slope
        out[layer, column] -= slope * heat / capacity[layer]
        out[capacity.size + damp.path, column] -= slope * heat


compiled.compile_module(globals())

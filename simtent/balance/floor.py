"""What warms and cools the floor: all its parts, from their upper face down to the top of the ground."""

import numpy as np

from simtent.assembly.air import add_films
from simtent.assembly.house import House
from simtent.assembly.rhs import add_star, known_radiant
from simtent.assembly.streams import SHED_ROWS
from simtent.balance.moment import Mask, Moment, given, joined, some
from simtent.physics.radiation import black_exchange

WAYS = {
    "": "ground below",
    "ground_edge": "ground at the floor's edge",
    "water_below": "water below",
    "floor_outside": "outdoor air below",
    "sun": "sun",
}


def floor_nodes(house: House, size: int) -> Mask:
    """Which of so many temperatures are the floor's; the nodes of a part stand one after another."""
    inside = np.zeros(size, bool)
    for part in house.floors:
        inside[part.top : (part.bottom if part.ground_top is None else part.ground_top) + 1] = True
    return inside


def floor_shares(now: Moment, inside: Mask) -> dict[str, float]:
    """Every share of the floor [W], by its name."""
    heat, paths = now.nothing()
    films = some(now.p.films, inside[now.p.films.node])
    add_films(films, now.p.weather.density_ratio, now.temps, heat, paths, np.zeros((SHED_ROWS, 1)))
    shares = {"air above": float(heat[inside].sum()), **_radiation(now, inside)}
    for name, watts in (*joined(now, inside), *given(now, inside)):
        shares[WAYS[name]] = watts
    return shares | {"vapour that settles there or dries": float(now.latent[inside].sum())}


def _radiation(now: Moment, inside: Mask) -> dict[str, float]:
    """Long waves from a known source, from stove and pipe, from walls and roof."""
    star, net = now.p.star, now.p.net
    (whole, paths), (faces, _) = now.nothing(), now.nothing()
    add_star(star, known_radiant(star, net.tables, now.rows, now.t), now.temps, whole, paths)
    add_star(star, 0.0, now.temps, faces, paths)
    here = inside[star.node]
    hot = np.arange(star.node.size) >= star.room
    return {
        "radiation of the heat source": whole[inside].sum() - faces[inside].sum(),
        "radiation of stove and pipe": _between(now, here, hot),
        "radiation of walls and roof": faces[inside].sum() - _between(now, here, hot),
    }


def _between(now: Moment, here: Mask, there: Mask) -> float:
    """Net long waves onto some faces of the star from others [W].

    Its middle is a mean of fourth powers, so that each pair exchanges by the product of its weights over their sum.
    """
    node, area = now.p.star.node, now.p.star.area
    return float(
        sum(
            area[k] * area[j] / area.sum() * black_exchange(now.temps[node[j]], now.temps[node[k]])
            for k in np.flatnonzero(here)
            for j in np.flatnonzero(there)
        )
    )

"""Heat conduction in two dimensions under a floor's edge, by finite volumes: an independent calculation.

Half space y > 0, all at temperature 0 at first. From then on the surface at x > 0 exchanges with 1 through
the resistance inside, that at x < 0 with 0 through the resistance outside. Lengths are in units of
conductivity x resistance inside, so that conductivity, diffusivity and resistance inside are all 1; `reach`
is sqrt(diffusivity x time) in that unit and `outside` the resistance outside over that inside.
"""

import itertools
from typing import NamedTuple

import numpy as np
import scipy.sparse as sparse
import scipy.sparse.linalg as sparse_linear

EXTENT = 6.0  # size of the region over the reach: erfc(6 / 2) is 2e-5
STEP_SIZES = 14  # levels of step size, four steps each: 56 steps in all
GAMMA = 1.0 - 0.5**0.5  # of the two-stage, second-order, L-stable method


class Edge(NamedTuple):
    """Time means: extra heat at the edge, rise of the surface far inside."""

    heat: float
    rise: float

    @property
    def conductance(self) -> float:
        """Extra heat per kelvin of rise, over the conductivity of the ground."""
        return self.heat / self.rise


def growing(first, ratio, total):
    cells = [first]
    while sum(cells) < total:
        cells.append(cells[-1] * ratio)
    return np.array(cells)


def chain(cells):
    """Conduction matrix of a row of cells, conductivity 1."""
    conductance = 2.0 / (cells[:-1] + cells[1:])
    diagonal = np.zeros(len(cells))
    diagonal[:-1] += conductance
    diagonal[1:] += conductance
    return sparse.diags([diagonal, -conductance, -conductance], [0, 1, -1])


class Body:
    """Linear body C dT/dt = b - K T with surface conductances on some of its cells."""

    def __init__(self, capacity, matrix, exchange, environment):
        self.capacity = sparse.diags(capacity)
        self.matrix = (matrix + sparse.diags(exchange)).tocsc()
        self.load = exchange * environment
        self.state = np.zeros(len(capacity))

    def prepare(self, step):
        self.step, self.solver = (
            step,
            sparse_linear.splu((self.capacity + GAMMA * step * self.matrix).tocsc()),
        )

    def advance(self):
        """Take one step; return the states of its two stages, whose weights are 1 - GAMMA and GAMMA."""
        h = self.step
        k1 = self.solver.solve(self.load - self.matrix @ self.state)
        k2 = self.solver.solve(self.load - self.matrix @ (self.state + (1.0 - GAMMA) * h * k1))
        stages = self.state + GAMMA * h * k1, self.state + h * ((1.0 - GAMMA) * k1 + GAMMA * k2)
        self.state = self.state + h * ((1.0 - GAMMA) * k1 + GAMMA * k2)
        return stages


def edge(reach, outside, first=0.02, ratio=1.15):
    """Mean edge heat and mean rise of the inner surface over the time in which heat reaches `reach`."""
    side = growing(first * min(reach, 1.0), ratio, EXTENT * reach)
    across, down = np.concatenate([side[::-1], side]), side
    x = np.cumsum(across) - across / 2 - side.sum()
    film = across / (np.where(x > 0, 1.0, outside) + down[0] / 2)
    exchange = np.zeros((len(across), len(down)))
    exchange[:, 0] = film
    warm = np.repeat((x > 0).astype(float), len(down))
    matrix = sparse.kron(chain(across), sparse.diags(down)) + sparse.kron(sparse.diags(across), chain(down))
    plane = Body(np.kron(across, down), matrix, exchange.ravel(), warm)
    surface = np.zeros(len(down))
    surface[0] = 1.0 / (1.0 + down[0] / 2)
    column = Body(down, chain(down), surface, np.ones(len(down)))

    def rates(flat, line):
        total = film[x > 0] @ (1.0 - flat.reshape(exchange.shape)[x > 0, 0])
        flux = surface[0] * (1.0 - line[0])
        return total - flux * side.sum(), 1.0 - flux

    heat = rise = 0.0
    moments = np.append(0.0, np.geomspace(4e-4, 1.0, STEP_SIZES)) * reach**2
    for begin, end in itertools.pairwise(moments):
        step = (end - begin) / 4
        plane.prepare(step)
        column.prepare(step)
        for _ in range(4):
            for weight, flat, line in zip(
                (1.0 - GAMMA, GAMMA), plane.advance(), column.advance(), strict=True
            ):
                extra, above = rates(flat, line)
                heat += weight * step * extra
                rise += weight * step * above
    return Edge(heat / reach**2, rise / reach**2)

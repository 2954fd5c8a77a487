"""What the readings cannot tell, in words: parameters known only together, pairs that act alike, untouched priors."""

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import combinations, product

import numpy as np

from simtent.identify.fit import Fit
from simtent.network.arrays import Array

LOOSE = 1.0  # deviation of a logarithm from which a direction counts as not found: a factor of 2.7 either way
SHARE = 0.03  # part of a direction below which a parameter has no part in it
CLOSE = 0.02  # how far, of its length, a product may lean into what is not found
ALIKE = 0.95  # cosine of two parameters' effects
KEPT = 0.9  # part of the prior's spread that is left
AT_BOUND = 1e-3  # of a logarithm
MOST_TOGETHER = 3  # parameters in a product that is named
POWERS = (1, -1, 2, -2)


@dataclass(frozen=True)
class Confounded:
    """Parameters that the readings know only together.

    names       of the parameters; a single one leaves no trace of its own
    products    of their powers that can be found, such as "R1*C"; as many as the readings know
    direction   by how much each goes up, in percent, when the first goes up by 10 and no reading changes much
    """

    names: tuple[str, ...]
    products: tuple[str, ...]
    direction: tuple[float, ...]

    def words(self) -> str:
        """One sentence."""
        if len(self.names) == 1:
            return f"{self.names[0]} cannot be found: the readings hardly change with it."
        together = f"{_listed(self.names)} cannot be found separately: "
        if self.products:
            return f"{together}only {_listed(self.products)} can be found."
        moves = zip(self.names, self.direction, strict=True)
        steps = [
            f"{name} {'up' if by > 0 else 'down'} by {abs(by):.2g} %" for name, by in moves if abs(by) >= 0.1
        ]
        return f"{together}the readings hardly change with {_listed(steps)}."


@dataclass(frozen=True)
class Unidentified:
    """All that a fit's readings leave open.

    pairs      two names that act alike on the readings, and the cosine of their effects
    at_prior   names of which the readings say next to nothing beyond their prior
    at_bound   names that ended at a bound: their interval means little
    """

    confounded: tuple[Confounded, ...]
    pairs: tuple[tuple[str, str, float], ...]
    at_prior: tuple[str, ...]
    at_bound: tuple[str, ...]

    def words(self) -> tuple[str, ...]:
        """One sentence for each."""
        return (
            *(one.words() for one in self.confounded),
            *(
                f"{a} and {b} act alike on the readings ({c:+.3f}): one trades for the other."
                for a, b, c in self.pairs
            ),
            *(
                f"{name} stays at its prior: the readings say next to nothing of it."
                for name in self.at_prior
            ),
            *(f"{name} ended at its bound: its interval means little." for name in self.at_bound),
        )


def unidentified(found: Fit) -> Unidentified:
    """Look for what the readings of a fit do not tell."""
    names = [one.name for one in found.problem.parameters]
    lost = _lost(found)
    groups = _groups(lost)
    deviations = found.deviations()
    at_prior = [
        one.name
        for one in found.problem.parameters
        if one.prior is not None and deviations[one.name] > KEPT * one.prior.spread
    ]
    at_bound = [
        one.name
        for one, x in zip(found.problem.parameters, found.logs, strict=True)
        if np.abs(np.log(one.bounds) - x).min() < AT_BOUND
    ]
    return Unidentified(
        tuple(_confounded(names, lost, group) for group in groups),
        tuple(_pairs(names, found.information.data, lost)),
        tuple(at_prior),
        tuple(at_bound),
    )


def _lost(found: Fit) -> Array:
    """Directions in which the readings leave the logarithms looser than `LOOSE`, in the rows."""
    sizes, directions = found.information.spectrum()
    return np.asarray(directions[sizes < 1.0 / LOOSE])


def _groups(lost: Array) -> list[list[int]]:
    """Parameters that share lost directions, group by group."""
    projector = lost.T @ lost
    members = [k for k in range(len(projector)) if projector[k, k] > SHARE**2]
    groups: list[list[int]] = []
    while members:
        group = [members.pop(0)]
        for one in group:
            joined = [k for k in members if abs(projector[one, k]) > SHARE**2]
            group += joined
            members = [k for k in members if k not in joined]
        groups.append(sorted(group))
    return groups


def _confounded(names: list[str], lost: Array, group: list[int]) -> Confounded:
    inner = lost[:, group]
    rows = np.linalg.svd(inner)[2][: round(float(np.sum(inner**2)))]
    direction = rows[0] / rows[0][np.argmax(np.abs(rows[0]))]
    mine = tuple(names[k] for k in group)
    if direction[0] != 0.0 and abs(direction[0]) > SHARE:
        direction = direction / direction[0]
    return Confounded(mine, tuple(_products(mine, rows)), tuple((10.0 * direction).tolist()))


def _products(names: tuple[str, ...], rows: Array) -> list[str]:
    """As many independent products as the lost directions (in the rows) leave; none if some cannot be named."""
    wanted, chosen = len(names) - len(rows), np.zeros((0, len(names)))
    told: list[str] = []
    for powers in _simple(len(names)):
        if len(told) == wanted:
            break
        if np.linalg.norm(rows @ powers) > CLOSE * np.linalg.norm(powers):
            continue
        more = np.vstack((chosen, powers))
        if np.linalg.matrix_rank(more) > len(chosen):
            chosen = more
            told.append(_named(names, powers))
    return told if len(told) == wanted else []


def _simple(size: int) -> Iterator[Array]:
    """Powers of products, the simplest first: few parameters, small powers, few quotients."""
    found = []
    for many in range(1, min(size, MOST_TOGETHER) + 1):
        for where in combinations(range(size), many):
            for powers in product(POWERS, repeat=many):
                if powers[0] > 0:
                    one = np.zeros(size)
                    one[list(where)] = powers
                    found.append(one)
    yield from sorted(found, key=lambda one: (np.count_nonzero(one), np.abs(one).sum(), np.sum(one < 0.0)))


def _named(names: tuple[str, ...], powers: Array) -> str:
    above = [_power(name, p) for name, p in zip(names, powers, strict=True) if p > 0]
    below = [_power(name, -p) for name, p in zip(names, powers, strict=True) if p < 0]
    return "*".join(above) + "".join(f"/{one}" for one in below)


def _power(name: str, power: float) -> str:
    return name if power == 1.0 else f"{name}^{power:g}"


def _pairs(names: list[str], data: Array, lost: Array) -> Iterator[tuple[str, str, float]]:
    """Pairs whose effects on the readings are nearly parallel, but not lost (these are told of with their group)."""
    sizes = np.linalg.norm(data, axis=0)
    for i, j in combinations(range(len(names)), 2):
        if not (sizes[i] > 0.0 and sizes[j] > 0.0):
            continue
        cosine = float(data[:, i] @ data[:, j] / (sizes[i] * sizes[j]))
        against = np.zeros(len(names))  # the move in which one makes up for the other
        against[i], against[j] = sizes[j], -np.sign(cosine) * sizes[i]
        told = np.linalg.norm(lost @ against) > (1.0 - CLOSE) * np.linalg.norm(against)
        if abs(cosine) > ALIKE and not told:
            yield names[i], names[j], cosine


def _listed(names: tuple[str, ...] | list[str]) -> str:
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"

"""Which cases a study has: places from 0 to 1 for every factor, laid out by a method of the trade."""

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from itertools import product
from typing import Any

from simtent.errors import Fault, InputError
from simtent.surveys.factors import Factor, Level

MORRIS_PLACES = 4  # of each factor; Morris 1991 takes an even number, four is the usual one, from memory
FEWEST_BLOCKS = 2
METHODS = {
    "grid": "every level of each factor with every level of the others",
    "latin hypercube": "cases spread so that each factor is covered evenly",
    "sobol": "cases spread evenly through all factors together (a Sobol sequence, scrambled)",
    "morris": "paths on which one factor moves at a time: which factors matter at all",
    "saltelli": "cases from which Sobol indices follow: how much of what varies each factor brings about",
}
INDICES = ("morris", "saltelli")  # methods that give indices, by SALib


@dataclass(frozen=True)
class Design:
    """How many cases a method makes of so many factors.

    method  one of METHODS
    blocks  cases, or for methods that give indices groups of cases
    each    cases of a block
    """

    method: str
    blocks: int
    each: int = 1

    @property
    def size(self) -> int:
        """Number of cases."""
        return self.blocks * self.each


def design_of(method: str, factors: Sequence[Factor], cases: int | None) -> Design:
    """The design with at most so many cases; InputError where they are too few, or nobody said how many."""
    count = len(factors)
    if method == "grid":
        return Design(method, math.prod(len(factor.steps()) for factor in factors))
    if cases is None:
        raise InputError(Fault("how many cases is not said", todo="Add cases = 256: nights at most"))
    each = {"morris": count + 1, "saltelli": count + 2}.get(method, 1)
    fewest = each * (FEWEST_BLOCKS if method in INDICES else 1)
    if cases < fewest:
        what = f"too few cases for {method} with {count} factors"
        raise InputError(Fault(what, value=str(cases), allowed=f"{fewest} or more", todo="Raise cases"))
    blocks = cases // each
    if method in ("sobol", "saltelli"):  # balanced only for powers of two
        blocks = 1 << (blocks.bit_length() - 1)
    return Design(method, blocks, each)


def laid_out(design: Design, factors: Sequence[Factor], seed: int) -> Iterator[tuple[Level, ...]]:
    """The levels of every case, a level for each factor."""
    if design.method == "grid":
        yield from product(*(factor.steps() for factor in factors))
        return
    for row in _PLACES[design.method](design.blocks, len(factors), seed):
        yield tuple(factor.at(float(place)) for factor, place in zip(factors, row, strict=True))


def problem(count: int) -> dict[str, Any]:
    """So many factors with places from 0 to 1, as SALib takes them."""
    return {"num_vars": count, "names": [f"x{n}" for n in range(count)], "bounds": [[0.0, 1.0]] * count}


def salib() -> None:
    """InputError where SALib is not installed."""
    try:
        import SALib  # noqa: F401, PLC0415  (an extra dependency)
    except ImportError:
        todo = "Install it: pip install 'simtent[sensitivity]'; or take another method"
        raise InputError(Fault("this needs the library SALib, which is not installed", todo=todo)) from None


def _latin(blocks: int, count: int, seed: int) -> Any:
    from scipy.stats import qmc  # noqa: PLC0415  (heavy imports wait until the input is good)

    return qmc.LatinHypercube(count, seed=seed).random(blocks)


def _sequence(blocks: int, count: int, seed: int) -> Any:
    from scipy.stats import qmc  # noqa: PLC0415

    return qmc.Sobol(count, scramble=True, seed=seed).random_base2(blocks.bit_length() - 1)


def _morris(blocks: int, count: int, seed: int) -> Any:
    salib()
    from SALib.sample import morris  # noqa: PLC0415

    return morris.sample(problem(count), blocks, num_levels=MORRIS_PLACES, seed=seed)


def _saltelli(blocks: int, count: int, seed: int) -> Any:
    salib()
    from SALib.sample import sobol  # noqa: PLC0415

    return sobol.sample(problem(count), blocks, calc_second_order=False, seed=seed)


_PLACES: dict[str, Callable[[int, int, int], Any]] = {
    "latin hypercube": _latin,
    "sobol": _sequence,
    "morris": _morris,
    "saltelli": _saltelli,
}

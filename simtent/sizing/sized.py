"""The public function: is the stove big enough, and which would be."""

from collections.abc import Mapping, Sequence
from typing import Any

from simtent.errors import Fault, InputError
from simtent.scenario.scenario import Scenario
from simtent.sizing.answer import Answer, Asked, Tell, answer
from simtent.sizing.classes import LADDER
from simtent.sizing.judged import build
from simtent.sizing.scene import stripped

HOURS = (2.0, 3.0, 4.0)  # common practice: what a load lasts in small and large stoves


def size_stove(
    scenario: Scenario,
    lows: Sequence[float],
    *,
    winds: Sequence[float] = (0.0,),
    every: Sequence[float] = HOURS,
    volumes: Sequence[float] = LADDER,
    changed: Mapping[str, Any] | None = None,
    tell: Tell = lambda _line: None,
) -> Answer:
    """Hold what a shelter needs in design nights against what stoves of given sizes can hold.

    Parameters
    ----------
    scenario : Scenario
        With a shelter and [wish] cot_at_least; its own stove, if it has one, is judged too.
    lows : sequence of float
        Outdoor air of the design nights [K].
    winds : sequence of float
        For which needs are told [m/s]; the highest is the design nights'.
    every : sequence of float
        Hours between loads.
    volumes : sequence of float
        Fireboxes of the stoves to be tried [m3].
    changed : mapping, optional
        Keys of [stove] that all of these share, as text with units.
    tell : callable
        Is told a line now and then.

    Raises
    ------
    InputError
        No shelter, no wish, nothing asked, or a stove that cannot be.
    SolveError
        A night cannot be solved.
    """
    if faults := _faults(scenario, lows, winds, every, volumes):
        raise InputError(faults)
    scene = stripped(scenario)
    built = build(scene, volumes, changed or {})
    asked = Asked(tuple(sorted(lows)), tuple(sorted(winds)), max(winds), tuple(sorted(every)))
    return answer(scene, built, asked, tell)


def _faults(scenario: Scenario, *asked: Sequence[float]) -> list[Fault]:
    """What keeps a scenario from being asked this."""
    path, found = str(scenario.path), list[Fault]()
    if scenario.shelter is None:
        found.append(
            Fault("there is no shelter to be large enough for", path, key="shelter", todo="Add a shelter")
        )
    if scenario.wish.cot_at_least is None:
        found.append(
            Fault(
                "nothing says how warm it is wanted",
                path,
                key="wish.cot_at_least",
                todo='Add [wish] cot_at_least = "5 degC"',
            )
        )
    for name, values in zip(("lows", "winds", "every", "volumes"), asked, strict=True):
        if not values:
            found.append(Fault(f"{name} is empty", name, todo="Give one value at least"))
    return found

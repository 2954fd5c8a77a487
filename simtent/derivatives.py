"""Derivatives of what a night gives by numbers of its scenario: nights moved by a hair, stepped as the night itself.

Two nights solved each with steps of its own differ by the errors of both, which a difference by a hair multiplies.
A night that repeats the accepted steps of another one has its errors too, so that they cancel: what is left is the
derivative of the sum that the steps make, as exact as the night. Stops, calls of rules and the steps between them move
as the moved night has them. Nights are solved side by side: compiled code runs on all cores at once.
"""

import os
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from typing import Any, TypeAlias

import numpy as np

from simtent.assembly.plan import MOST_NOTES, NOTES, WHAT
from simtent.driver import SWIFT, drive
from simtent.errors import Fault, InputError, SolveError
from simtent.network.arrays import Array
from simtent.network.solve import Accuracy
from simtent.readings import ZERO_CELSIUS, level_temperatures
from simtent.run import OUTPUT_STEP, Run
from simtent.scenario.free import PURE, Moved, free
from simtent.scenario.scenario import Scenario

HAIR = 1e-4  # of a number's size, by which it is moved

Outputs: TypeAlias = Callable[[Run], Array]


class OtherCourseError(Exception):
    """A night moved by a hair takes another course than the night itself; the text says which."""


class OtherPartsError(OtherCourseError):
    """Its model has other parts, or joins them otherwise."""


@dataclass(frozen=True)
class Derivatives:
    """What a night gives, and how that changes with numbers of its scenario.

    parameters  their names; units, numbers: what they are counted in, and what they are
    values      outputs of the night in the order of `outputs`, shape (outputs,)
    matrix      change of each output by each parameter, per unit of it, shape (outputs, parameters)
    shape       of the outputs, as they were before they were put in a row
    moves       by what each parameter was moved
    remarks     what is not so on the other side of the night: a parameter that had to be moved down, and why
    run         the night itself
    """

    parameters: tuple[str, ...]
    units: tuple[str, ...]
    numbers: Array
    values: Array
    matrix: Array
    shape: tuple[int, ...]
    moves: Array
    remarks: tuple[str, ...]
    run: Run

    def by(self, parameter: str) -> Array:
        """Change of the outputs by one parameter, in their own shape."""
        return self.matrix[:, self.parameters.index(parameter)].reshape(self.shape)


def temperatures(night: Run) -> Array:
    """Air at the named levels, shape (times, levels); of a stove in the open its body, shape (times,) [degC]."""
    if night.model.house is not None:
        return level_temperatures(night)
    assert night.model.hearth is not None
    return night.temperatures[:, night.model.hearth.body] - ZERO_CELSIUS


def derivatives(
    scenario: Scenario,
    parameters: Sequence[str | Moved],
    outputs: Outputs = temperatures,
    *,
    accuracy: Accuracy = SWIFT,
    step: float = OUTPUT_STEP,
    cores: int | None = None,
) -> Derivatives:
    """Derivatives of outputs, reported every `step` [s], by numbers of a scenario.

    Parameters are dotted keys of its numbers, or whatever moves one; the night is then that with its `number`.

    Raises
    ------
    InputError
        There is no such number, or a hair of it changes the parts of the model.
    SolveError
        A night cannot be solved, or hangs on a hair: moved either way another load catches, or a rule calls.
    """
    moved = [free(scenario, it) if isinstance(it, str) else it for it in parameters]
    for given in parameters:
        if not isinstance(given, str):
            scenario = scenario.replace(given.replacement(given.number))
    night = drive(scenario, accuracy=accuracy, step=step)

    def again(of: Scenario) -> Run:
        return drive(of, accuracy=accuracy, step=step, replay=night.steps)

    same = again(scenario)
    values = np.asarray(outputs(same), float)

    def column(it: Moved) -> tuple[Array, float, str]:
        other, move, remark = _moved(scenario, it, same, again)
        return (np.asarray(outputs(other), float).ravel() - values.ravel()) / move, move, remark

    with ThreadPoolExecutor(cores or _cores()) as threads:
        columns = list(threads.map(column, moved))
    return Derivatives(
        parameters=tuple(it.name for it in moved),
        units=tuple(it.unit for it in moved),
        numbers=np.array([it.number for it in moved]),
        values=values.ravel(),
        matrix=np.array([found for found, *_ in columns]).reshape(len(moved), values.size).T,
        shape=values.shape,
        moves=np.array([move for _, move, _ in columns]),
        remarks=tuple(remark for *_, remark in columns if remark),
        run=night,
    )


def _moved(
    scenario: Scenario, it: Moved, night: Run, again: Callable[[Scenario], Run]
) -> tuple[Run, float, str]:
    """The night with a number moved up by a hair, or down where up is out of range or takes another course."""
    troubles: list[Exception] = []
    for sign in (1.0, -1.0):
        number = it.number + sign * HAIR * it.size
        try:
            other = again(scenario.replace(it.replacement(number)))
            _check_same_course(night, other)
        except (InputError, SolveError, OtherCourseError) as trouble:
            troubles.append(trouble)
        else:
            return other, number - it.number, _remark(it, troubles)
    raise _worst(it, troubles) from None


def _remark(it: Moved, troubles: list[Exception]) -> str:
    """What is to be told of a number that was moved down; nothing where up is but out of range."""
    if not troubles or isinstance(troubles[0], InputError):
        return ""
    return f"{it.name} was moved down: moved up by {_hair(it)}, {_lowered(troubles[0])}"


def _worst(it: Moved, troubles: list[Exception]) -> Exception:
    """What to raise where a number can be moved neither up nor down."""
    told = next((trouble for trouble in troubles if not isinstance(trouble, InputError)), troubles[0])
    if isinstance(told, OtherPartsError):
        todo = "Take another number for it: no derivative tells what such a change does"
        return InputError(Fault(f"moved by a hair, {told}", key=it.name, todo=todo))
    if isinstance(told, InputError):
        return told
    return SolveError(
        f"The night hangs on a hair: with {it.name} moved by {_hair(it)}, {_lowered(told)} It has no "
        "derivative here; take a number or a clock time that differs by a little."
    )


def _hair(it: Moved) -> str:
    """By what a number is moved, with its unit."""
    return f"{HAIR * it.size:g} {it.unit}" if it.unit != PURE else f"{HAIR * it.size:g}"


def _lowered(trouble: Exception) -> str:
    """The text of an error within a sentence, and its full stop."""
    text = str(trouble).rstrip(".")
    return f"{text[:1].lower()}{text[1:]}."


def _check_same_course(night: Run, other: Run) -> None:
    """OtherCourseError where parts, stops, or what is done at the stove are others."""
    if not _alike(_bare(night.model.shelter), _bare(other.model.shelter)):
        raise OtherPartsError("the model has other parts, or joins them otherwise")
    if night.tending is not None and other.tending is not None:
        done, otherwise = (_done(it) for it in (night, other))
        if done != otherwise:
            raise OtherCourseError("something else is done at the stove, or another load catches")


def _done(night: Run) -> list[int]:
    """What happened at the stove, in its order."""
    assert night.tending is not None
    diary = night.tending.plan.diary
    return [int(what) for what in diary.notes[: min(diary.counts[NOTES], MOST_NOTES), WHAT]]


def _alike(one: Any, other: Any) -> bool:
    """Whether trees of arrays have the same sizes, and the same whole numbers: indices, rows, what joins what."""
    pairs = zip(_leaves(one), _leaves(other), strict=True)
    return all(a.shape == b.shape and (a.dtype.kind != "i" or bool((a == b).all())) for a, b in pairs)


def _leaves(tree: Any) -> Iterator[Any]:
    if isinstance(tree, tuple):
        for part in tree:
            yield from _leaves(part)
    else:
        yield np.asarray(tree)


def _bare(tree: Any) -> Any:
    """The tree behind a handle."""
    return getattr(tree, "tree", tree)


def _cores() -> int:
    """Cores that this process may use."""
    if hasattr(os, "sched_getaffinity"):
        return len(os.sched_getaffinity(0))
    return os.cpu_count() or 1

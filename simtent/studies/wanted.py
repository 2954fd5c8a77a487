"""What a study may keep of each night: variables of the night's Dataset, and numbers that sum a night up."""

from collections.abc import Callable, Iterable, Sequence
from typing import TypeAlias

from numpy.typing import ArrayLike

from simtent.errors import Fault, InputError
from simtent.scenario.scenario import Scenario
from simtent.schema import TABLE, Variable

# From a scenario and the names wanted to their values, and to the labels of their dimensions; `elapsed` in seconds.
# What a night does not have (a fire's variables without a fire) is left out. SimtentError says why a night fails.
Night: TypeAlias = Callable[[Scenario, Sequence[str]], tuple[dict[str, ArrayLike], dict[str, ArrayLike]]]

PRECISIONS = ("float32", "float64")
# Of these a night has as many as happen in it, or needs several runs for them.
NOT_KEPT = ("band", "events", "departures", "findings")


def _sum(name: str, dims: tuple[str, ...], units: str, long_name: str, meaning: str) -> Variable:
    return Variable(name, dims, "float", units, long_name, meaning, group="study")


SUMMARY: dict[str, Variable] = {
    variable.name: variable
    for variable in (
        _sum(
            "lowest_temperature",
            ("level",),
            "degC",
            "lowest air temperature at the level",
            "Of the whole night.",
        ),
        _sum(
            "highest_temperature",
            ("level",),
            "degC",
            "highest air temperature at the level",
            "Of the whole night.",
        ),
        _sum(
            "lowest_in_bed",
            ("level",),
            "degC",
            "lowest air temperature at the level in bed",
            "From the bed time to the rise time wished for; without one from the begin, or to the end.",
        ),
        _sum("wood_put_on", (), "kg", "wood put on the fire", "With its water, in the whole night."),
        _sum("heat_given", (), "J", "heat released", "By the heat source, or by all that burnt."),
        _sum("energy_residual", (), "1", "what the accounts miss", "As a share of the throughput."),
    )
}
USUAL: tuple[str, ...] = ("level_temperature", "outdoor_temperature", *SUMMARY)
ELAPSED = Variable(
    "elapsed",
    ("elapsed",),
    "time",
    "",
    "time since the night's begin",
    "Added to the case's begin it gives the moment, UTC.",
)


def declared(name: str) -> Variable:
    """The declaration of a variable or coordinate of a study."""
    return {**TABLE, **SUMMARY, "elapsed": ELAPSED}[name]


def is_declared(name: object) -> bool:
    """Whether a study knows a variable of this name."""
    return name in TABLE or name in SUMMARY


def dims_of(name: str) -> tuple[str, ...]:
    """Dimensions of a variable in one night of a study: its times count from the begin."""
    return tuple("elapsed" if dim == "time" else dim for dim in declared(name).dims)


def needs_readings(wanted: Iterable[str]) -> bool:
    """Whether a night has to be read at every time, its flows and all: the usual variables need no more than states."""
    return not set(wanted) <= set(USUAL)


def check_wanted(names: Iterable[str], precision: str) -> tuple[str, ...]:
    """The names, each once, or the only one; InputError for all that a study cannot keep, or for another precision."""
    wanted = (names,) if isinstance(names, str) else tuple(dict.fromkeys(names))
    allowed = [*SUMMARY, *(name for name in TABLE if _keepable(TABLE[name]))]
    faults = [
        Fault(f'a study cannot keep "{name}"', allowed=", ".join(allowed), todo="Take some of these")
        for name in wanted
        if name not in allowed
    ]
    if not wanted:
        faults.append(
            Fault("a study that keeps nothing", allowed=", ".join(allowed), todo="Take some of these")
        )
    if precision not in PRECISIONS:
        faults.append(
            Fault(
                "unknown precision", value=precision, allowed=" or ".join(PRECISIONS), todo="Take one of them"
            )
        )
    if faults:
        raise InputError(faults)
    return wanted


def _keepable(variable: Variable) -> bool:
    return variable.kind == "float" and variable.group not in NOT_KEPT and variable.name not in variable.dims

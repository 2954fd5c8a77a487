"""What a study asks of each night, as a number: "lowest_in_bed at cot", "highest stove_temperature"."""

import re
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from simtent.errors import Fault, InputError
from simtent.scenario.nearest import nearest
from simtent.schema import TABLE
from simtent.studies.wanted import SUMMARY, check_wanted, declared, dims_of

if TYPE_CHECKING:
    import xarray as xr

HOW = ("lowest", "highest", "mean", "last")
FORM = re.compile(r"(?:(lowest|highest|mean|last)\s+)?(\w+)(?:\s+at\s+(.+))?")
USUAL = "lowest_in_bed at cot"
EXAMPLE = 'Write for example "lowest_in_bed at cot", "heat_given" or "highest stove_temperature"'


@dataclass(frozen=True)
class Output:
    """A number of each night.

    how    what is taken of a variable over time; empty where it has none
    name   of the variable
    label  at which it is taken; empty where it has no labels
    """

    how: str
    name: str
    label: str

    def __str__(self) -> str:
        at = f" at {self.label}" if self.label else ""
        return f"{self.how} {self.name}{at}".strip()

    @property
    def units(self) -> str:
        """Its unit in the Dataset."""
        return declared(self.name).units

    def of(self, dataset: "xr.Dataset") -> "xr.DataArray":
        """The number of every case; not a number where it failed, or has none."""
        if self.name not in dataset:
            raise InputError(
                Fault(f'none of the nights has "{self.name}"', todo="Ask for what these nights have")
            )
        values = dataset[self.name]
        for dim in [dim for dim in values.dims if dim not in ("case", "elapsed")]:
            labels = [str(it) for it in values[dim].values.tolist()]
            if self.label not in labels:
                todo = nearest(self.label, labels) or "Take one of these"
                what = f'"{self}": there is no such {dim}'
                raise InputError(Fault(what, value=self.label, allowed=", ".join(labels), todo=todo))
            values = values.isel({dim: labels.index(self.label)})
        return _over_time(values, self.how) if "elapsed" in values.dims else values


def _over_time(values: "xr.DataArray", how: str) -> "xr.DataArray":
    if how == "last":
        values = values.load()
        return values.isel(
            elapsed=values.notnull().cumsum("elapsed").argmax("elapsed")
        )  # nights differ in length
    reduced: Any = {"lowest": values.min, "highest": values.max, "mean": values.mean}[how]
    found: xr.DataArray = reduced("elapsed", skipna=True)
    return found


def output(text: str) -> Output:
    """The output that a text names; InputError where there is none."""
    form = FORM.fullmatch(text.strip())
    if form is None:
        raise InputError(Fault("no output of a night", value=text, todo=EXAMPLE))
    how, name, label = (part or "" for part in form.groups())
    try:
        check_wanted([name], "float32")
    except InputError:
        known = [*SUMMARY, *TABLE]
        todo = nearest(name, known) or f"{EXAMPLE}; `simtent.studies.wanted` lists them"
        raise InputError(Fault(f'a study knows no "{name}"', value=text, todo=todo)) from None
    _check(text, how, name, label)
    return Output(how, name, label)


def _check(text: str, how: str, name: str, label: str) -> None:
    dims = dims_of(name)
    others = [dim for dim in dims if dim != "elapsed"]
    if len(others) > 1:
        what = f"{name} has more than one kind of label: {', '.join(others)}"
        raise InputError(
            Fault(what, value=text, todo="Ask for another output; scenarios/OUTPUTS.md lists them")
        )
    if bool(others) != bool(label):
        what = f"{name} is told at a {others[0]}" if others else f"{name} has no labels"
        todo = f'Write "{how} {name} at ..."' if others else f'Write "{name}"'
        raise InputError(Fault(what, value=text, todo=todo.replace('" ', '"')))
    if ("elapsed" in dims) != bool(how):
        what = f"{name} changes through the night" if not how else f"{name} is one number of a night"
        todo = f"Begin with one of: {', '.join(HOW)}" if not how else f"Leave {how} out"
        raise InputError(Fault(what, value=text, todo=todo))

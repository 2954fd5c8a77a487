"""The record of one finding, and its way into the Dataset and back."""

from collections.abc import Iterable
from dataclasses import astuple, dataclass, fields
from typing import TYPE_CHECKING, Literal, get_args

if TYPE_CHECKING:  # cautions are told before the numerical libraries are loaded
    import xarray as xr

Level = Literal["note", "caution", "stop"]
LEVELS: tuple[Level, ...] = get_args(Level)


@dataclass(frozen=True, slots=True)
class Finding:
    """One thing the user should know before or after a night. There is no level that means all is well.

    level   note (know this), caution (this can hurt), stop (do not go on like this)
    what    what is the matter, a sentence
    where   place in the shelter, empty for everywhere
    when    time of the night, empty for always
    number  the number found, with its unit, empty if there is none
    limit   what it is held against, with its unit, empty if there is none
    source  where the sentence or the limit comes from; "common practice, no source" where there is none
    todo    what to do about it, a sentence
    """

    level: Level
    what: str
    todo: str
    source: str
    where: str = ""
    when: str = ""
    number: str = ""
    limit: str = ""

    def __post_init__(self) -> None:
        if self.level not in LEVELS:
            raise ValueError(f"level {self.level!r} is none of {', '.join(LEVELS)}")


def to_values(findings: Iterable[Finding]) -> tuple[dict[str, list[str]], dict[str, list[int]]]:
    """Values and coords for `results.extend`: one text variable per field, counted along `finding`."""
    rows = [astuple(finding) for finding in findings]
    names = [f"finding_{field.name}" for field in fields(Finding)]
    values = {name: [row[i] for row in rows] for i, name in enumerate(names)}
    return values, {"finding": list(range(len(rows)))}


def from_dataset(dataset: "xr.Dataset") -> tuple[Finding, ...]:
    """The findings a Dataset carries, in their order."""
    columns = {
        field.name: dataset[f"finding_{field.name}"].values.tolist()
        for field in fields(Finding)
        if "finding" in dataset.dims
    }
    return tuple(
        Finding(**dict(zip(columns, row, strict=True))) for row in zip(*columns.values(), strict=True)
    )

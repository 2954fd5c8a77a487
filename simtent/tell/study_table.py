"""The cases of a study as a table of comma-separated values: number, factors, outputs, what became of each."""

import csv
import io
from collections.abc import Sequence
from pathlib import Path

import numpy as np

from simtent.surveys.opened import Opened

FIRST, LAST = "case", ("state", "reason")


def to_bytes(found: Opened) -> bytes:
    """The table, UTF-8; numbers in the units of the Dataset, which the headers name; empty where there is none."""
    text = io.StringIO()
    table = csv.writer(text, lineterminator="\n")
    outputs = [f"{of} [{of.units}]" for of in found.outputs]
    table.writerow([FIRST, *(column.name for column in found.columns), *outputs, *LAST])
    labels = [found.dataset[column.name].values.tolist() for column in found.columns]
    numbers = [[f"{it:.7g}" if np.isfinite(it) else "" for it in found.values(of)] for of in found.outputs]
    ends = [found.dataset[name].values.tolist() for name in LAST]
    for case, row in enumerate(zip(*labels, *numbers, *ends, strict=True)):
        table.writerow([case, *row])
    return text.getvalue().encode()


def is_of(path: Path, factors: Sequence[str]) -> bool:
    """Whether a file is the table of a study with these factors."""
    try:
        with path.open(encoding="utf-8", newline="") as file:
            header = next(csv.reader(file), [])
    except (OSError, UnicodeDecodeError, csv.Error):
        return False
    return header[: len(factors) + 1] == [FIRST, *factors] and tuple(header[-2:]) == LAST

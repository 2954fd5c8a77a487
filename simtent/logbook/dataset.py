"""Logged nights as one Dataset: readings over time, and what was noted."""

from collections.abc import Sequence
from datetime import UTC, datetime
from typing import Any

import numpy as np
import xarray as xr

from simtent.logbook.logged import Logged
from simtent.logbook.notes import Note

KIND = "logged readings 1"  # of file, and its version
CELSIUS_ZERO = 273.15


def nights_dataset(nights: Sequence[Logged], name: str) -> xr.Dataset:
    """Readings of several nights over `time` (UTC, one night after the other) and `sensor`; notes over `note`.

    temperature, suspect (time, sensor)  see `Logged.to_dataset`; nan where a night has no such sensor
    evening, in_the_open (time)          the night that a row is of
    note_*  (note)                       what was noted, by all nights' notes; only where something was
    """
    sensors = list(dict.fromkeys(place for night in nights for place in night.sensors))
    parts = [_of_night(night, sensors) for night in nights]
    whole = xr.concat(
        parts, "time", combine_attrs="override", coords="minimal", compat="override", join="override"
    )
    told = {
        key: "\n".join(text for night in nights for text in getattr(night, key))
        for key in ("repairs", "doubts")
    }
    whole.attrs = {"name": name, "schema": KIND, "zone": parts[0].attrs["zone"], **told}
    rows = [(night, note) for night in nights for note in night.notes]
    return whole.assign(_notes(rows)) if rows else whole


def _of_night(night: Logged, sensors: Sequence[str]) -> xr.Dataset:
    found = night.to_dataset().reindex(
        sensor=list(sensors), fill_value={"temperature": np.nan, "suspect": False}
    )
    rows = found.sizes["time"]
    return found.assign_coords(
        evening=("time", np.full(rows, night.evening.isoformat(), object)),
        in_the_open=("time", np.full(rows, night.in_the_open)),
    )


def _notes(rows: Sequence[tuple[Logged, Note]]) -> dict[str, Any]:
    notes = [note for _, note in rows]
    columns: dict[str, tuple[list[Any], str, str]] = {
        "evening": (
            [night.evening.isoformat() for night, _ in rows],
            "",
            "evening of the night that it is of",
        ),
        "unsure": ([it.unsure for it in notes], "s", "standard deviation of the noted time"),
        "mass": ([np.nan if it.mass is None else it.mass for it in notes], "kg", "wood put on, as it was"),
        "mass_unsure": ([it.mass_unsure for it in notes], "1", "standard deviation of the mass's logarithm"),
        "pieces": ([_pieces(it) for it in notes], "", "kinds of pieces put on"),
        "air": ([it.air or "" for it in notes], "", "mark to which the air was turned"),
        "damper": ([it.damper or "" for it in notes], "", "mark to which the damper was turned"),
        "coals": (
            [{None: "", True: "yes", False: "no"}[it.coals] for it in notes],
            "",
            "whether the coals lit it",
        ),
        "remark": ([it.remark for it in notes], "", "remark"),
    }
    moments = [datetime.fromtimestamp(it.seconds, UTC).replace(tzinfo=None) for it in notes]
    found: dict[str, Any] = {"note_time": ("note", np.array(moments, "datetime64[ns]"))}
    for name, (values, unit, words) in columns.items():
        text = isinstance(values[0], str)
        attributes = {"long_name": words, **({"units": unit} if unit else {})}
        found[f"note_{name}"] = ("note", np.array(values, object if text else float), attributes)
    return found


def _pieces(note: Note) -> str:
    pieces = (note.pieces or {}).items()
    return ", ".join(f"{n} {name}" if isinstance(n, int) else f"{n:.3g} kg {name}" for name, n in pieces)

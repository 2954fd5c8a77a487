"""What a logger showed, by place."""

from bisect import bisect_left
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from datetime import date, datetime, time, timedelta, tzinfo
from typing import TYPE_CHECKING

from simtent.logbook.notes import Note
from simtent.scenario.logs import Log

if TYPE_CHECKING:
    import xarray as xr


@dataclass(frozen=True, slots=True)
class Sensor:
    """The readings of one sensor; each has times of its own.

    header   its column in the file
    seconds  true time since 1970-01-01 00:00 UTC [s], strictly rising, shape (n,)
    kelvin   temperature [K], shape (n,)
    suspect  whether the sensor may have made it up (stuck, spike), shape (n,); nothing is left out for it
    """

    header: str
    seconds: tuple[float, ...]
    kelvin: tuple[float, ...]
    suspect: tuple[bool, ...]

    def between(self, begin: float, end: float) -> "Sensor":
        """The readings from one time on to before another [s since 1970]; perhaps none."""
        part = slice(bisect_left(self.seconds, begin), bisect_left(self.seconds, end))
        return replace(self, seconds=self.seconds[part], kelvin=self.kelvin[part], suspect=self.suspect[part])


@dataclass(frozen=True, slots=True)
class Logged:
    """A logged night, or a burn in the open.

    evening      date on which it began
    zone         zone of the place's clock
    in_the_open  whether the stove burned without a shelter
    sensors      readings by place: a named level, "outdoors", "stove", "pipe"
    repairs      a sentence for each thing mended, with its count
    doubts       a sentence for each thing that a person should look at
    notes        what was noted that night, in the order of time
    log          the [[log]] that it was read from; several where files were joined
    """

    evening: date
    zone: tzinfo
    in_the_open: bool
    sensors: Mapping[str, Sensor]
    repairs: tuple[str, ...]
    doubts: tuple[str, ...]
    notes: tuple[Note, ...] = ()
    log: tuple[Log, ...] = field(default=(), repr=False)

    def from_noon_to_noon(self, zone: tzinfo) -> "Logged":
        """The night without readings of other days, which are counted in `doubts`; itself where there are none.

        zone  of the place's clock; a place without a reading from noon to noon is gone
        """
        noon, next_noon = (
            datetime.combine(self.evening + timedelta(days=n), time(12), zone).timestamp() for n in (0, 1)
        )
        kept = {place: sensor.between(noon, next_noon) for place, sensor in self.sensors.items()}
        kept = {place: sensor for place, sensor in kept.items() if sensor.seconds}
        left_out = sum(len(it.seconds) for it in self.sensors.values()) - sum(
            len(it.seconds) for it in kept.values()
        )
        if not kept or not left_out:
            return self
        gone = ", ".join(place for place in self.sensors if place not in kept)
        told = f"Readings of other days than from noon to noon, not shown: {left_out}."
        doubts = (told, *([f"Places without a reading from noon to noon: {gone}."] if gone else []))
        return replace(self, sensors=kept, doubts=(*self.doubts, *doubts))

    def to_dataset(self) -> "xr.Dataset":
        """The readings over `time` (datetime64[ns], UTC, every time of any sensor) and `sensor` (places).

        temperature(time, sensor)  degC, nan where that sensor has no reading
        suspect(time, sensor)      bool
        """
        import numpy as np  # noqa: PLC0415
        import xarray as xr  # noqa: PLC0415

        times = np.unique(np.concatenate([np.asarray(it.seconds) for it in self.sensors.values()]))
        celsius = np.full((times.size, len(self.sensors)), np.nan)
        suspect = np.zeros(celsius.shape, bool)
        for column, sensor in enumerate(self.sensors.values()):
            rows = np.searchsorted(times, sensor.seconds)
            celsius[rows, column] = np.asarray(sensor.kelvin) - 273.15
            suspect[rows, column] = sensor.suspect
        named = {"units": "degC", "long_name": "logged temperature"}
        return xr.Dataset(
            {
                "temperature": (("time", "sensor"), celsius, named),
                "suspect": (("time", "sensor"), suspect, {"long_name": "reading that may be made up"}),
            },
            {
                "time": np.round(times * 1e9).astype("int64").astype("datetime64[ns]"),
                "sensor": list(self.sensors),
            },
            {
                "evening": self.evening.isoformat(),
                "zone": str(self.zone).removeprefix("UTC") or "UTC",
                "in_the_open": int(self.in_the_open),
                "repairs": "\n".join(self.repairs),
                "doubts": "\n".join(self.doubts),
            },
        )

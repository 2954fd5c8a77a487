"""Typical years of weather (EPW) as a table of dated columns that a scenario reads, beside the study file."""

import warnings
from datetime import date, timedelta
from pathlib import Path
from typing import Any

from simtent.errors import Fault, InputError
from simtent.files import write_all
from simtent.scenario.outdoors import CLOUD

ENDING = ".epw"
HEADER = "when,air [degC],humidity [%],cloud [%],wind [m/s]"
NAMES = {"air": "degC", "humidity": "%", "cloud": "%", "wind": "m/s"}
MOST = {
    "temp_air": 70.0,
    "relative_humidity": 110.0,
    "total_sky_cover": 10.0,
    "wind_speed": 40.0,
}  # of the format
DRIEST = 1.0  # %, the least humidity that a scenario takes
TODO = "Install it: pip install 'simtent[weather]'; or give a table of dated columns"


def table(epw: Path, study: Path, first: date, last: date, share: str | None) -> dict[str, Any]:
    """[outdoors.file] of a typical year: its table is written beside the study file, dated in the years asked for.

    share  of the mast's wind that reaches the shelter, as text; None: the wind is the scenario's

    Raises InputError where the file cannot be read, the library is missing, or something else is in the way.
    """
    reaching = None if share is None else CLOUD.read(share, None)
    frame, offset = _read(epw)
    lines = [HEADER] + [
        line
        for year in range(first.year, (last + timedelta(days=1)).year + 1)
        for line in _lines(frame, year, reaching or 0.0)
    ]
    path = study.with_suffix(".weather.csv")
    whole = ("\n".join(lines) + "\n").encode()
    try:
        before = path.read_bytes() if path.exists() else whole
    except OSError as error:
        raise _unwritable(path, error) from None
    if not before.startswith(HEADER.encode()):
        what = f"{path} is in the way: simtent did not write it"
        raise InputError(Fault(what, todo="Move it away, or give the study file another name"))
    if before != whole or not path.exists():
        try:
            write_all({path: whole})
        except OSError as error:
            raise _unwritable(path, error) from None
    headers = dict(zip(NAMES, HEADER.split(",")[1:], strict=True))
    kept = [name for name in NAMES if name != "wind" or reaching is not None]
    return {
        "path": str(path.absolute()), "time": "when", "zone": offset,
        "columns": {name: headers[name] for name in kept}, "units": {name: NAMES[name] for name in kept},
    }  # fmt: skip


def _unwritable(path: Path, error: OSError) -> InputError:
    what = f"{path} cannot be written: {error.strerror or error}"
    return InputError(Fault(what, todo="Move the study file to a folder that you may write to"))


def _read(epw: Path) -> tuple[Any, str]:
    """The hours of a typical year, and their offset from UTC as text."""
    try:
        from pvlib import iotools  # noqa: PLC0415  (an extra dependency)
    except ImportError:
        what = "typical years need the library pvlib, which is not installed"
        raise InputError(Fault(what, value=str(epw), todo=TODO)) from None
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            frame, about = iotools.read_epw(str(epw))
        minutes = round(60.0 * float(about["TZ"]))
    except FileNotFoundError:
        raise InputError(
            Fault("there is no such file", value=str(epw), todo="Check its name and folder")
        ) from None
    except Exception as error:  # whatever the library makes of a file that is none
        what = f"this is no typical year that can be read ({type(error).__name__}: {error})"
        raise InputError(Fault(what, value=str(epw), todo="Give a file in the EPW format")) from None
    for name, most in MOST.items():
        if (frame[name] > most).any():  # how the format writes that there is no value
            first = frame[frame[name] > most].iloc[0]
            what = f"this typical year lacks {name}, on month {first['month']:.0f}, day {first['day']:.0f} for one"
            raise InputError(Fault(what, value=str(epw), todo="Fill it in, or take another file"))
    sign = "-" if minutes < 0 else "+"
    return frame, f"{sign}{abs(minutes) // 60:02d}:{abs(minutes) % 60:02d}"


def _lines(frame: Any, year: int, share: float) -> list[str]:
    """A line for each hour, dated in a year; a 29 February that the typical year lacks stays a gap."""
    columns = zip(
        frame["month"], frame["day"], frame["hour"], frame["temp_air"], frame["relative_humidity"],
        frame["total_sky_cover"], frame["wind_speed"], strict=True,
    )  # fmt: skip
    return [
        f"{date(year, int(month), int(day)) + timedelta(days=(int(hour) - 1) // 24)} {(int(hour) - 1) % 24:02d}:00,"
        f"{air:.1f},{max(DRIEST, min(float(humidity), 100.0)):.0f},{min(10.0 * float(cloud), 100.0):.0f},"
        f"{share * float(wind):.2f}"
        for month, day, hour, air, humidity, cloud, wind in columns
        if not (int(month) == 2 and int(day) == 29 and year % 4)
    ]

"""An invented night whose readings are triangles after each load, so that every peak and hour is known beforehand."""

from tests.logbook.files import log_table
from tests.scenario.example import FIRE, spoilt, written

TEXT = spoilt('bed = "21:30"', 'bed = "21:30"\nrise = "06:30"\ncot_at_least = "5 degC"', FIRE)
HEADER = "when,A,B,D,E,G"
SENSORS = '{ A = "head", B = "cot", D = "floor", E = "outdoors", G = "stove" }'
NOTES = "time,load,air,damper,coals,remark\n20:00,2 split,wide,open,no,\n~23:00,2 kg,2,across,yes,\n04:00,1 kg,,,,\n"
LOADS = (120, 300, 600)  # minutes after 18:00 at which the notes have loads


def tent(minute, height, rise=60, fall=120):
    """Up in `rise` minutes after a load, down in `fall`."""
    since = minute - max((at for at in LOADS if at <= minute), default=-1e9)
    return max(height * min(since / rise, 1.0 - (since - rise) / fall), 0.0)


def cells(minute):
    """head, cot, floor, outdoors, stove [degC] so many minutes after 18:00; all but the triangles cool slowly."""
    slow = -minute / 1e6
    return (
        5.0 + slow + tent(minute, 25.0, rise=30),
        slow + tent(minute, 12.0),
        -2.0 + slow + tent(minute, 3.0),
        -10.0 - minute / 100.0,
        slow + tent(minute, 300.0, rise=20, fall=150),
    )


def rows(skip=(), minutes=range(0, 780, 2)):
    """The file: a row every two minutes from 18:00 to 07:00, without those whose minute is in `skip`."""
    lines = [HEADER]
    for minute in minutes:
        if minute not in skip:
            day, clock = divmod(18 * 60 + minute, 1440)
            stamp = f"2031-02-{14 + day} {clock // 60:02d}:{clock % 60:02d}"
            lines.append(",".join([stamp, *(f"{value:.6f}" for value in cells(minute))]))
    return "\n".join(lines) + "\n"


def camp(folder, data=None, text=TEXT, **given):
    """Path of a scenario with one logged night, its files beside it."""
    (folder / "night.csv").write_text(rows() if data is None else data, encoding="utf-8")
    (folder / "notes.csv").write_text(NOTES, encoding="utf-8")
    return written(folder, text + log_table(**({"sensors": SENSORS, "notes": '"notes.csv"'} | given)))

"""The same numbers in any dialect of CSV, and files spoilt by seed, which never end in a traceback. All invented."""

import random
import tempfile
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from simtent.errors import InputError
from simtent.logbook.read import read_log
from tests.logbook.files import camp, rows
from tests.scenario.garble import garbled

BEGIN = datetime(2031, 2, 13, 20, 0, tzinfo=UTC) + timedelta(hours=31)  # 20:00 at -07:00 on the 14th
FORMS = (
    "%Y-%m-%d %H:%M:%S",
    "%Y-%m-%dT%H:%M:%S",
    "%d.%m.%Y %H:%M:%S",
    "%m/%d/%Y %I:%M:%S %p",
    "%d/%m/%Y, %H:%M:%S",
)
SCALES = {"degC": (1.0, 273.15), "degF": (5.0 / 9.0, 459.67 * 5.0 / 9.0), "K": (1.0, 0.0)}


@st.composite
def dialects(draw):
    """A log's text as bytes, the keys of its [[log]], and what must be read: minutes and kelvins."""
    numbers = draw(st.lists(st.integers(2400, 3300), min_size=1, max_size=30))
    steps = draw(st.lists(st.integers(1, 9), min_size=len(numbers), max_size=len(numbers)))
    unit, form = draw(st.sampled_from(sorted(SCALES))), draw(st.sampled_from(FORMS))
    separator, comma = draw(st.sampled_from([(",", False), (";", False), (";", True), ("\t", True)]))
    factor, zero = SCALES[unit]
    minutes, lines = (
        [sum(steps[: at + 1]) for at in range(len(steps))],
        [separator.join(("when", "junk", "T"))],
    )
    for minute, number in zip(minutes, numbers, strict=True):
        stamp = (BEGIN + timedelta(minutes=minute) - timedelta(hours=7)).strftime(form)
        value = f"{(number / 10 - zero) / factor:.4f}"
        quoted = f'"{stamp}"' if "," in stamp else stamp
        lines.append(separator.join((quoted, "x", value.replace(".", ",") if comma else value)))
    if draw(st.booleans()):
        lines[1:] = reversed(lines[1:])
    above = ["Logger", ""][: draw(st.integers(0, 2))]
    text = draw(st.sampled_from(["\n", "\r\n"])).join([*above, *lines]) + "\n"
    data = text.encode(draw(st.sampled_from(["utf-8", "utf-8-sig", "utf-16", "cp1252"])))
    return data, {"unit": f'"{unit}"'}, minutes, [number / 10 for number in numbers]


@given(dialects())
def test_any_dialect_gives_the_same_numbers(made):
    data, keys, minutes, kelvin = made
    with tempfile.TemporaryDirectory() as folder:
        sensor = read_log(camp(Path(folder), data, **keys)).sensors["head"]
    assert sensor.kelvin == pytest.approx(kelvin, abs=1e-4)
    assert [(it - BEGIN.timestamp()) / 60.0 for it in sensor.seconds] == pytest.approx(minutes)


SOUND = rows([f"{70 + at},{10 - at / 10}" for at in range(40)], header="when,A (°F),B (°F)")
KEYS = {"sensors": '{ A = "head", B = "outdoors" }', "unit": '"header"'}


def spoilt(random_):
    """A sound log after accidents: bytes lost, doubled, turned; lines torn; separators and numbers changed."""
    data = SOUND.encode(random_.choice(["utf-8", "utf-16", "cp1252", "utf-8-sig"]))
    for _ in range(random_.randint(1, 4)):
        at, to = sorted(random_.randrange(len(data) + 1) for _ in range(2))
        part = random_.choice(
            [b"", data[at:to] * 2, bytes(random_.randrange(256) for _ in range(3)), b'"', b",", b"\n"]
        )
        data = data[:at] + part + data[random_.choice([at, min(at + 1, len(data)), to]) :]
    return data


@pytest.mark.parametrize("seed", range(200))
def test_a_spoilt_file_is_read_or_refused(tmp_path, seed):
    chance = random.Random(seed)
    data = spoilt(chance) if seed % 2 else garbled(SOUND.encode(), chance)[0]
    scenario = camp(tmp_path, data, **KEYS | {"unit": chance.choice(['"header"', '"guess"', '"degF"'])})
    try:
        found = read_log(scenario)
    except InputError as error:
        assert error.faults and all(fault.file for fault in error.faults)
    else:
        for sensor in found.sensors.values():
            assert len(sensor.seconds) == len(sensor.kelvin) == len(sensor.suspect) > 0
            assert all(a < b for a, b in zip(sensor.seconds, sensor.seconds[1:], strict=False))
        found.to_dataset()

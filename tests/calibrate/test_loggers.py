"""Nights read by different loggers: a name gives its sensors numbers of their own; without, all are one."""

import numpy as np
import pytest

from simtent.calibrate import sensors
from simtent.calibrate.calibrate import calibrate
from simtent.calibrate.loggers import one_logger
from simtent.calibrate.nights import night_of
from simtent.calibrate.numbers import of_sensors
from simtent.logbook.read import read_log
from simtent.scenario.load import load
from tests.calibrate import logs

TWO = ("2031-02-14", "2031-02-15")
OFF = 1.5  # K, by which the second night's logger shows more


def camp(folder, names=(None, None), other_header=False):
    """Two nights, the second read by a device that is off; its columns have the same names unless told otherwise."""
    path = logs.camp(
        folder, evenings=TWO, places={"head": sensors.Traits(300.0), "cot": sensors.Traits(300.0)}
    )
    file = folder / f"{TWO[1]}.csv"
    head, *rows = file.read_text().splitlines()
    out = [head.replace("head", "T1") if other_header else head]
    for row in rows:
        when, first, *rest = row.split(",")
        out.append(",".join([when, f"{float(first) + OFF:.3f}", *rest]))
    file.write_text("\n".join([*out, ""]))
    before, first, second = path.read_text().split("[[log]]\n")
    if other_header:
        second = second.replace('head = "head"', 'T1 = "head"')
    parts = [
        f'logger = "{name}"\n{text}' if name else text
        for name, text in zip(names, (first, second), strict=True)
    ]
    path.write_text("[[log]]\n".join([before, *parts]))
    return path


def prepared(path):
    scenario = load(path)
    return [night_of(scenario, read_log(scenario, n), path.parent, f"night {n}") for n in (1, 2)]


def test_without_a_name_a_place_has_one_sensor(tmp_path):
    names = [one.name for one in of_sensors(prepared(camp(tmp_path)))]
    assert names == ["lag of head", "offset of head", "lag of cot", "offset of cot"]


def test_logs_of_one_name_share_their_sensors_and_others_do_not(tmp_path):
    names = [one.name for one in of_sensors(prepared(camp(tmp_path, ("grey", "grey"))))]
    assert names == [f"{what} of {place} (grey)" for place in ("head", "cot") for what in ("lag", "offset")]
    names = [one.name for one in of_sensors(prepared(camp(tmp_path, ("grey", "old"))))]
    assert names == [
        f"{what} of {place} ({logger})"
        for logger in ("grey", "old")
        for place in ("head", "cot")
        for what in ("lag", "offset")
    ]


@pytest.mark.parametrize(
    ("names", "other", "told"),
    [((None, None), False, False), ((None, None), True, True), (("grey", "old"), True, False)],
)
def test_one_device_is_told_where_columns_differ_and_no_name_is_given(tmp_path, names, other, told):
    said = [*one_logger(prepared(camp(tmp_path, names, other)))]
    assert len(said) == int(told)
    assert all("the same sensor hung at head every night, as far as is known" in it for it in said)
    assert all("`logger`" in it and "cot" not in it for it in said)


@pytest.mark.compiled
def test_a_fit_finds_the_offset_of_each_logger(tmp_path):
    """By hand: the same fit, with one device assumed, leaves half of the difference in every night's residuals."""
    apart = calibrate(load(camp(tmp_path, ("grey", "old"))), starts=1)
    offsets = [apart.posterior.value(f"offset of head ({name})") for name in ("grey", "old")]
    assert np.diff(offsets)[0] == pytest.approx(OFF, abs=0.4)
    together = calibrate(load(camp(tmp_path)), starts=1)
    assert together.best.errors["head"].deviation > 1.3 * apart.best.errors["head"].deviation
    assert not [text for text in apart.told if "logger" in text]
    moved = apart.misfit.outlooks[1].slopes(*_of(apart, 1))[0]
    which = [k for k, one in enumerate(apart.sought) if one.name.endswith("(grey)")]
    assert np.all(moved[:, which] == 0.0)


def _of(found, n):
    z = found.posterior.z
    return (*found.misfit.outlooks[n].moved(z), z)

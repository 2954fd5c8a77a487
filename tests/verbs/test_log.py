"""The verb log: what it prints, draws and writes of invented nights, and what it refuses."""

import re
import subprocess
import sys
from itertools import combinations
from pathlib import Path

import matplotlib as mpl
import numpy as np
import pytest
import xarray as xr
from matplotlib.figure import Figure
from matplotlib.text import Text

from simtent.cli import main
from simtent.logbook.notes import STILL_AIR
from simtent.logbook.read import read_log
from simtent.scenario.load import load
from simtent.scenario.logged import of_night
from simtent.tell import frame, logged_picture, look
from simtent.tell.cautions import TITLE
from simtent.tell.evening import Evening
from simtent.units import System
from tests.logbook import nights
from tests.test_tell import contrast, texts_of


def names(folder: Path) -> list[str]:
    return sorted(path.name for path in folder.iterdir())


def shown(arguments: list[str], capsys: pytest.CaptureFixture[str]) -> str:
    assert main(["log", *arguments, "--quiet"]) == 0
    return capsys.readouterr().out


def refused(arguments: list[str], capsys: pytest.CaptureFixture[str]) -> list[str]:
    assert main(["log", *arguments]) == 2
    told = capsys.readouterr()
    assert "Traceback" not in told.err and told.out == ""
    return told.err.splitlines()


@pytest.fixture
def camp(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setattr(look, "PIXELS_PER_INCH", 40)  # drawn faster
    return nights.camp(tmp_path)


def evening(path: Path, which: int = 1, system: System = "us") -> Evening:
    scenario = load(path)
    logged = read_log(scenario, which)
    return Evening(logged, of_night(scenario, logged.log[0], STILL_AIR), scenario, system)


def row(told: str, begin: str) -> list[str]:
    """The cells of the first row that begins so."""
    return re.search(rf"^{re.escape(begin)} .*$", told, re.MULTILINE)[0].split()  # type: ignore[index]


def test_cautions_come_first_and_no_line_is_too_wide(camp: Path, capsys: pytest.CaptureFixture[str]) -> None:
    told = shown([str(camp)], capsys)
    assert told.startswith(TITLE) and max(map(len, told.splitlines())) <= 80
    order = ("CAUTION", "night of 2031-01-24", "READ AND MENDED", "DOUBTFUL", "SENSORS", "LOADS", "THE NIGHT")
    places = [told.index(words) for words in (*order, "burn in the open of 2031-01-18")]
    assert places == sorted(places)
    assert "simulated" in told and "Invented scenario" in told


def test_what_was_mended_and_is_doubtful_is_told_with_counts(
    camp: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    told = " ".join(shown([str(camp)], capsys).split())
    for words in (
        "Lines above the header passed over: 2.",
        "clock was 240 s ahead: 2030.",
        "as points: 200.",
    ):
        assert words in told, words
    assert 'Single spikes of "cot", the first at 2031-01-24 22:10' in told
    assert re.search(
        r"nobody knows how much \(line 6\), taken as the night's middle load, [0-9.]+ kg, unsure", told
    )
    pounds = " ".join(shown([str(camp), "--units", "us"], capsys).split())
    assert re.search(r"taken as the night's middle load, [0-9.]+ lb, unsure", pounds)


def test_peaks_of_loads_are_those_of_the_formula(camp: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """The night is a formula: each peak is its highest value between two loads."""
    told = shown([str(camp), "1", "--units", "us"], capsys)
    _, _, _, head, head_after, cot, cot_after, stove, below, coals = row(told, "21:20")
    minutes = np.arange(230, 400)
    values = np.array([nights.night(minute) for minute in minutes])
    for column, cell, later in ((0, head, head_after), (1, cot, cot_after)):
        at = int(values[:, column].argmax())
        assert abs(int(cell) - values[at, column]) <= 0.6
        hours, rest = map(int, later.split(":"))
        assert abs(60 * hours + rest - at) <= 2
    assert abs(int(stove) - values[:, 4].max()) <= 2.0 and coals == "yes"
    warm = np.flatnonzero(values[:, 1] >= 39.2)
    hours, rest = map(int, below.split(":"))
    assert abs(60 * hours + rest - (warm[-1] + 1)) <= 1


def test_sensors_and_the_night(camp: Path, capsys: pytest.CaptureFixture[str]) -> None:
    told = shown([str(camp), "1"], capsys)
    assert row(told, "cot")[-5:] == ["1", "40", "min", "1"] or row(told, "cot")[-1] == "1"
    text = " ".join(told.split())
    found = re.search(
        r"at 4 degC or more for (\d) h (\d+) min, below it for (\d) h (\d+) min, not logged for (\d+) min",
        text,
    )
    above, below = (60 * int(found[at]) + int(found[at + 1]) for at in (1, 3))  # type: ignore[index]
    assert above + below + int(found[5]) == pytest.approx(540, abs=1)  # type: ignore[index]
    cot = np.array([nights.night(minute)[1] for minute in range(240, 781)])
    logged = np.array([not 400 <= minute <= 440 for minute in range(240, 781)])
    assert above == pytest.approx(int(((cot >= 39.2) & logged).sum()), abs=3)
    assert "Head over floor" in text and "8 degC were asked for" in text


def test_units(camp: Path, capsys: pytest.CaptureFixture[str]) -> None:
    for system, mass, degrees, other in (("us", " lb ", "degF", "degC"), ("si", " kg ", "degC", "degF")):
        told = shown([str(camp), "--units", system], capsys)
        tables = told[told.index("\nSENSORS") : told.index("LEVERS")]
        assert mass in tables and degrees in tables and other not in tables


def test_a_burn_in_the_open_has_stove_and_outdoors_only(
    camp: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    told = shown([str(camp), "2031-01-18"], capsys)
    part = told[told.index("SENSORS") :]
    assert "head" not in part and "cot" not in part and "THE NIGHT" not in part
    assert row(told, "13:10")[-1] == "no" and row(told, "14:30")[-1] == "yes"


def test_files_of_several_nights(camp: Path, capsys: pytest.CaptureFixture[str]) -> None:
    shown([str(camp)], capsys)
    made = {name for name in names(camp.parent) if ".log." in name}
    assert made == {"bench.log.nc", "bench.log.png", "bench.log.2.png"}
    assert all(frame.scenario_of(path) == "Test camp" for path in camp.parent.glob("*.png"))
    with xr.open_dataset(camp.parent / "bench.log.nc", engine="h5netcdf") as found:
        assert found.attrs["name"] == "Test camp" and set(found["evening"].values) == {
            "2031-01-24",
            "2031-01-18",
        }
        assert found["temperature"].attrs["units"] == "degC" and found.sizes["note"] == 8
        whole = found["temperature"].where(found["evening"] == "2031-01-24", drop=True)
        assert not np.isnan(whole.sel(sensor="head").values).any()
    shown([str(camp)], capsys)  # over its own files


def test_one_night_in_another_folder(
    camp: Path, tmp_path_factory: pytest.TempPathFactory, capsys: pytest.CaptureFixture[str]
) -> None:
    folder = tmp_path_factory.mktemp("out")
    shown([str(camp), "2", "--out", str(folder)], capsys)
    assert names(folder) == ["bench.log.nc", "bench.log.png"]


def test_it_needs_no_model(camp: Path) -> None:
    code = (
        "import sys\nfrom simtent.cli import main\n"
        f"assert main(['log', {str(camp)!r}, '--quiet']) == 0\n"
        "loaded = {'simtent.simulate', 'simtent.run', 'simtent.assembly.assemble', 'numba'} & set(sys.modules)\n"
        "assert not loaded, loaded\n"
    )
    told = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False)
    assert told.returncode == 0, told.stderr


@pytest.mark.parametrize(
    ("asked", "words"),
    [
        (["3"], "there is no such log"),
        (["0"], "there is no such log"),
        (["2031-02-01"], "1 (2031-01-24), 2 (2031-01-18)"),
        (["last"], "an evening such as 2031-02-14"),
    ],
)
def test_nights_that_are_not_there(
    asked: list[str], words: str, camp: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (line,) = refused([str(camp), *asked], capsys)
    assert words in line and not [name for name in names(camp.parent) if ".log." in name]


def test_a_scenario_without_logs(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (line,) = refused([str(nights.camp(tmp_path, logs=""))], capsys)
    assert "names no logged night" in line and "[[log]]" in line


def test_faults_of_all_nights_are_told_at_once(camp: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (camp.parent / "porch_night.csv").unlink()
    notes = camp.parent / "yard_burn_notes.csv"
    notes.write_text(nights.BURN_NOTES.replace("2 split", "2 splat"), encoding="utf-8")
    lost, misspelt = refused([str(camp)], capsys)
    assert "porch_night.csv, log[1].file: the file does not exist" in lost
    assert "yard_burn_notes.csv, line 2, log[2].notes" in misspelt and 'Is "split" meant?' in misspelt


@pytest.mark.parametrize("name", ["bench.log.nc", "bench.log.png", "bench.log.2.png"])
def test_a_foreign_file_stays(name: str, camp: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (camp.parent / name).write_text("mine", encoding="utf-8")
    (line,) = refused([str(camp)], capsys)
    assert "is in the way: simtent did not write it" in line
    assert (camp.parent / name).read_text(encoding="utf-8") == "mine"
    assert len([it for it in names(camp.parent) if ".log." in it]) == 1


def test_two_loggers_of_one_night_are_one_picture(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    first, second = nights.LOGS.split("\n[[log]]\n")[1:]
    split = first.replace(', CH4 = "outdoors", CH5 = "stove"', "")
    other = first.replace('CH1 = "head", CH2 = "cot", CH3 = "floor", ', "")
    path = nights.camp(tmp_path, logs="".join(f"\n[[log]]\n{it}" for it in (split, other, second)))
    told = shown([str(path)], capsys)
    assert told.count("SENSORS") == 2 and row(told, "head") and row(told, "stove")
    assert "bench.log.3.png" not in names(tmp_path)


def test_a_night_without_notes(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    logs = re.sub(r'notes = ".*"\n', "", nights.LOGS)
    told = shown([str(nights.camp(tmp_path, logs=logs))], capsys)
    assert told.count("Nothing was noted") == 2 and "THE NIGHT" in told


def test_a_night_under_another_scenario(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "colder.toml").write_text('[wish]\ncot_at_least = "-5 degC"\n', encoding="utf-8")
    logs = nights.LOGS.replace('notes = "porch', 'with = "colder.toml"\nnotes = "porch', 1)
    told = shown([str(nights.camp(tmp_path, logs=logs)), "1"], capsys)
    assert "-5 degC or more" in " ".join(told.split()) and "colder.toml" in told


# The picture.


def beyond(picture: Figure) -> list[Text]:
    """Labels of ticks beyond the axes' view, which are not drawn."""
    found = []
    for axes in picture.axes:
        low, high = axes.get_ylim()
        at = zip(axes.get_yticks(), axes.get_yticklabels(), strict=True)
        found += [label for value, label in at if not low <= value <= high]
    return found


def drawn(given: Evening) -> Figure:
    with mpl.rc_context(look.STYLE):
        picture = logged_picture.draw(given)
        picture.draw_without_rendering()
        return picture


@pytest.mark.parametrize("which", [1, 2])
@pytest.mark.parametrize("system", ["us", "si"])
def test_every_text_can_be_read_on_a_phone(which: int, system: System, tmp_path: Path) -> None:
    """As for the other pictures: large enough, dark enough, inside, and on no other text."""
    picture = drawn(evening(nights.camp(tmp_path), which, system))
    texts = [text for text in texts_of(picture) if text not in beyond(picture)]
    for text in texts:
        assert text.get_fontsize() >= look.SMALLEST_TEXT, text.get_text()
        assert contrast(mpl.colors.to_hex(text.get_color()), "#ffffff") >= 4.5, text.get_text()
        box = Text.get_window_extent(text)
        assert box.x0 >= 0 and box.x1 <= picture.bbox.width and box.y0 >= 0 and box.y1 <= picture.bbox.height
    assert not touching(texts)


def touching(texts: list[Text]) -> list[tuple[str, str]]:
    """Pairs of words that touch."""
    boxes = {text: Text.get_window_extent(text).shrunk(0.9, 0.75) for text in texts}
    pairs = combinations(texts, 2)
    return [(one.get_text(), other.get_text()) for one, other in pairs if boxes[one].overlaps(boxes[other])]


def test_what_the_picture_names(tmp_path: Path) -> None:
    texts = [text.get_text() for text in texts_of(drawn(evening(nights.camp(tmp_path))))]
    joined = "\n".join(texts)
    for words in (
        "Logged, not calculated.",
        "cot at least 39",
        "bed 21:30",
        "rise 06:30",
        "x: doubtful readings, 1.",
        "wood put on [lb]",
    ):
        assert words in joined, words
    for name in ("head", "cot", "floor", "outdoors", "stove"):
        assert any(text.startswith(f"{name} ") for text in texts), name
    assert {"wide", "one"} <= set(texts) and any(text.endswith("?") for text in texts)
    assert "Calculated" not in joined and "Changed" not in joined


def test_a_gap_is_left_open_and_doubtful_readings_are_no_line(tmp_path: Path) -> None:
    given = evening(nights.camp(tmp_path), system="si")
    top = drawn(given).axes[0]
    cot = next(line for line in top.lines if line.get_linewidth() == 2.6)
    values = np.asarray(cot.get_ydata(), float)
    assert np.isnan(values).sum() == 1 and np.nanmax(values) < 25.0
    crosses = [line for line in top.lines if line.get_marker() == "x" and len(line.get_xdata())]
    assert len(crosses) == 1


def test_only_the_stove_was_logged(tmp_path: Path) -> None:
    logs = nights.LOGS.replace('CH1 = "head", CH2 = "cot", CH3 = "floor", CH4 = "outdoors", ', "")
    picture = drawn(evening(nights.camp(tmp_path, logs=logs)))
    assert len(picture.axes) == 3


def test_words_without_room_are_left_out_and_that_is_said(tmp_path: Path) -> None:
    path = nights.camp(tmp_path)
    rows = [
        f"{17 + at // 4}:{15 * (at % 4):02d},{1 + at % 3} split,{('wide', 'one')[at % 2]},,,\n"
        for at in range(2, 20)
    ]
    text = "time,load,air,damper,coals,remark\n" + "".join(rows)
    (tmp_path / "porch_night_notes.csv").write_text(text, encoding="utf-8")
    picture = drawn(evening(path))
    texts = [text for text in texts_of(picture) if text not in beyond(picture)]
    named = [text.get_text() for text in texts]
    assert 5 <= sum(text.startswith("~") for text in named) < 18
    assert sum(text.endswith(", not all named") for text in named) == 2
    assert not touching(texts)


def test_a_sensor_that_is_doubtful_throughout_is_drawn_and_called_so(tmp_path: Path) -> None:
    path = nights.camp(tmp_path)
    burn = (tmp_path / "yard_burn.csv").read_text(encoding="utf-8")
    (tmp_path / "yard_burn.csv").write_text(re.sub(r";(19|18|17|16),0;", ";20,0;", burn), encoding="utf-8")
    given = evening(path, 2)
    assert all(given.logged.sensors["outdoors"].suspect)
    assert "outdoors ? 20" in [text.get_text() for text in texts_of(drawn(given))]


def test_a_night_with_an_electric_heater(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    heater = 'stove = "none"\nwood = "none"\nstoking = "none"\n[heat]\nradiant_share = "20 %"\n'
    (tmp_path / "heater.toml").write_text(
        f'{heater}table = [{{ at = "17:30", power = "1 kW" }}]\n', encoding="utf-8"
    )
    first = nights.LOGS.split("\n[[log]]\n")[1].replace(', CH5 = "stove"', "")
    path = nights.camp(tmp_path, logs=f'\n[[log]]\nwith = "heater.toml"\n{first}')
    (tmp_path / "porch_night_notes.csv").write_text("time,remark\n17:30,both plugged in\n", encoding="utf-8")
    told = shown([str(path)], capsys)
    assert (
        "No load was noted." in told
        and "17:30   both plugged in" in told
        and "stove" not in told.split("SENSORS")[1]
    )
    picture = drawn(evening(path))
    assert len(picture.axes) == 1


def test_the_wishs_words_keep_off_the_cots_line(tmp_path: Path) -> None:
    """A cot that stays just above the wish: the words go below the dotted line."""
    path = nights.camp(tmp_path)
    lines = (tmp_path / "porch_night.csv").read_text(encoding="utf-8").split("\n")
    flat = [
        re.sub(r"^([^,]*,[^,]*),[^,]*,", r"\1,41.5,", line) if line[:2] == "20" else line for line in lines
    ]
    (tmp_path / "porch_night.csv").write_text("\n".join(flat), encoding="utf-8")
    picture = drawn(evening(path))
    (words,) = [text for text in texts_of(picture) if text.get_text().startswith("cot at least")]
    limit = picture.axes[0].transData.transform((0.0, 39.2))[1]
    assert Text.get_window_extent(words).y1 <= limit + 1.0

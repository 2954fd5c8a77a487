"""The verb compare: what it prints and writes, and what it refuses."""

import contextlib
import io
import re

import pytest

from simtent.cli import main
from simtent.tell import frame
from simtent.tell.cautions import TITLE
from simtent.tell.page import frame as page_frame
from tests.comparing.camps import FEW, SHORT, VARIANTS
from tests.scenario.example import FIRE, OPEN, TEXT, spoilt, written
from tests.tell.pages import by_id, read

WEATHER = 'steady = "-10 degC"'
CAMP = spoilt(WEATHER, f'{WEATHER}\nwind = "2 m/s"\nspread = "2 K"', TEXT) + VARIANTS
QUICK = [part for it in (*FEW, *SHORT) for part in ("--set", it)]


def answer(arguments):
    """What the verb prints, its exit code 0."""
    with contextlib.redirect_stdout(io.StringIO()) as out, contextlib.redirect_stderr(io.StringIO()) as told:
        assert main(["compare", *map(str, arguments)]) == 0
    return out.getvalue(), told.getvalue()


def refused(arguments, capsys):
    assert main(["compare", *map(str, arguments)]) == 2
    told = capsys.readouterr()
    assert "Traceback" not in told.err and told.out == ""
    return told.err.splitlines()


@pytest.fixture(scope="module")
def told(tmp_path_factory):
    """A camp with its three variants compared."""
    path = written(tmp_path_factory.mktemp("compare"), CAMP)
    return path, *answer([path, *QUICK, "--draws", "6", "--units", "si", "--page"])


@pytest.mark.compiled
def test_cautions_first_then_the_table_then_the_accounts(told):
    path, out, progress = told
    assert out.startswith(TITLE)
    for part in (
        "Test camp, night of",
        "mat: shelter.floor.mat",
        "cot, lowest in bed",
        "CAUTIONS THAT",
        "WHERE THE HEAT WENT",
    ):
        assert part in out
    assert (
        out.index("cot, lowest in bed, degC") < out.index("CAUTIONS THAT") < out.index("WHERE THE HEAT WENT")
    )
    assert all(len(line) <= 80 for line in out.splitlines())
    assert "Simulating windy" in progress and f"Wrote {path.parent / 'camp.compare.png'} and " in progress
    assert frame.scenario_of(path.parent / "camp.compare.png") == "Test camp"
    assert sorted(it.name for it in path.parent.iterdir()) == [
        "camp.compare.html",
        "camp.compare.png",
        "camp.toml",
    ]


@pytest.mark.compiled
def test_its_page_tells_the_same(told):
    path, out, progress = told
    page = path.with_name("camp.compare.html")
    assert page_frame.scenario_of(page) == "Test camp" and progress.rstrip().endswith("camp.compare.html")
    (line,) = (it for it in out.splitlines() if it.startswith("cot, mean in bed, degC"))
    rows = [row.text for row in by_id(read(page.read_bytes()), "differences").every("tr")]
    (row,) = (it for it in rows if it.startswith("cot, mean in bed, degC"))
    assert all(number in row for number in line.split())


@pytest.mark.compiled
def test_the_base_stands_first_and_ranges_below_their_differences(told):
    _, out, _ = told
    lines = out.splitlines()
    (at,) = (n for n, line in enumerate(lines) if line.startswith("cot, mean in bed, degC"))
    base, mat, windy, lined = lines[at].removeprefix("cot, mean in bed, degC").split()
    assert re.fullmatch(r"-?\d+\.\d", base) and windy[0] == "-" and lined[0] == "+"
    assert all(it == "alike" or re.fullmatch(r"[+-]\d+\.\d", it) for it in (mat, windy, lined))
    assert re.search(r"[+-]\d+\.\d to [+-]\d+\.\d", lines[at + 1])
    header = next(line for line in lines if line.split() == ["base", "mat", "windy", "lined"])
    assert header.index("base") < header.index("mat")
    assert "frost" not in " ".join(line for line in lines if line.startswith("frost"))
    assert "6 draws of what nobody has measured" in " ".join(out.split())


@pytest.mark.compiled
def test_safety_findings_that_come_stand_beside_the_numbers(tmp_path):
    near = spoilt('legs = "20 cm"', 'legs = "20 cm"\nplace = { from_wall = "1.2 m" }', FIRE)
    path = written(tmp_path, near)
    few = [
        part
        for it in (
            "model.layers=5",
            "night.end=20:00",
            "wish.bed=19:00",
            "stoking.rule=none",
            "stoking.set=none",
            'stoking.load=[{ at = "17:30", pieces = { stick = 6 } }]',
        )
        for part in ("--set", it)
    ]
    out, _ = answer([path, *few, "--draws", "0", "--quiet", "--variant", "near: stove.place.from_wall=8 cm"])
    words = " ".join(out.split())
    assert re.search(r"near adds: (CAUTION|STOP) Wall", words) and "-> Move it away" in words
    assert "without draws no difference has a range" in words
    assert "near takes away" not in words


@pytest.mark.compiled
def test_one_that_says_the_same_is_told_and_other_files_count(tmp_path):
    path = written(tmp_path, CAMP)
    other = written(
        tmp_path,
        CAMP.replace('"Test camp"', '"Larger camp"').replace('length = "4 m"', 'length = "6 m"'),
        "larger.toml",
    )
    out, _ = answer(
        [path, other, *QUICK, "--draws", "0", "--quiet", "--variant", "same: outdoors.wind=2 m/s"]
    )
    words = " ".join(out.split())
    assert "same says the same as the base: it is the same night." in words
    assert "larger: the scenario of larger.toml" in words and "windy" not in words
    assert "None of them differs in what is looked for; that is no word on what is not." in words


@pytest.mark.compiled
def test_usual_changes_are_ranked_with_their_prices(tmp_path):
    path = written(tmp_path, CAMP)
    out, _ = answer([path, *QUICK, "--draws", "0", "--quiet", "--usual", "--price", "liner=50 EUR"])
    assert all(len(line) <= 80 for line in out.splitlines())
    lines = out.splitlines()
    free, carried = (
        next(n for n, line in enumerate(lines) if line.startswith(it))
        for it in ("NOTHING TO CARRY", "TO BE CARRIED")
    )
    assert (
        free < carried
        and lines[carried].split()[-2:] == ["cot", "by"]
        and lines[carried + 1].endswith("100 EUR")
    )
    liner = next(line for line in lines[carried:] if line.startswith("liner"))
    assert len(liner.split()) == 8 and "raised_floor" in out
    assert "WHY IT CAN BE COLDER." in out and "quilt: a polyester quilt of 20 mm inside the skin" in out


@pytest.mark.parametrize(
    ("options", "words"),
    [
        (
            ["--variant", "mats"],
            'there is no such variant. Given: mats. Allowed: mat, windy, lined. Is "mat" meant?',
        ),
        (["--variant", "a: shelter.flor.mat=none"], 'in the variant a: unknown key "flor"'),
        (["--variant", "mat", "--variant", "mat: outdoors.wind=9 m/s"], "two variants have one name"),
        (["--variant", "base: outdoors.wind=9 m/s"], "the base is always there"),
        (["--variant", "a: night.end=22:00"], "[night] cannot differ"),
        (["--price", "mat=3 EUR"], "a price counts in a ranking"),
        (["--usual", "--price", "liner"], "a price above 0 is wanted"),
        (["--usual", "--price", "liner=0 EUR"], "a price above 0 is wanted"),
        (["--usual", "--price", "line=30 EUR"], 'Is "liner" meant?'),
        (["--usual", "--price", "liner=30 EUR", "--price", "quilt=30 USD"], "prices in several currencies"),
    ],
)
def test_one_message_for_each_bad_option(tmp_path, capsys, options, words):
    lines = refused([written(tmp_path, CAMP), *options], capsys)
    assert len(lines) == 1 and words in lines[0], lines
    assert sorted(path.name for path in tmp_path.iterdir()) == ["camp.toml"]


def test_scenarios_that_cannot_be_compared(tmp_path, capsys):
    (line,) = refused([written(tmp_path, TEXT)], capsys)
    assert "no variant is given" in line and "[variants.mat]" in line and "--variant" in line
    (line,) = refused([written(tmp_path, OPEN), "--variant", "a: outdoors.wind=3 m/s"], capsys)
    assert "no cot and no floor" in line
    late = written(tmp_path, spoilt('end = "07:30"', 'end = "07:00"', CAMP), "late.toml")
    (line,) = refused([written(tmp_path, CAMP), late], capsys)
    assert line.startswith(f"{late}, night: its night is another one")
    lines = refused([written(tmp_path, CAMP), tmp_path / "none.toml", "--variant", "a: b=3"], capsys)
    assert len(lines) == 2


def test_a_fault_in_a_variant_is_told_by_every_verb(tmp_path, capsys):
    bad = CAMP + '\n[variants.bad]\nshelter.floor.mat = "dreams"\n'
    path = written(tmp_path, bad)
    line = bad.split("\n").index('shelter.floor.mat = "dreams"') + 1
    for verb in ("check", "night", "compare"):
        assert main([verb, str(path)]) == 2
        assert f"{path}, line {line}, shelter.floor.mat: in the variant bad" in capsys.readouterr().err


@pytest.mark.parametrize("draws", ["-1", "3", "1001", "many"])
def test_a_number_of_draws(tmp_path, capsys, draws):
    with pytest.raises(SystemExit) as ended:
        main(["compare", str(written(tmp_path, CAMP)), "--draws", draws])
    assert ended.value.code == 2 and "give 5 to 1000, or 0 for none" in capsys.readouterr().err

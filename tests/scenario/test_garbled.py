"""Files that accidents have garbled: read, or refused with the place and a way out; nothing is written."""

from pathlib import Path
from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from simtent.cli import main
from simtent.errors import InputError
from simtent.scenario.load import load
from simtent.scenario.tree import Origin, plant_table
from simtent.scenario.write import toml_text
from tests.scenario.garble import ACCIDENTS, garbled
from tests.strategies import fire_trees, scenario_trees

SHIPPED = sorted((Path(__file__).parents[2] / "scenarios").glob("*.toml"))
FAST, ALL, BLOCK = 240, 2000, 40
FULLEST_LINE = (
    2500  # characters of a message: a list of what is allowed may be long, what the user wrote is cut
)
OVERLAYS = sorted((Path(__file__).parents[2] / "scenarios" / "overlays").glob("*.toml"))


def blocks(first, end):
    return [pytest.param(n, id=f"{n} to {n + BLOCK - 1}") for n in range(first, end, BLOCK)]


def refused_in_order(path, what_happened):
    """Read a file: whether it is a scenario; if not, every message has its place and says what to do."""
    try:
        load(path)
    except InputError as error:
        assert error.faults
        for fault in error.faults:
            told = str(fault)
            assert fault.file == str(path), (what_happened, told)
            assert fault.line or fault.key, (what_happened, told)
            assert fault.todo, (what_happened, told)
            assert told.isprintable() and len(told) < FULLEST_LINE, (what_happened, told)
            assert not any(word in told for word in ("pydantic", "Traceback", "object at 0x")), told
        return False
    return True


def checked(path, what_happened, capsys):
    """Let the verb look through a file, which changes nothing in its folder; its exit code."""
    before = {it: it.read_bytes() for it in path.parent.iterdir()}
    code = main(["check", str(path)])
    out, err = capsys.readouterr()
    err = "".join(
        line for line in err.splitlines(keepends=True) if not line.startswith("Next: simtent night ")
    )
    assert code in (0, 2), what_happened
    assert ("no faults found in the file" in out) == (code == 0), what_happened
    assert bool(err) == (code == 2), what_happened
    assert all(line.startswith(str(path)) for line in err.splitlines()), (what_happened, err)
    assert (out + err).replace("\n", "").isprintable(), what_happened
    assert {it: it.read_bytes() for it in path.parent.iterdir()} == before
    return code


def garble_block(first, folder, capsys):
    """Garble shipped scenarios by `BLOCK` seeds; how many of them can still be read."""
    path, read = folder / "camp.toml", 0
    for seed in range(first, first + BLOCK):
        random = Random(seed)
        raw, happened = garbled(SHIPPED[seed % len(SHIPPED)].read_bytes(), random)
        path.write_bytes(raw)
        well = refused_in_order(path, (seed, happened))
        if well or seed % 5 == 0:  # the verb tells what the reader found; what is read it looks through
            assert checked(path, (seed, happened), capsys) == (0 if well else 2)
        read += well
    return read


@pytest.mark.parametrize("first", blocks(0, FAST))
def test_garbled_files_are_refused_in_order(first, tmp_path, capsys):
    assert (
        0 < garble_block(first, tmp_path, capsys) < BLOCK
    )  # some only lost a remark; most are no scenario any more


@pytest.mark.slow
@pytest.mark.parametrize("first", blocks(FAST, ALL))
def test_many_more_garbled_files(first, tmp_path, capsys):
    garble_block(first, tmp_path, capsys)


@settings(max_examples=20)
@given(st.one_of(scenario_trees(), fire_trees()), st.integers(0, 2**32 - 1))
def test_garbled_files_of_generated_scenarios(tmp_path_factory, tree, seed):
    path = tmp_path_factory.mktemp("garbled") / "camp.toml"
    text = toml_text(plant_table(tree, lambda _path: Origin("file")))
    raw, happened = garbled(text.encode(), Random(seed), most=2)
    path.write_bytes(raw)
    refused_in_order(path, (seed, happened))


@pytest.mark.parametrize("accident", ACCIDENTS)
def test_every_accident_changes_a_file(accident):
    """A generator of accidents that changes nothing would let every test pass."""
    raw = SHIPPED[0].read_bytes()
    assert any(ACCIDENTS[accident](raw, Random(seed)) != raw for seed in range(5))


def test_an_overlay_is_garbled(tmp_path):
    """The message names the overlay, not the scenario."""
    path = tmp_path / "overlay.toml"
    for seed in range(BLOCK):
        raw, happened = garbled(OVERLAYS[seed % len(OVERLAYS)].read_bytes(), Random(seed), most=1)
        path.write_bytes(raw)
        try:
            load(SHIPPED[0], overlays=path)
        except InputError as error:
            for fault in error.faults:
                assert fault.file in (str(path), str(SHIPPED[0])), (seed, happened, str(fault))
                assert fault.line or fault.key, (seed, happened, str(fault))
                assert fault.todo, (seed, happened, str(fault))


# text, line, words of the message
WHOLE_FILES = {
    "a list too deep": ("a = " + "[" * 3000 + "]" * 3000, 1, "more than 20 tables or lists"),
    "tables too deep": ("\nb = 1\n" + ".".join("a" * 5000) + " = 1", 3, "more than 20 tables or lists"),
    "braces too deep": ("a = " + "{a = " * 500 + "1" + "}" * 500, 1, "more than 20 tables or lists"),
    "a number too long to read": ("a = 1\nb = " + "9" * 5000, 2, "thousands of digits"),
    "a number of more than 64 bits": ("format = 9223372036854775808", 1, "more than 18 digits"),
    "a number in hexadecimal": ("\n\nformat = 0x" + "F" * 5000, 3, "more than 18 digits"),
    "the end is lost": ('format = 1\nname = "Test', 2, "Close the quote or bracket"),
    "the end of a list is lost": ("format = 1\na = [\n1,\n\n", 3, "Close the quote or bracket"),
    "a table twice": ("[night]\na = 1\n[wish]\n[night]\n", 4, "the table [night] is given twice"),
    "a key twice in braces": ('a = { b = 1, b = "2" }', 1, "given twice"),
    "a zero byte": ("format = 1\nna\0me = 1", 2, "na\\x00me = 1"),
}


@pytest.mark.parametrize("case", WHOLE_FILES)
def test_what_no_scenario_can_be(case, tmp_path):
    text, line, words = WHOLE_FILES[case]
    path = tmp_path / "camp.toml"
    path.write_text(text)
    with pytest.raises(InputError) as caught:
        load(path)
    fault = caught.value.faults[0]
    assert (fault.file, fault.line) == (str(path), line)
    assert words in str(fault)
    assert fault.todo
    assert len(str(fault)) < FULLEST_LINE


@pytest.mark.parametrize(
    "setting",
    [
        ".".join("a" * 5000) + "=1",
        "wish.bed=" + "[" * 3000,
        "crew.asleep=" + "9" * 5000,
        "crew.asleep=0x" + "F" * 5000,
    ],
)
def test_a_setting_too_deep_or_too_long(setting):
    with pytest.raises(InputError) as caught:
        load(SHIPPED[0], settings=[setting])
    assert {fault.file for fault in caught.value.faults} == {"--set"}
    assert all(len(str(fault)) < FULLEST_LINE for fault in caught.value.faults)

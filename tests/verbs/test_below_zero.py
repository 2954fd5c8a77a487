"""Values below zero after an option, with and without an equals sign."""

import pytest

from simtent.arguments.below_zero import joined
from simtent.cli import main
from tests.planning.camps import THREE_METRES

WRITTEN = {
    "apart": (["stoke", "f", "--low", "-10degC,0degC"], ["stoke", "f", "--low=-10degC,0degC"]),
    "two": (["--low", "-1 degC", "--wind", "-2 m/s"], ["--low=-1 degC", "--wind=-2 m/s"]),
    "point": (["--cot", "-.5 degC"], ["--cot=-.5 degC"]),
    "options": (["--card", "--low", "3"], ["--card", "--low", "3"]),
    "last": (["f", "--low"], ["f", "--low"]),
    "flags": (["--card", "f", "-x"], ["--card", "f", "-x"]),
    "given": (["--low=-1degC", "-2"], ["--low=-1degC", "-2"]),
}


@pytest.mark.parametrize("name", WRITTEN)
def test_joined(name):
    given, wanted = WRITTEN[name]
    assert joined(given) == wanted


@pytest.mark.parametrize(
    ("verb", "option"),
    [("stoke", "--wind"), ("stove", "--low"), ("stove", "--wind"), ("heights", "--cot"), ("stoke", "--cot")],
)
def test_every_verb_hears_the_value(tmp_path, capsys, verb, option):
    path = tmp_path / "camp.toml"
    path.write_text(THREE_METRES, encoding="utf-8")
    more = ["--card"] if option == "--wind" and verb == "stoke" else []
    more = ["--now", "--at", "23:00"] if option == "--cot" and verb == "stoke" else more
    assert main([verb, str(path), option, "-400degC", *more, "--out", str(tmp_path)]) == 2
    told = capsys.readouterr()
    assert option in told.err and "400" in told.err and "expected one argument" not in told.err

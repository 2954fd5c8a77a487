"""Pictures in the form that is asked for: what verbs write, what they leave alone, what they refuse."""

from pathlib import Path

import pytest

from simtent.arguments.parser import parser
from simtent.cli import main
from simtent.tell import frame, look
from tests.logbook import nights
from tests.planning.camps import THREE_METRES

DRAWING = ("night", "heights", "log", "fit", "stoke", "stove", "wood", "compare", "study")
READERS = {"svg": frame.scenario_of_drawing, "pdf": frame.scenario_of_sheet, "png": frame.scenario_of}


@pytest.fixture
def camp(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setattr(look, "PIXELS_PER_INCH", 40)  # drawn faster
    return nights.camp(tmp_path)


@pytest.mark.parametrize("verb", DRAWING)
def test_every_verb_that_draws_can_be_asked_for_a_form(verb: str) -> None:
    assert parser().parse_args([verb, "camp.toml"]).picture == "png"
    for form in frame.FORMS:
        assert parser().parse_args([verb, "camp.toml", "--picture", form]).picture == form


@pytest.mark.parametrize("form", ["svg", "pdf"])
def test_pictures_are_written_in_that_form(camp: Path, form: str) -> None:
    assert main(["log", str(camp), "--picture", form, "--quiet"]) == 0
    written = {path.name for path in camp.parent.glob("bench.log*")}
    assert written == {f"bench.log.{form}", f"bench.log.2.{form}", "bench.log.nc"}
    for path in camp.parent.glob(f"*.{form}"):
        assert READERS[form](path) == "Test camp"
    assert main(["log", str(camp), "--picture", form, "--quiet"]) == 0  # its own are written again


@pytest.mark.parametrize("form", ["svg", "pdf"])
@pytest.mark.parametrize("whose", ["nobody's", "another camp's"])
def test_what_is_not_its_own_is_left_alone(
    camp: Path, form: str, whose: str, capsys: pytest.CaptureFixture[str]
) -> None:
    path = camp.parent / f"bench.log.{form}"
    if whose == "nobody's":
        path.write_text("<svg>a drawing of mine</svg>")
    else:
        assert main(["log", str(camp), "--set", "name=Other camp", "--picture", form, "--quiet"]) == 0
    before = path.read_bytes()
    capsys.readouterr()
    assert main(["log", str(camp), "--picture", form, "--quiet"]) == 2
    told = " ".join(capsys.readouterr().err.split())
    assert "is in the way" in told and ("Other camp" in told or whose == "nobody's")
    assert path.read_bytes() == before


def test_a_form_that_nobody_writes_is_refused(camp: Path, capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit) as ended:
        main(["log", str(camp), "--picture", "gif"])
    assert ended.value.code == 2 and "png" in capsys.readouterr().err
    assert not list(camp.parent.glob("bench.log*"))


def test_a_card_has_forms_of_its_own(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "camp.toml"
    path.write_text(THREE_METRES, encoding="utf-8")
    assert main(["stoke", str(path), "--card", "--picture", "pdf", "--quiet"]) == 2
    told = " ".join(capsys.readouterr().err.split())
    assert "PDF for paper, PNG for a phone" in told and "--picture" in told
    assert [it.name for it in tmp_path.iterdir()] == ["camp.toml"]

"""Pictures from Python: matplotlib figures of public answers, kept by nobody, saved as the verbs save them."""

import doctest
import gc
import inspect
import re
import weakref
from pathlib import Path
from random import Random
from xml.etree import ElementTree

import matplotlib as mpl
import pytest
from matplotlib.figure import Figure
from PIL import Image

import simtent
from simtent import pictures
from simtent.errors import InputError
from simtent.tell import frame, look
from tests import fake_fire, fake_night
from tests.tell import cards
from tests.tell.drawings import DRAWN
from tests.tell.heights_nights import night as damp_night
from tests.tell.heights_nights import scenario as damp_scenario

READERS = {
    "png": frame.scenario_of,
    "svg": frame.scenario_of_drawing,
    "pdf": frame.scenario_of_sheet,
}
AWKWARD = 'A "name" <with> \\ $signs$ & (brackets)'


@pytest.fixture
def drawn(tmp_path: Path) -> Figure:
    scenario = fake_night.scenario(tmp_path).replace("name", AWKWARD)
    return pictures.night(scenario, fake_night.night(10.0), units="si")


def test_every_public_picture_is_told() -> None:
    """Every function of the module is listed, typed, and says what it takes, raises and by an example how."""
    own = [
        it for it in vars(pictures).values() if inspect.isfunction(it) and it.__module__ == pictures.__name__
    ]
    functions = [it.__name__ for it in own if not it.__name__.startswith("_")]
    assert sorted(functions) == sorted(pictures.__all__)
    for name in functions:
        doc = inspect.getdoc(getattr(pictures, name))
        assert doc and "Parameters\n---" in doc and "Examples\n---" in doc and ">>> " in doc, name
        assert name == "card" or "Raises\n---" in doc, name
    assert simtent.pictures is pictures and "pictures" in dir(simtent)


@pytest.mark.parametrize("draw", DRAWN, ids=lambda it: it.__name__)
def test_a_figure_belongs_to_no_window_and_goes_with_its_name(draw, tmp_path: Path) -> None:
    import matplotlib.pyplot as plt  # noqa: PLC0415

    before = plt.get_fignums()
    picture = draw(Random(1), tmp_path, "us")
    assert isinstance(picture, Figure) and plt.get_fignums() == before == []
    kept = weakref.ref(picture)
    del picture
    gc.collect()
    assert kept() is None


def test_whoever_draws_it_it_looks_the_same(drawn: Figure, tmp_path: Path) -> None:
    drawn.savefig(tmp_path / "one.png", dpi=60)
    with mpl.rc_context(
        {"font.size": 30.0, "text.parse_math": True, "axes.unicode_minus": True, "savefig.dpi": 20}
    ):
        drawn.savefig(tmp_path / "other.png", dpi=60)
    assert (tmp_path / "one.png").read_bytes() == (tmp_path / "other.png").read_bytes()


@pytest.mark.parametrize("form", frame.FORMS)
def test_files_say_whose_they_are(drawn: Figure, form: str, tmp_path: Path) -> None:
    path = tmp_path / f"night.{form}"
    drawn.savefig(path)
    assert READERS[form](path) == AWKWARD
    whole = path.read_bytes()
    drawn.savefig(path)
    assert path.read_bytes() == whole  # no dates inside
    foreign = tmp_path / f"foreign.{form}"
    Figure().savefig(foreign)
    assert READERS[form](foreign) is None
    foreign.write_bytes(b"no such file at all")
    assert READERS[form](foreign) is None


def test_text_of_an_svg_file_is_text(drawn: Figure, tmp_path: Path) -> None:
    path = tmp_path / "night.svg"
    drawn.savefig(path)
    told = ["".join(it.itertext()) for it in ElementTree.parse(path).iter() if it.tag.endswith("}text")]
    for words in ("outdoors", "bed 21:30", "heat release", "Invented scenario"):
        assert any(words in text for text in told), words
    fonts = set(re.findall(r"font-family: ([^;\"]*)", path.read_text()))
    assert fonts == {"'DejaVu Sans', sans-serif"}  # whoever has not this font has another


def test_text_of_a_pdf_file_is_text_in_fonts_of_its_own(drawn: Figure, tmp_path: Path) -> None:
    path = tmp_path / "night.pdf"
    drawn.savefig(path)
    whole = path.read_bytes()
    assert (
        whole.count(b"/FontFile2") >= 2 and b"/Type3" not in whole
    )  # two weights, as outlines of the font itself


def test_a_notebook_shows_it(drawn: Figure, tmp_path: Path) -> None:
    path = tmp_path / "shown.png"
    path.write_bytes(drawn._repr_png_())
    with Image.open(path) as image:
        assert image.size[0] == round(look.WIDTH * look.PIXELS_PER_INCH / 2)


def test_cards(tmp_path: Path) -> None:
    made = cards.card()
    for paper, form in ((False, "png"), (True, "pdf")):
        path = tmp_path / f"card.{form}"
        pictures.card(made, paper=paper).savefig(path)
        assert READERS[form](path) == made.scenario.name


def test_what_cannot_be_drawn_is_said_in_one_message(tmp_path: Path) -> None:
    yard, open_night = fake_fire.yard(tmp_path), fake_fire.burn(10.0)
    scenario, night = damp_scenario(tmp_path), damp_night()
    for draw, words in (
        (lambda: pictures.air(yard, open_night, "15:00"), "a stove in the open has no room"),
        (lambda: pictures.heights(yard, open_night), "simtent.pictures.night"),
        (lambda: pictures.night(scenario, night, units="imperial"), "us, si"),
        (lambda: pictures.air(scenario, night, "15:00"), "15:00"),
        (lambda: pictures.air(scenario, night, "tea time"), "tea time"),
        (lambda: pictures.heights(scenario, night, ["18:00", "19:00", "20:00", "21:00"]), "up to 3"),
        (lambda: pictures.heights(scenario, night, "18:00"), "in a list"),
        (lambda: pictures.vent({0.5: (scenario, night)}), "two or more"),
        (lambda: pictures.vent({0.5: (scenario, night), 50.0: (scenario, night)}), "from 0 to 1"),
    ):
        with pytest.raises(InputError, match=re.escape(words)):
            draw()


@pytest.mark.compiled
def test_examples() -> None:
    """Those of the docstrings that take seconds; the others are drawn from made-up answers here."""
    outcome = doctest.testmod(pictures, raise_on_error=False)
    assert outcome.attempted > 15 and outcome.failed == 0

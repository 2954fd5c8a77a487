"""The page of a night as text: one whole file, nothing from outside, every number the Dataset's own."""

import json
import re
import time
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest
import xarray as xr

from simtent.assess.cautions import HEADLINE, standing
from simtent.scenario.assumed import assumed
from simtent.scenario.load import load
from simtent.scenario.scenario import Scenario
from simtent.tell.page import frame, night, profile, river
from simtent.tell.page.accounts import Accounts, Flow, accounts
from simtent.tell.page.markup import Markup, tag
from simtent.tell.table import hourly
from tests import fake_fire, fake_night
from tests.tell.pages import Element, by_id, read
from tests.test_tell import contrast

NASTY = """<b>&"x' </script><!--"""
OUTSIDE = re.compile(rb"(?:https?:)?//[\w.-]+\.\w", re.IGNORECASE)
STYLE = (Path(frame.__file__).parent / "page.css").read_text(encoding="utf-8")
KINDS = ("heat", "fire", "open")


def made(kind: str, folder: Path, *settings: str) -> tuple[Scenario, xr.Dataset]:
    """Scenario and Dataset of a night by a known heat, by a fire, or of a burn in the open."""
    if kind == "heat":
        return fake_night.scenario(folder, *settings), fake_night.night(5.0)
    path = folder / "paper.toml"
    path.write_text(fake_fire.SCENARIO if kind == "fire" else fake_fire.OPEN)
    return load(path, settings=settings), fake_fire.night() if kind == "fire" else fake_fire.burn()


def page_of(scenario: Scenario, dataset: xr.Dataset, system: str = "us") -> bytes:
    return frame.to_bytes(night.page(scenario, dataset, system, standing(scenario), ()))


@pytest.fixture(scope="module")
def fire(tmp_path_factory: pytest.TempPathFactory) -> tuple[Scenario, xr.Dataset, Element]:
    scenario, dataset = made("fire", tmp_path_factory.mktemp("fire"), "model.walls=1.1")
    return scenario, dataset, read(page_of(scenario, dataset))


@pytest.fixture(scope="module", params=KINDS)
def page(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> bytes:
    return page_of(*made(request.param, tmp_path_factory.mktemp("page")))


def test_is_whole_small_and_fetches_nothing(page: bytes) -> None:
    document = read(page)
    assert page.startswith(b"<!DOCTYPE html>") and len(page) < 2e6
    assert not OUTSIDE.search(page)
    for element in document.every():
        for name in ("src", "href", "action", "data", "srcset", "poster"):
            assert element.attributes.get(name, "#").startswith("#"), (element.name, name)
    assert not document.every("link", "iframe", "object", "embed", "base", "form")
    assert not re.search(r"@import|url\((?!#)|fetch\(|XMLHttpRequest|import\(", page.decode())
    (policy,) = [it for it in document.every("meta") if "http-equiv" in it.attributes]
    assert "default-src 'none'" in policy.attributes["content"]


def test_names_and_headings_are_in_order(page: bytes) -> None:
    document = read(page)
    ids = [it.attributes["id"] for it in document.every() if "id" in it.attributes]
    assert len(ids) == len(set(ids))
    steps = [int(it.name[1]) for it in document.every("h1", "h2", "h3", "h4")]
    assert steps[0] == 1 and steps.count(1) == 1
    assert all(after <= before + 1 for before, after in pairwise(steps))
    for element in document.every():
        for attribute in ("aria-labelledby", "aria-controls", "for"):
            assert element.attributes.get(attribute, ids[0]) in ids
        assert element.attributes.get("href", f"#{ids[0]}").removeprefix("#") in ids
    drawn = {it.attributes["aria-labelledby"] for it in document.every("svg")}
    assert all(by_id(document, name).text for name in drawn)
    assert all(it.attributes["role"] == "img" for it in document.every("svg"))
    assert not document.every("img")
    (html,) = document.every("html")
    assert html.attributes["lang"] == "en" and document.every("title")[0].text


def test_cautions_stand_before_every_number(page: bytes) -> None:
    document = read(page)
    texts = document.text
    assert all(line in texts for line in HEADLINE)
    answer = next(it for it in document.every("p") if it.attributes.get("class") == "answer")
    assert texts.index(HEADLINE[0]) < texts.index(answer.text) < texts.index("Fire makes carbon monoxide")
    assert texts.index("Fire makes carbon monoxide") < texts.index(document.every("figure")[0].text)
    assert not re.search(r"\bsafe\b", texts)


def test_every_caution_is_there_in_full(fire: tuple[Scenario, xr.Dataset, Element]) -> None:
    text = by_id(fire[2], "cautions").text
    for finding in standing(fire[0]):
        assert finding.what in text and finding.todo in text and finding.limit[1:] in text


def test_texts_are_large_enough_and_fit_a_phone(page: bytes) -> None:
    """A picture of 336 units fills the 336 points that a phone of 360 leaves it: its units are points."""
    for element in read(page).every("svg"):
        if element.attributes.get("class") != "drawn":
            assert float(element.attributes["viewbox"].split()[2]) <= 336.0
            assert all(float(it.attributes["font-size"]) >= 12.0 for it in element.every("text"))
        else:
            # Letters are shapes, 100 units high before they are scaled; a picture's units are points.
            wide = float(element.attributes["viewbox"].split()[2])
            scales = [
                float(found[1])
                for it in element.every("g")
                if (found := re.search(r"scale\((0\.\d+) -", it.attributes.get("transform", "")))
            ]
            assert scales and min(scales) * 100.0 * 336.0 / wide >= 12.0
    rems = [float(size) * 16.0 for size in re.findall(r"font-size: ([\d.]+)rem", STYLE)]
    assert min(rems) >= 12.0 and not re.search(
        r"font-size: [\d.]+(px|em|pt|%)", STYLE.split("@media print")[0]
    )


@pytest.mark.parametrize("scheme", ["light", "dark", "print"])
def test_colours_are_apart(scheme: str) -> None:
    """WCAG 2.2, 1.4.3: 4.5 for text; 1.4.11: 3 for lines that tell something."""
    parts = {
        "light": STYLE.split("@media (prefers")[0],
        "dark": STYLE.split("@media (prefers")[1],
        "print": STYLE.split("@media print")[1],
    }
    found = dict(re.findall(r"--([\w-]+): (#[0-9a-f]{6})", parts["light"]))
    found |= dict(re.findall(r"--([\w-]+): (#[0-9a-f]{6})", parts[scheme].split("}")[0]))
    texts = [(text, ground) for text in ("ink", "quiet", "link") for ground in ("ground", "sheet")]
    texts += [("warn", "warn-ground"), *((level, "sheet") for level in ("note", "caution", "stop"))]
    for text, ground in texts:
        assert contrast(found[text], found[ground]) >= 4.5, (text, ground)
    for line in ("air", "felt", "chosen", "came-line", "went-line", "kept"):
        assert contrast(found[line], found["ground"]) >= 3.0, line


@pytest.mark.parametrize("kind", KINDS)
def test_energy_is_the_ledgers(kind: str, tmp_path: Path) -> None:
    _, dataset = made(kind, tmp_path)
    found = accounts(dataset)
    final = dataset["energy"].isel(time=-1)
    stored = np.char.startswith(final["account"].values.astype(str), "stored_")
    gains = np.where(stored, -final.values, final.values)
    assert found.whole == pytest.approx(gains[gains > 0.0].sum(), rel=1e-12)
    assert found.gone == pytest.approx(-gains[gains < 0.0].sum(), rel=1e-12)
    assert found.whole == pytest.approx(found.gone, rel=1e-6)
    kept = sum(flow.joules for flow in found.went if flow.kept)
    large = -gains[stored & (gains < -0.005 * found.whole)]
    assert kept == pytest.approx(large.sum(), rel=1e-12)


def test_small_accounts_are_added_up() -> None:
    """Sums by hand: 100 J in, of which 99.4 go, 0.3 stay, and 0.2 and 0.1 go by ways too small to show."""
    names = ["source", "leakage", "stored_air", "ground_edge", "sky_radiation"]
    dataset = xr.Dataset({"energy": (("time", "account"), [[0.0] * 5, [100.0, -99.4, 0.3, -0.2, -0.1]])})
    found = accounts(dataset.assign_coords(account=names))
    assert found.whole == 100.0 and found.gone == pytest.approx(100.0, rel=1e-12)
    assert [flow.words for flow in found.went] == [
        "with leaking air", "3 ways too small to show, together",
    ]  # fmt: skip


def test_the_river_is_as_wide_as_its_energy() -> None:
    """Each arm's width over the river's: areas of rectangles, by hand."""
    given = Accounts((Flow("one", 6e6), Flow("two", 2e6)), (Flow("three", 7e6), Flow("four", 1e6, kept=True)))
    drawn = river.energy(given)
    for words, share in (("one", 0.75), ("two", 0.25), ("three", 0.875), ("four", 0.125)):
        band = next(it for it in bands(given) if it.flow.words == words)
        assert band.width == pytest.approx(share * river.BED)
    shapes = [it.attributes.get("class") for it in read(drawn.encode()).every("path") if "d" in it.attributes]
    assert shapes.count("came") == 2 and shapes.count("went") == 1 and shapes.count("kept") == 1
    assert "In 2.2 kWh = out 1.9 kWh + stayed inside 0.3 kWh." in read(drawn.encode()).text


def bands(given: Accounts) -> list[river.Band]:
    scale = river.BED / given.whole
    came, waist = river._bands(given.came, scale, 0.0, grows=True)
    went, _ = river._bands(given.went, scale, waist, grows=False)
    return [*came, *went]


def test_no_two_arms_of_the_river_cross() -> None:
    flows = tuple(Flow(str(k), float(joules)) for k, joules in enumerate((40, 30, 20, 9, 1)))
    came, went = bands(Accounts(flows, flows))[:5], bands(Accounts(flows, flows))[5:]
    assert all(
        low.middle > high.middle and low.left >= high.left + high.width - 1e-9 for high, low in pairwise(came)
    )
    assert all(
        low.middle > high.middle and low.left + low.width <= high.left + 1e-9 for high, low in pairwise(went)
    )
    for arms in (came, went):
        ends = sorted((band.left, band.left + band.width) for band in arms)
        assert all(one[1] == pytest.approx(other[0]) for one, other in pairwise(ends))  # they fill the bed


def test_a_night_without_heat_has_no_river_to_divide_by() -> None:
    assert "0.0 kWh" in river.energy(Accounts((), ()))


@pytest.mark.parametrize("system", ["us", "si"])
def test_sliders_hold_the_datasets_numbers(system: str, tmp_path: Path) -> None:
    scenario, dataset = made("heat", tmp_path)
    told = json.loads(by_id(read(page_of(scenario, dataset, system)), "profile-data").exact)
    order = np.argsort(dataset["level_height"].values)
    for name, values in (
        ("air", dataset["air_temperature"].values),
        ("felt", dataset["felt_temperature"].values),
        ("at", dataset["level_temperature"].values[:, order]),
        ("outdoors", dataset["outdoor_temperature"].values),
    ):
        shown = values * 1.8 + 32.0 if system == "us" else values
        assert np.abs(np.array(told[name]) - shown).max() <= 0.005 + 1e-9
    assert len(told["clock"]) == dataset.sizes["time"] and told["clock"][0] == "17:30"
    assert told["levels"] == ["floor", "cot", "waist", "head"]
    assert np.allclose(told["heights"], dataset["height"].values)


def test_long_nights_are_thinned_evenly(tmp_path: Path) -> None:
    scenario = fake_night.scenario(tmp_path)
    dataset = fake_night.night(1.0)
    told = profile.data(scenario, dataset, "si")
    assert len(told["clock"]) <= profile.MOST_TIMES
    assert np.abs(np.array(told["air"]) - dataset["air_temperature"].values[::3]).max() <= 0.005 + 1e-9


def test_without_a_script_the_coldest_time_is_told(tmp_path: Path) -> None:
    scenario, dataset = made("heat", tmp_path)
    document = read(page_of(scenario, dataset))
    said = by_id(document, "profile-said").text
    hidden = [it for it in document.every("div") if it.attributes.get("class") == "with-script"]
    assert len(hidden) == 2 and ".with-script { display: none; }" in STYLE
    cot = dataset["level_temperature"].sel(level="cot").values
    inside = slice(48, 157)  # from 21:30 to 06:30 in steps of five minutes
    coldest = 48 + int(cot[inside].argmin())
    assert said.startswith(json.loads(by_id(document, "profile-data").exact)["clock"][coldest])
    assert f"cot {cot[coldest] * 1.8 + 32.0:.0f}," in said


def test_the_hours_are_the_terminals(fire: tuple[Scenario, xr.Dataset, Element]) -> None:
    """Cell by cell: what the table of 80 columns says."""
    scenario, dataset, document = fire
    table = next(it for it in by_id(document, "hours").every("table"))
    rows = [it for it in table.every("tr") if it.attributes.get("class") != "remark"][1:]
    lines = [line for line in hourly(scenario, dataset, "us") if re.match(r"\d\d:\d\d", line)]
    assert len(rows) == len(lines)
    for row, line in zip(rows, lines, strict=True):
        cells = [cell.text for cell in row.every("th", "td") if cell.text]
        assert line.split()[: len(cells)] == cells


def test_what_was_assumed_is_what_was_not_given(fire: tuple[Scenario, xr.Dataset, Element]) -> None:
    scenario, _, document = fire
    keys = {".".join(one.path) for one in assumed(scenario)}
    assert keys >= {"crew.heat_each", "stove.emissivity"}
    assert (
        "model.walls" not in keys
        and "stove.sheet" not in keys
        and not any(key.startswith("wish") for key in keys)
    )
    text = by_id(document, "assumed").text
    for one in assumed(scenario):
        assert f"{one.path[-1] if one.path[-1] != '[]' else '[]'} = {one.value}" in text
    assert "heat_each = 60 W" in text and "Heat that each gives" in text


def test_what_an_archetype_gave_names_it(tmp_path: Path) -> None:
    path = tmp_path / "like.toml"
    path.write_text(fake_fire.SCENARIO.replace('sheet = "1 mm steel"', 'like = "30 kg cast box"'))
    found = {".".join(one.path): one for one in assumed(load(path))}
    assert found["stove.sheet"].like == "30 kg cast box" and found["crew.heat_each"].like == ""
    assert "stove.firebox.length" not in found


def test_names_are_never_taken_for_tags(tmp_path: Path) -> None:
    plain = fake_night.scenario_file(tmp_path).read_text()
    path = tmp_path / "nasty.toml"
    quoted = json.dumps(NASTY)
    path.write_text(
        plain.replace('name = "Paper bench"', f"name = {quoted}").replace("waist =", f"{quoted} =")
    )
    scenario = load(path, settings=["crew.asleep=1"])
    dataset = fake_night.night(5.0, name=NASTY)
    dataset = dataset.assign_coords(level=["head", NASTY, "cot", "floor"])
    whole = page_of(scenario, dataset)
    document = read(whole)
    (head,) = document.every("h1")
    assert head.text == " ".join(NASTY.split())
    assert not document.every("b")[0].text.startswith("&")
    assert by_id(document, "scenario-text").exact == scenario.given
    assert NASTY in json.loads(by_id(document, "profile-data").exact)["levels"]
    (tmp_path / "nasty.html").write_bytes(whole)
    assert frame.scenario_of(tmp_path / "nasty.html") == NASTY


def test_plain_text_is_escaped_and_markup_is_not() -> None:
    assert tag("p", "<b>", Markup("<i></i>"), title='"&', hidden=True, lang=None) == (
        '<p title="&quot;&amp;" hidden>&lt;b&gt;<i></i></p>'
    )
    assert (
        tag("input", type="range", class_="a", aria_label="b")
        == '<input type="range" class="a" aria-label="b">'
    )


@pytest.mark.parametrize(
    "content", [b"", b"<p>mine</p>", b"\xff\xfe\x00", b'<meta name="generator" content="other">']
)
def test_other_files_belong_to_nobody(content: bytes, tmp_path: Path) -> None:
    path = tmp_path / "paper.night.html"
    path.write_bytes(content)
    assert frame.scenario_of(path) is None


def test_the_answer_counts_what_was_asked_for(tmp_path: Path) -> None:
    scenario, dataset = made("heat", tmp_path)
    text = night.answer(scenario, dataset, "us")
    assert re.search(
        r"coldest at \d\d:\d\d: -?\d+ degF, in two such nights of three between -?\d+ degF and", text
    )
    assert "it is below the 40 degF you asked for during" in text and "of 9 h." in text
    warm = scenario.replace("wish.cot_at_least", "-40 degF")
    assert "it never falls below the -40 degF you asked for." in night.answer(warm, dataset, "us")
    assert night.answer(scenario.replace("wish.cot_at_least", "none"), dataset, "us").endswith("degF.")


def test_a_page_takes_no_time(tmp_path: Path) -> None:
    """3 s after the run were asked for; processor time, for a machine that does other things as well."""
    scenario, dataset = made("fire", tmp_path)
    begin = time.process_time()
    page_of(scenario, dataset)
    assert time.process_time() - begin < 3.0

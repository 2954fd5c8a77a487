"""Colours that carry meaning, as people see them who lack one kind of cones, and in grey; contrast of texts."""

import re
from collections.abc import Iterator
from itertools import combinations
from pathlib import Path

import matplotlib as mpl
import numpy as np
import pytest

import simtent.tell
from simtent.tell import card_picture, look
from simtent.tell.meanings import IN_PAGES, MEANINGS, TEXTS, Meaning
from simtent.tell.shades import to_lab

# Machado, Oliveira and Fernandes, "A physiologically-based model for simulation of color vision deficiency", IEEE
# Transactions on Visualization and Computer Graphics 15(6) 1291-1298, 2009: severity 1.0, on linear sRGB. Digits as
# several public programs print them alike.
VISIONS = {
    "full": np.eye(3),
    "protanopia": [
        [0.152286, 1.052583, -0.204868],
        [0.114503, 0.786281, 0.099216],
        [-0.003882, -0.048116, 1.051998],
    ],
    "deuteranopia": [
        [0.367322, 0.860646, -0.227968],
        [0.280085, 0.672501, 0.047413],
        [-0.011820, 0.042940, 0.968881],
    ],
    "tritanopia": [
        [1.255528, -0.076749, -0.178779],
        [-0.078411, 0.930809, 0.147602],
        [0.004733, 0.691367, 0.303900],
    ],
    "grey": [[0.2126, 0.7152, 0.0722]] * 3,  # luminance of sRGB (IEC 61966-2-1)
}
IN_COLOUR = ("full", "protanopia", "deuteranopia", "tritanopia")
# CIE 1976 difference in L*a*b* (ISO/CIE 11664-4), in which the isotherms are evenly apart too. 2.3 is just noticeable
# side by side (Mahy, Van Eycken and Oosterlinck 1994, from memory); four times that for thin lines that do not touch:
# own choice.
LEAST = 10.0
CONTRAST = 4.5  # of text, WCAG 2.2, success criterion 1.4.3
NEUTRAL = {"INK", "QUIET", "RULE"}
FILLS = {
    "COT_BAND",
    "WOOD_FILL",
    "HEAT_FILL",
    "WARNING",
    "WARNING_FILL",
}  # behind or around what their line means
CSS = (Path(simtent.tell.__file__).parent / "page" / "page.css").read_text()


def linear(colour: str) -> np.ndarray:
    rgb = np.array(mpl.colors.to_rgb(colour))
    return np.where(rgb <= 0.04045, rgb / 12.92, ((rgb + 0.055) / 1.055) ** 2.4)


def seen(colour: str, vision: str) -> np.ndarray:
    """L*a*b* of a colour as it looks."""
    rgb = np.clip(np.array(VISIONS[vision]) @ linear(colour), 0.0, 1.0)
    return to_lab(np.where(rgb <= 0.0031308, 12.92 * rgb, 1.055 * rgb ** (1.0 / 2.4) - 0.055))


def apart(one: str, other: str, vision: str) -> float:
    return float(np.linalg.norm(seen(one, vision) - seen(other, vision)))


def contrast(one: str, other: str) -> float:
    """Of relative luminances, WCAG 2.2."""
    dark, light = sorted(float(np.array([0.2126, 0.7152, 0.0722]) @ linear(it)) for it in (one, other))
    return (light + 0.05) / (dark + 0.05)


def alike(given: Meaning, visions: tuple[str, ...]) -> list[str]:
    """Pairs that some eyes see alike."""
    return [
        f"{one} and {other}, {vision}: {apart(a, b, vision):.1f}"
        for (one, a), (other, b) in combinations(given.colours.items(), 2)
        for vision in visions
        if apart(a, b, vision) < LEAST
    ]


def schemes() -> Iterator[dict[str, str]]:
    """Colours of the pages' style by their names: by day, in the dark, on paper."""
    for block in re.findall(r":root \{(.*?)\n\s*\}", CSS, re.DOTALL):
        yield dict(re.findall(r"--([\w-]+): (#[0-9a-f]{6})", block))


def of_pages() -> list[Meaning]:
    return [
        Meaning(f"page {k}: {', '.join(names)}", {name: scheme[name] for name in names}, also)
        for k, scheme in enumerate(schemes())
        for names, also in IN_PAGES.items()
    ]


@pytest.mark.parametrize("vision", VISIONS)
def test_what_has_no_colour_stays_as_it_is(vision: str) -> None:
    """Every row of a matrix sums to 1, so that white, grey and black are seen as such."""
    assert np.sum(VISIONS[vision], axis=1) == pytest.approx(1.0, abs=2e-6)
    assert apart("#808080", "#808080", vision) == 0.0
    assert seen("#ffffff", vision) == pytest.approx([100.0, 0.0, 0.0], abs=0.02)


def test_red_and_green_are_seen_alike_by_those_who_are_said_to() -> None:
    """A red and a green of one lightness to the eye that lacks a kind of cones: the textbook confusion."""
    for vision in ("protanopia", "deuteranopia"):
        # between those two hues, blue apart, no more than lightness is left
        (_, *one), (_, *other) = seen("#c02000", vision), seen("#406000", vision)
        full = np.linalg.norm(seen("#c02000", "full")[1:] - seen("#406000", "full")[1:])
        assert np.linalg.norm(np.subtract(one, other)) < 0.5 * full
    assert apart("#c02000", "#406000", "tritanopia") > 40.0


@pytest.mark.parametrize("given", MEANINGS, ids=lambda it: it.where)
def test_colours_in_figures_are_apart_for_all_who_see_colours(given: Meaning) -> None:
    assert alike(given, IN_COLOUR) == []


@pytest.mark.parametrize("given", [*MEANINGS, *of_pages()], ids=lambda it: it.where)
def test_what_some_see_alike_is_told_otherwise_too(given: Meaning) -> None:
    assert given.also or alike(given, tuple(VISIONS)) == []


def test_no_colour_of_a_figure_is_forgotten() -> None:
    told = {colour for given in MEANINGS for colour in given.colours.values()}
    for name, value in vars(look).items():
        if not name.isupper() or name in NEUTRAL | FILLS or name == "STYLE":
            continue
        colours = value.values() if isinstance(value, dict) else [value] if isinstance(value, str) else value
        if isinstance(value, int | float) or not all(isinstance(it, str) for it in colours):
            continue
        assert set(colours) <= told, name


def test_no_colour_of_a_page_is_forgotten() -> None:
    neutral = {"ground", "sheet", "ink", "quiet", "rule", "link", "warn", "warn-ground", "chosen"}
    for scheme in schemes():
        assert scheme.keys() == neutral | {name for names in IN_PAGES for name in names}


def test_texts_stand_out_from_white() -> None:
    for given in MEANINGS:
        if given.where in ("wood: kinds of pieces", "heights: isotherms", "the air: layers"):
            continue  # these are behind texts
        for name, colour in given.colours.items():
            if name != "as it is":  # the grey line's own words are in the quiet colour
                assert contrast(colour, "#ffffff") >= CONTRAST, (given.where, name)
    for colour in (look.INK, look.QUIET, look.WARNING):
        assert contrast(colour, "#ffffff") >= CONTRAST


@pytest.mark.parametrize(("colour", "grounds"), TEXTS)
def test_texts_stand_out_from_their_ground(colour: str, grounds: tuple[str, ...]) -> None:
    assert all(contrast(colour, ground) >= CONTRAST for ground in grounds)


def test_texts_of_cards_and_pages_stand_out() -> None:
    for sheet in (card_picture.PAPER, card_picture.NIGHT):
        assert all(contrast(sheet[it], sheet["ground"]) >= CONTRAST for it in ("ink", "warning"))
    for scheme in schemes():
        for name in ("ink", "quiet", "link", "note", "caution", "stop"):
            assert all(contrast(scheme[name], scheme[it]) >= CONTRAST for it in ("ground", "sheet")), name
        assert contrast(scheme["warn"], scheme["warn-ground"]) >= CONTRAST


def test_contrast_is_that_of_the_guidelines() -> None:
    """21:1 of black on white, as WCAG 2.2 prints; #767676 is the lightest grey with 4.5 on white (widely printed)."""
    assert contrast("#000000", "#ffffff") == pytest.approx(21.0)
    assert contrast("#767676", "#ffffff") >= 4.5 > contrast("#777777", "#ffffff")

"""The night from floor to peak with two sliders: the numbers as data, and the picture that stands without a script."""

import json
from collections.abc import Sequence
from typing import Any

import numpy as np
import xarray as xr

from simtent.assess.curves import Floats, seconds_of
from simtent.assess.moments import clock
from simtent.scenario.scenario import Scenario
from simtent.tell.page.markup import Markup, joined, tag
from simtent.tell.words import degree_number, degree_unit, short_length
from simtent.units import System

MOST_TIMES = 400  # of the slider; a night has 169 of them by default
WIDTH, HEIGHT = 336.0, 300.0  # of the picture
LEFT, RIGHT, TOP, BOTTOM = 76.0, 62.0, 10.0, 36.0  # what is kept clear around its axes
STEPS = (1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 100.0)  # between ticks


def data(scenario: Scenario, dataset: xr.Dataset, system: System) -> dict[str, Any]:
    """Everything the sliders show, in the units that people read, temperatures to a hundredth.

    clock     the time of each step; begin: the step at which the sliders stand first
    heights   centre of each layer [m], with words; levels: named heights
    air, felt by time and layer; at: air by time and level; outdoors: by time
    """
    every = -(-dataset.sizes["time"] // MOST_TIMES)
    thin = dataset.isel(time=slice(None, None, every))
    seconds = seconds_of(thin, thin["time"].values) - seconds_of(dataset)[0]
    order = np.argsort(dataset["level_height"].values)
    heights = thin["height"].values
    return {
        "unit": degree_unit(system),
        "clock": [clock(scenario.night, float(at)) for at in seconds],
        "heights": [round(float(height), 4) for height in heights],
        "called": [short_length(float(height), system) for height in heights],
        "levels": [str(name) for name in thin["level"].values[order]],
        "placed": [round(float(height), 4) for height in thin["level_height"].values[order]],
        "air": _hundredths(thin["air_temperature"].values, system),
        "felt": _hundredths(thin["felt_temperature"].values, system),
        "at": _hundredths(thin["level_temperature"].values[:, order], system),
        "outdoors": _hundredths(thin["outdoor_temperature"].values, system),
    }


def sliders(given: dict[str, Any], first: int) -> Markup:
    """Picture, sliders and numbers of the data, as they stand at time number `first`.

    Without a script the sliders stay away, and picture and numbers tell of that time.
    """
    count = len(given["clock"])
    text = json.dumps(given | {"axes": _axes(given)}, separators=(",", ":")).replace("<", "\\u003c")
    layer = min(range(len(given["heights"])), key=lambda k: abs(given["heights"][k] - _cot(given)))
    return tag(
        "div",
        tag("p", "Move a slider, or use the arrow keys on it.", class_="with-script"),
        _slider("profile-time", "Time of the night", count - 1, first),
        _slider("profile-height", "Height above the ground", len(given["heights"]) - 1, layer),
        tag("p", tag("output", _sentence(given, first, layer), id="profile-said", aria_live="polite")),
        _picture(given, first, layer),
        tag("script", Markup(text), type="application/json", id="profile-data"),
        class_="profile",
    )  # fmt: skip


def _sentence(given: dict[str, Any], k: int, layer: int) -> Markup:
    """The numbers of one time and height; the script writes the same."""
    unit = given["unit"]
    levels = ", ".join(
        f"{name} {given['at'][k][n]:.0f}" for n, name in reversed(list(enumerate(given["levels"])))
    )
    air, felt = given["air"][k][layer], given["felt"][k][layer]
    return joined(
        [
            tag("b", f"{given['clock'][k]}: "),
            f"{levels}, outdoors {given['outdoors'][k]:.0f} {unit}. ",
            tag("b", f"At {given['called'][layer]}: "),
            f"air {air:.1f}, felt {felt:.1f} {unit}.",
        ]
    )


def _slider(name: str, words: str, last: int, first: int) -> Markup:
    return tag(
        "div",
        tag("label", words, for_=name),
        tag("input", type="range", id=name, min="0", max=last, value=first, step="1"),
        class_="with-script",
    )  # fmt: skip


def _picture(given: dict[str, Any], k: int, layer: int) -> Markup:
    scale = _Scale(_axes(given))
    air, felt = given["air"][k], given["felt"][k]
    heights, at = given["heights"], scale.y(given["heights"][layer])
    marks = _apart([scale.y(height) for height in given["placed"]])
    parts = [
        *(
            tag("g", tag("path", d=f"M{scale.x(value):.1f} {TOP:g}V{HEIGHT - BOTTOM:g}", class_="rule"),
                _text(scale.x(value), HEIGHT - BOTTOM + 16.0, f"{value:g}", "middle"))
            for value in scale.ticks()
        ),
        *(
            tag("g", tag("path", d=f"M{LEFT:g} {scale.y(height):.1f}H{WIDTH - RIGHT:g}", class_="level"),
                _text(WIDTH - RIGHT + 5.0, place + 4.0, name if len(name) <= 8 else f"{name[:7]}."))
            for name, height, place in zip(given["levels"], given["placed"], marks, strict=True)
        ),
        _text(LEFT - 4.0, scale.y(heights[-1]) + 4.0, given["called"][-1], "end"),
        _text(LEFT - 4.0, scale.y(heights[0]) + 4.0, given["called"][0], "end"),
        _text(WIDTH - 2.0, HEIGHT - 5.0, f"{given['unit']}; whole line: air; dashed: felt; dotted: outdoors", "end"),
        tag("path", d=f"M{scale.x(given['outdoors'][k]):.1f} {TOP:g}V{HEIGHT - BOTTOM:g}", class_="outdoors",
            id="profile-outdoors"),
        tag("polyline", points=scale.points(felt, heights), class_="felt", id="profile-felt"),
        tag("polyline", points=scale.points(air, heights), class_="air", id="profile-air"),
        tag("path", d=f"M{LEFT:g} {at:.1f}H{WIDTH - RIGHT:g}", class_="chosen", id="profile-chosen"),
        tag("circle", cx=f"{scale.x(air[layer]):.1f}", cy=f"{at:.1f}", r="5", class_="dot", id="profile-dot"),
    ]  # fmt: skip
    return tag(
        "svg", tag("title", "Temperature over height at the time of the sliders", id="profile-title"), *parts,
        viewBox=f"0 0 {WIDTH:g} {HEIGHT:g}", role="img", aria_labelledby="profile-title", class_="chart",
    )  # fmt: skip


def _axes(given: dict[str, Any]) -> dict[str, float]:
    """The view, the same at every time, and where it lies in the picture: what script and picture share."""
    everything = [*given["outdoors"], *(value for row in (*given["air"], *given["felt"]) for value in row)]
    low, high = min(everything), max(everything)
    room = 0.04 * max(high - low, 1.0)
    return {
        "low": round(low - room, 1), "high": round(high + room, 1),
        "left": LEFT, "right": WIDTH - RIGHT, "top": TOP, "bottom": HEIGHT - BOTTOM,
        "peak": round(max(*given["heights"], *given["placed"]) * 1.03, 3),
    }  # fmt: skip


class _Scale:
    """From temperatures and heights to places in the picture."""

    def __init__(self, axes: dict[str, float]) -> None:
        self._axes = axes

    def x(self, value: float) -> float:
        it = self._axes
        return it["left"] + (value - it["low"]) / (it["high"] - it["low"]) * (it["right"] - it["left"])

    def y(self, height: float) -> float:
        it = self._axes
        return it["bottom"] - height / it["peak"] * (it["bottom"] - it["top"])

    def points(self, values: Sequence[float], heights: Sequence[float]) -> str:
        return " ".join(f"{self.x(v):.1f},{self.y(h):.1f}" for v, h in zip(values, heights, strict=True))

    def ticks(self) -> list[float]:
        """Round temperatures, five at most."""
        low, high = self._axes["low"], self._axes["high"]
        step = next((it for it in STEPS if (high - low) / it <= 5.0), STEPS[-1])
        return [
            step * k for k in range(-(-int(low) // int(step)) - 1, int(high // step) + 1) if step * k >= low
        ]


def _apart(places: Sequence[float]) -> list[float]:
    """Places of words from the floor up, moved upward where they would touch."""
    moved: list[float] = []
    for place in places:
        moved.append(min(place, moved[-1] - 14.0) if moved else place)
    return moved


def _cot(given: dict[str, Any]) -> float:
    return float(given["placed"][given["levels"].index("cot")])


def _text(x: float, y: float, words: str, anchor: str | None = None) -> Markup:
    return tag("text", words, x=f"{x:.1f}", y=f"{y:.1f}", font_size="12.5", text_anchor=anchor)


def _hundredths(celsius: Floats, system: System) -> Any:
    """Temperatures [degC] in the shown unit, to a hundredth, as nested lists."""
    shift, slope = degree_number(0.0, system), degree_number(1.0, system) - degree_number(0.0, system)
    return (np.round(shift + slope * celsius, 2) + 0.0).tolist()

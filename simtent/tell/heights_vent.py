"""One picture of what opening a vent does: to the warmth at the cot, and to the water left in the morning."""

from collections.abc import Sequence
from itertools import pairwise
from typing import Any

from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.patheffects import withStroke

from simtent.assess import damp
from simtent.assess.moments import local
from simtent.tell import frame, look
from simtent.tell.compared import Comparison, Other, felt_coldest, left_on_skin
from simtent.tell.words import degree_number, degree_unit, occasion, two_figures, whole
from simtent.units import System, number, unit_name

LEFT, RIGHT = 0.12, 0.88  # of the axes, shares of the width
UPPER, LOWER, HEIGHT = 0.545, 0.185, 0.265  # bottoms and height of the two axes
ROOM = 0.28  # over and under what is drawn, a share of its range
LEAST_TOP = 0.01  # kg, of the scale of water
NEAR = 0.06  # of the height, closer than which two numbers would touch
CLOSE = 0.2  # of the whole span, closer than which two shares would touch
RIM = [withStroke(linewidth=2.5, foreground="white")]


def to_bytes(comparison: Comparison, system: System, form: str = "png") -> bytes:
    """Draw nights that differ in a vent's opening; the picture as a file that says whose it is."""
    return frame.as_file(comparison.nights[0].scenario, lambda: draw(comparison, system), form)


def draw(comparison: Comparison, system: System) -> Figure:
    """The picture: cautions, felt temperature at the cot, water left in the morning, what kind of thing this is."""
    night = next((night for night in comparison.nights if night.given), comparison.nights[0])
    scenario = night.scenario
    figure = frame.blank()
    upper = figure.add_axes((LEFT, UPPER, RIGHT - LEFT, HEIGHT))
    lower = figure.add_axes((LEFT, LOWER, RIGHT - LEFT, HEIGHT))
    at = _places(comparison.nights)
    _felt(upper, comparison.nights, at, system)
    _water(lower, comparison.nights, at, system)
    for axes in (upper, lower):
        _openings(axes, comparison.nights, at)
    felt = f"felt at the cot, coldest in bed, {degree_unit(system)}"
    _above(figure, UPPER + HEIGHT, felt, look.FELT_LINE)
    water = f"water on the skin in the morning, {unit_name('water', system)}"
    _above(figure, LOWER + HEIGHT, water, look.AIR_LINE)
    evening = local(scenario.night, 0.0)
    frame.heading(
        figure, scenario, f"{occasion(scenario)} of {evening:%Y-%m-%d}: opening the {comparison.what}"
    )
    frame.footing(figure, scenario, " Keep vents open.")
    how: dict[str, Any] = {"color": look.QUIET, "size": look.SMALLEST_TEXT}
    figure.text(RIGHT, LOWER - 0.052, f"{comparison.what}, share open", ha="right", va="top", **how)
    return figure


def _felt(axes: Axes, nights: Sequence[Other], at: Sequence[float], system: System) -> None:
    celsius = [felt_coldest(night) for night in nights]
    shown = [degree_number(value, system) for value in celsius]
    _line(axes, nights, at, shown, look.FELT_LINE)
    _fit(axes, shown, least=4.0)
    for night, x, value, text in zip(nights, at, shown, _told(celsius, system), strict=True):
        _number(axes, night, (x, value), text, look.FELT_LINE, above=True)


def _told(celsius: Sequence[float], system: System) -> list[str]:
    """Temperatures in whole degrees; with a decimal where two in a row would read alike."""
    shown = [degree_number(value, system) for value in celsius]
    texts = [whole(value) for value in shown]
    return (
        texts if all(one != other for one, other in pairwise(texts)) else [f"{value:.1f}" for value in shown]
    )


def _water(axes: Axes, nights: Sequence[Other], at: Sequence[float], system: System) -> None:
    """The sum of frost and liquid water, and the frost apart where there is both."""
    if not damp.counted(nights[0].dataset):
        axes.text(0.5, 0.5, "damp is not counted", transform=axes.transAxes, ha="center", color=look.QUIET)
        axes.set_yticks([])
        return
    left = [left_on_skin(night) for night in nights]
    both = [number(sum(it.values()), "water", system) for it in left]
    frost = [number(it["frost"], "water", system) for it in left]
    shown = whole if system == "si" else two_figures
    _line(axes, nights, at, both, look.AIR_LINE)
    top = max(*both, number(LEAST_TOP, "water", system))
    apart = any(total - ice > NEAR * top for total, ice in zip(both, frost, strict=True))
    if apart:
        _line(axes, nights, at, frost, look.DEW_LINE, (0, (4, 1.5)))
    axes.set_ylim(-ROOM * top * 0.6, top * (1.0 + ROOM))
    for night, x, total, ice in zip(nights, at, both, frost, strict=True):
        _number(axes, night, (x, total), shown(total), look.AIR_LINE, above=True)
        if apart and total - ice > NEAR * top:
            _number(axes, night, (x, ice), shown(ice), look.DEW_LINE, above=False)
    words = "dashed: of it frost" if apart else "all of it frost" if max(frost) > 0.0 else "all of it liquid"
    axes.text(0.0, 0.03, words, transform=axes.transAxes, color=look.DEW_LINE, size=look.SMALLEST_TEXT)


def _line(
    axes: Axes,
    nights: Sequence[Other],
    at: Sequence[float],
    values: Sequence[float],
    colour: str,
    dashes: Any = "-",
) -> None:
    axes.plot(at, values, color=colour, lw=1.6, ls=dashes, zorder=3)
    for x, y, night in zip(at, values, nights, strict=True):
        axes.plot(
            [x], [y], marker="o", ms=7 if night.given else 5, color=colour, mec="white", mew=0.8, zorder=4
        )


def _number(
    axes: Axes, night: Other, place: tuple[float, float], text: str, colour: str, *, above: bool
) -> None:
    axes.annotate(
        text, place, xytext=(0, 6 if above else -6), textcoords="offset points", ha="center",
        va="bottom" if above else "top", color=colour, weight="bold" if night.given else "normal",
        size=look.SMALLEST_TEXT, path_effects=RIM, zorder=5,
    )  # fmt: skip


def _fit(axes: Axes, values: Sequence[float], least: float) -> None:
    low, high = min(values), max(values)
    room = ROOM * max(high - low, least)
    axes.set_ylim(low - room, high + 1.4 * room)


def _places(nights: Sequence[Other]) -> list[float]:
    """Where each night stands from left to right: by its share, or one by one where shares lie too close for words."""
    at = [100.0 * (night.value or 0.0) for night in nights]
    close = min((after - before for before, after in pairwise(at)), default=1.0) < CLOSE * (at[-1] - at[0])
    return [100.0 * k / (len(at) - 1) for k in range(len(at))] if close else at


def _openings(axes: Axes, nights: Sequence[Other], at: Sequence[float]) -> None:
    room = 0.12 * max(at[-1] - at[0], 10.0)
    axes.set_xlim(at[0] - room, at[-1] + room)
    names = [f"{night.words}\nfile" if night.given else night.words for night in nights]
    axes.set_xticks(at, names)
    axes.set_yticks([])


def _above(figure: Figure, bottom: float, words: str, colour: str) -> None:
    figure.text(LEFT, bottom + 0.012, words, color=colour, weight="bold")

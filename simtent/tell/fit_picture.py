"""A fit as one tall picture: logged nights with their fitted lines, nights held out, numbers, what is left over."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from matplotlib.axes import Axes
from matplotlib.figure import Figure

from simtent.calibrate.calibrated import Calibrated
from simtent.calibrate.foretell import Expected
from simtent.calibrate.judge import Judgement
from simtent.calibrate.nights import Night
from simtent.network.arrays import Array
from simtent.tell import frame, look
from simtent.tell.fit_words import figure as fig
from simtent.tell.words import degree_number, degree_unit
from simtent.units import System

ROOM, FIRE, GAP = 1.75, 0.75, 0.42  # in, heights of a night's panels and what lies between
ROW = 0.34  # in, of one number
LEFT_OVER = 0.42  # in, of one place
HEADING, FOOTING = 1.05, 0.85  # in
MOST_DOTS = 150  # of one sensor in one night
WIDTH = 0.72  # of the figure
AT_FIRE = ("stove", "pipe")
COLOURS = {"head": look.ABOVE[0], "waist": look.ABOVE[1], "cot": look.COT, "floor": look.BELOW[1]}
OTHERS = (look.BELOW[0], look.WOOD, look.INK)
FIRES = {"stove": look.HEAT, "pipe": look.PIPE}
REACH = 1.645  # deviations, of nine cases in ten
ZERO_CELSIUS = 273.15
FAR = 0.5  # K beyond the logged outdoor temperatures, from which it is said
MOST_MISSED = 4.0  # deviations shown


@dataclass(frozen=True)
class Track:
    """One sensor of one night: what was read, and the line and range beside it; hours and degC."""

    place: str
    hours: Array
    read: Array
    line: Array
    low: Array
    high: Array


@dataclass(frozen=True)
class Panel:
    """A night: its title and its tracks."""

    title: str
    night: Night
    tracks: tuple[Track, ...]

    def at(self, *, fire: bool) -> list[Track]:
        """Tracks of stove and pipe, or of the room."""
        return [one for one in self.tracks if (one.place in AT_FIRE) == fire]

    @property
    def height(self) -> float:
        """Inches that it takes."""
        return GAP + sum(size for size, fire in ((ROOM, False), (FIRE, True)) if self.at(fire=fire))


def to_bytes(found: Calibrated, judged: Sequence[Judgement], system: System, form: str = "png") -> bytes:
    """Draw the fit; a file of that form that says whose it is."""
    return frame.as_file(found.scenario, lambda: draw(found, judged, system), form)


def draw(found: Calibrated, judged: Sequence[Judgement], system: System) -> Figure:
    """The picture."""
    panels = [*_fitted(found), *(_held(one.expected) for one in judged)]
    numbers = [one for one in found.sought if one.keys]
    places = list(dict.fromkeys(it.place for it in found.residuals))
    below = ROW * len(numbers) + LEFT_OVER * len(places)
    size = HEADING + FOOTING + sum(it.height for it in panels) + below + 3 * GAP
    figure = frame.blank(size)
    place = _Place(figure, size - HEADING)
    for panel in panels:
        _night(place, panel, system)
    _numbers(place.axes(ROW * len(numbers), GAP), found)
    _left_over(place.axes(LEFT_OVER * len(places), GAP), found, places)
    frame.heading(figure, found.scenario, f"readings and fitted nights, {degree_unit(system)}")
    frame.footing(figure, found.scenario, " Dots: readings.\nShaded: nine readings in ten.")
    return figure


class _Place:
    """Axes one below the other."""

    def __init__(self, figure: Figure, top: float) -> None:
        self.figure, self.top = figure, top

    def axes(self, height: float, gap: float) -> Axes:
        """Axes of a height [in], a gap below the last."""
        self.top -= gap + height
        whole = self.figure.get_figheight()
        left = look.LEFT + 0.02
        return self.figure.add_axes((left, self.top / whole, WIDTH, height / whole))


def _fitted(found: Calibrated) -> Iterator[Panel]:
    """The nights that were fitted to; the range is that of a single reading."""
    for night in found.nights:
        tracks = []
        for one in found.residuals:
            if one.night is night:
                reach = REACH * one.deviation
                line = one.predicted - ZERO_CELSIUS
                read = one.kelvin - ZERO_CELSIUS
                tracks.append(Track(one.place, one.seconds / 3600.0, read, line, line - reach, line + reach))
        where = " in the open" if night.logged.in_the_open else ""
        yield Panel(f"{night.logged.evening}{where}", night, tuple(tracks))


def _held(one: Expected) -> Panel:
    tracks = tuple(
        Track(
            it.place,
            it.seconds / 3600.0,
            *(x - ZERO_CELSIUS for x in (it.kelvin, it.predicted, it.low, it.high)),
        )
        for it in one.sensors
    )
    more = ", beyond the logs" if one.outside > FAR else ", not fitted to"
    return Panel(f"{one.night.logged.evening} foretold{more}", one.night, tracks)


def _night(place: _Place, panel: Panel, system: System) -> None:
    gap = GAP
    for size, fire in ((ROOM, False), (FIRE, True)):
        tracks = panel.at(fire=fire)
        if not tracks:
            continue
        axes = place.axes(size, gap)
        if gap == GAP:
            axes.set_title(panel.title, loc="left", fontsize=look.TEXT, weight="bold", pad=4)
        for k, one in enumerate(tracks):
            _track(axes, one, _colour(one.place, k), system)
        _names(axes, tracks, system)
        _clock(axes, panel.night)
        if not fire and panel.at(fire=True):
            axes.tick_params(labelbottom=False)
        gap = 0.08


def _colour(place: str, k: int) -> str:
    return COLOURS.get(place, FIRES.get(place, OTHERS[k % len(OTHERS)]))


def _track(axes: Axes, one: Track, colour: str, system: System) -> None:
    few = slice(None, None, max(one.hours.size // MOST_DOTS, 1))
    low, high, line, read = (_shown(it, system) for it in (one.low, one.high, one.line, one.read))
    axes.fill_between(one.hours, low, high, color=colour, alpha=0.14, lw=0)
    axes.plot(one.hours, line, color=colour, lw=1.3)
    axes.plot(one.hours[few], read[few], ".", color=colour, ms=1.8, alpha=0.75)


def _shown(celsius: Array, system: System) -> Array:
    return np.array([degree_number(float(value), system) for value in celsius])


def _names(axes: Axes, tracks: Sequence[Track], system: System) -> None:
    """Each sensor's name beside the end of its line, moved apart where they would touch."""
    low, high = axes.get_ylim()
    ends = sorted((float(_shown(one.line[-20:], system).mean()), k) for k, one in enumerate(tracks))
    apart = look.SMALLEST_TEXT * look.LINE_HEIGHT / 72.0 / _inches(axes) * (high - low)
    at = low - apart
    for end, k in ends:
        at = max(end, at + apart)
        axes.annotate(
            tracks[k].place, (1.0, at), (3, 0), xycoords=("axes fraction", "data"), textcoords="offset points",
            va="center", annotation_clip=False, color=_colour(tracks[k].place, k), fontsize=look.SMALLEST_TEXT,
        )  # fmt: skip
    axes.set_ylim(low, high)


def _inches(axes: Axes) -> float:
    figure = axes.get_figure()
    assert figure is not None
    return float(axes.get_position().height * figure.get_figheight())  # type: ignore[union-attr]


def _clock(axes: Axes, night: Night) -> None:
    seconds = night.scenario.night.seconds
    axes.set_xlim(0.0, seconds / 3600.0)
    every = 2 if seconds > 6 * 3600.0 else 1
    ticks, labels = [], []
    for minute in range(0, int(seconds // 60) + 1):
        local = night.scenario.night.span.clock_at(60.0 * minute)
        if local.minute == 0 and local.hour % every == 0:
            ticks.append(minute / 60.0)
            labels.append(f"{local:%H}")
    axes.set_xticks(ticks, labels)


def _numbers(axes: Axes, found: Calibrated) -> None:
    """What was believed of each number and what is left of that, in deviations of the belief."""
    axes.set_title(
        "Numbers: believed (grey), after your logs", loc="left", fontsize=look.TEXT, weight="bold", pad=4
    )
    numbers = [one for one in found.sought if one.keys]
    for row, one in enumerate(numbers):
        k = found.posterior.index(one.name)
        z, reach = float(found.posterior.z[k]), REACH * float(found.posterior.deviations[k])
        axes.plot([-REACH, REACH], [row, row], color=look.RULE, lw=5.0, solid_capstyle="butt")
        axes.plot([z - reach, z + reach], [row, row], color=look.COT, lw=2.2, solid_capstyle="butt")
        axes.plot([z], [row], "o", color=look.COT, ms=4.0)
        low, high = found.posterior.interval(one.name)
        unit = "" if one.unit == "1" else f" {one.unit}"
        name = one.name.removeprefix("model.").replace("_", " ")
        text = f"{name}  {fig(found.posterior.value(one.name))} ({fig(low)} to {fig(high)}){unit}"
        axes.text(-4.6, row - 0.45, text, fontsize=look.SMALLEST_TEXT, va="center", color=look.INK)
    axes.set_ylim(len(numbers) - 0.3, -0.9)
    axes.set_xlim(-4.6, 4.6)
    axes.set_yticks([])
    axes.grid(visible=False)
    axes.set_xticks([-REACH, 0.0, REACH], ["low", "believed", "high"])


def _left_over(axes: Axes, found: Calibrated, places: Sequence[str]) -> None:
    """Readings above the fitted night, in deviations of a reading's error: a row for each place, all nights in it."""
    axes.set_title(
        "Readings less fitted, in their usual error", loc="left", fontsize=look.TEXT, weight="bold", pad=4
    )
    tall = 2.0 * MOST_MISSED
    for row, name in enumerate(places):
        middle = -tall * row
        axes.axhspan(middle - REACH, middle + REACH, color=look.RULE, alpha=0.45, lw=0)
        axes.annotate(
            name, (1.0, middle), (3, 0), xycoords=("axes fraction", "data"), textcoords="offset points",
            va="center", annotation_clip=False, color=_colour(name, row), fontsize=look.SMALLEST_TEXT,
        )  # fmt: skip
        for one in (it for it in found.residuals if it.place == name):
            left = np.clip((one.kelvin - one.predicted) / one.deviation, -MOST_MISSED, MOST_MISSED)
            few = slice(None, None, max(one.seconds.size // MOST_DOTS, 1))
            axes.plot(
                one.seconds[few] / 3600.0, middle + left[few], color=_colour(name, row), lw=0.7, alpha=0.9
            )
    axes.set_ylim(-tall * (len(places) - 0.5), 0.5 * tall)
    axes.set_yticks([])
    axes.set_xlabel(
        "hours since the night's begin", fontsize=look.SMALLEST_TEXT, color=look.QUIET, labelpad=2
    )
    axes.set_xlim(left=0.0)

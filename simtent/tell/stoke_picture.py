"""A stoking plan as one picture: the planned night with its loads, and wake-ups against warmth and wood."""

from math import inf

import xarray as xr
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.patheffects import withStroke

from simtent.assess.curves import curve
from simtent.assess.moments import clock, full_hours, local
from simtent.planning.outcome import Plan
from simtent.scenario.scenario import Scenario
from simtent.tell import frame, look
from simtent.tell.strips import outside
from simtent.tell.words import degree_number, degree_unit, degrees, whole, wood_mass
from simtent.tell.wrapping import wrapped
from simtent.units import System, number, unit_name

LEFT, WIDTH = 0.1, 0.73
MARKED = "wake-ups (filled: every wish kept; large: the plan)"
NIGHT, LOADS, TRADE = (0.545, 0.255), (0.415, 0.085), (0.15, 0.17)  # bottoms and heights of the axes
CLOSE = 0.14  # of the night, closer than which two clock times would touch
RIM = [withStroke(linewidth=2.5, foreground="white")]


def to_bytes(scenario: Scenario, plan: Plan, system: System, form: str = "png") -> bytes:
    """Draw the plan; the picture as a file that says whose it is."""
    return frame.as_file(scenario, lambda: draw(scenario, plan, system), form)


def draw(scenario: Scenario, plan: Plan, system: System) -> Figure:
    """The picture: cautions, temperatures, loads, the trade-off, what kind of thing this is."""
    figure = frame.blank()
    night = figure.add_axes((LEFT, NIGHT[0], WIDTH, NIGHT[1]))
    loads = figure.add_axes((LEFT, LOADS[0], WIDTH, LOADS[1]), sharex=night)
    _temperatures(night, scenario, plan, plan.dataset, system)
    _loads(loads, plan, system)
    _clock(night, loads, scenario, plan)
    _trade(figure.add_axes((LEFT + 0.04, TRADE[0], WIDTH, TRADE[1])), plan, system)
    evening = local(scenario.night, 0.0)
    what = f"stoking plan for {evening:%Y-%m-%d}, air in {degree_unit(system)}"
    frame.heading(figure, scenario, what)
    missed = "" if plan.reached else " It misses a wish."
    frame.footing(figure, scenario, missed)
    return figure


def _temperatures(axes: Axes, scenario: Scenario, plan: Plan, dataset: xr.Dataset, system: System) -> None:
    lines = {
        "head": (curve(dataset, "level_temperature", level="head"), look.ABOVE[0], 1.2),
        "cot": (curve(dataset, "level_temperature", level="cot"), look.COT, 2.2),
        "outside": (curve(dataset, "outdoor_temperature"), look.OUTDOORS, 1.2),
    }
    ends = {name: degree_number(float(given.values[-1]), system) for name, (given, _, _) in lines.items()}
    for name, (given, colour, weight) in lines.items():
        values = [degree_number(float(value), system) for value in given.values]
        axes.plot(given.seconds / 3600.0, values, color=colour, lw=weight)
        axes.annotate(
            name, (1.0, _apart(name, ends, axes)), xycoords=("axes fraction", "data"), xytext=(4, 0),
            textcoords="offset points", color=colour, size=look.SMALLEST_TEXT, va="center", annotation_clip=False,
        )  # fmt: skip
    axes.set_xlim(0.0, scenario.night.seconds / 3600.0)
    asked = degree_number(plan.limits.cot, system)
    bed, rise = plan.choices.bed / 3600.0, plan.choices.rise / 3600.0
    axes.plot([bed, rise], [asked, asked], color=look.COT, lw=0.9, ls=(0, (4, 2)))
    below = plan.promised.cot_lowest > plan.limits.cot  # the words stand where the cot's line is not
    axes.annotate(
        f"asked {degrees(plan.limits.cot, system)}", (0.5 * (bed + rise), asked), xytext=(0, -3 if below else 3),
        textcoords="offset points", color=look.COT, size=look.SMALLEST_TEXT, ha="center",
        va="top" if below else "bottom", path_effects=RIM, zorder=6,
    )  # fmt: skip


def _apart(name: str, ends: dict[str, float], axes: Axes) -> float:
    """Where a line's name stands: at its end, moved so that names lie apart."""
    order = sorted(ends, key=ends.__getitem__)
    low, high = axes.get_ylim()
    least = max(0.09 * (high - low), 6.0)
    places: list[float] = []
    for it in order:
        places.append(max(ends[it], places[-1] + least) if places else ends[it])
    return places[order.index(name)]


def _loads(axes: Axes, plan: Plan, system: System) -> None:
    """A bar for each load, as high as its mass; wake-ups in strong colour with their time."""
    lines = list(plan.lines())
    masses = [number(line.mass, "mass", system) for line in lines]
    before, higher = -inf, 0  # where the last time stood, and how many lines above its bar's
    for line, mass in zip(lines, masses, strict=True):
        colour = look.COALS if line.wake_up else look.WOOD
        axes.bar(line.at / 3600.0, mass, width=0.22, color=colour, lw=0.0)
        if line.wake_up or line.at == plan.choices.at_bed:
            higher = 1 - higher if line.at - before < CLOSE * plan.scenario.night.seconds else 0
            before = line.at
            axes.annotate(
                clock(plan.scenario.night, line.at), (line.at / 3600.0, max(masses)),
                xytext=(0, 2 + higher * look.LINE_HEIGHT * look.SMALLEST_TEXT),
                textcoords="offset points", color=colour, size=look.SMALLEST_TEXT, ha="center",
                path_effects=RIM, zorder=6,
            )  # fmt: skip
    axes.set_ylim(0.0, 1.9 * max(masses))
    axes.set_yticks([])
    outside(
        axes,
        f"loads, up to {wood_mass(max(line.mass for line in lines), system)}",
        (0.0, 1.0),
        (0, 2),
        color=look.WOOD,
    )
    if any(line.wake_up for line in lines):
        outside(axes, "get up", (1.0, 1.0), (0, 2), color=look.COALS, ha="right")


def _clock(top: Axes, below: Axes, scenario: Scenario, plan: Plan) -> None:
    night = scenario.night
    ticks = [moment for moment in full_hours(night) if local(night, moment).hour % 2 == 0]
    below.set_xticks([m / 3600.0 for m in ticks], [f"{local(night, m):%H}" for m in ticks])
    top.tick_params(labelbottom=False)
    outside(below, "hour", (1.0, 0.0), (4, -6), va="top")
    for name, moment in (("bed", plan.choices.bed), ("rise", plan.choices.rise)):
        for axes in (top, below):
            axes.axvline(moment / 3600.0, color=look.QUIET, lw=0.7, zorder=1)
        share = moment / night.seconds
        outside(top, f"{name} {clock(night, moment)}", (share, 1.0), (0, 2), ha="center")


def _trade(axes: Axes, plan: Plan, system: System) -> None:
    """The lowest temperature at the cot for each number of wake-ups, with its wood; filled where all is kept."""
    counts = [it.wake_ups for it in plan.options]
    colds = [degree_number(it.night.cot_lowest, system) for it in plan.options]
    axes.plot(counts, colds, color=look.COT, lw=1.0, zorder=2)
    for it, cold in zip(plan.options, colds, strict=True):
        chosen = it is plan.chosen
        fill = look.COT if it.keeps else "white"
        axes.plot(
            [it.wake_ups], [cold], marker="o", ms=9 if chosen else 6, mfc=fill, mec=look.COT, ls="", zorder=3
        )
        axes.annotate(
            f"{whole(cold)}\n{number(it.night.wood, 'mass', system):.1f}", (it.wake_ups, cold), xytext=(0, 8),
            textcoords="offset points", ha="center", color=look.INK, size=look.SMALLEST_TEXT,
            weight="bold" if chosen else "normal", linespacing=1.2, path_effects=RIM, zorder=6,
        )  # fmt: skip
    asked = degree_number(plan.limits.cot, system)
    axes.axhline(asked, color=look.COT, lw=0.9, ls=(0, (4, 2)), zorder=1)
    room = max(max(*colds, asked) - min(*colds, asked), 3.0)
    axes.set_ylim(min(*colds, asked) - 0.2 * room, max(*colds, asked) + 0.75 * room)
    axes.set_xlim(min(counts) - 0.5, max(counts) + 0.5)
    axes.set_xticks(counts)
    axes.set_yticks([])
    units = f"{degree_unit(system)}, and wood, {unit_name('mass', system)}"
    outside(axes, f"coldest at the cot, {units}", (0.0, 1.0), (0, 2), color=look.COT)
    room = 72.0 * frame.width() * (1.0 - 2.0 * look.EDGE - LEFT)
    outside(axes, "\n".join(wrapped(MARKED, look.SMALLEST_TEXT, room)), (0.0, 0.0), (0, -24), va="top")

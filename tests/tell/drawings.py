"""Every public picture drawn from made-up answers: loads, names, weather, clock and units by chance. No real camp."""

from pathlib import Path
from random import Random
from types import SimpleNamespace

import numpy as np
import xarray as xr
from matplotlib.figure import Figure
from matplotlib.text import Text

from simtent import pictures
from simtent.comparing.asked import NAMES
from tests import fake_fire, fake_night
from tests.fake_fire import Load
from tests.sizing.camps import answer, likened
from tests.tell import heights_nights

LONG = "A very long name of a camp that nobody has ever been at, by a brook"
LEVELS = (
    ["head", "waist", "cot", "floor"],
    ["head", "drying line", "cot", "wood"],
    ["ridge", "head", "cot", "mat"],
)


def settings(by: Random) -> list[str]:
    """What differs from case to case in a scenario: its name, units, when people are in bed, wishes."""
    return [
        by.choice(['name="Camp"', f'name="{LONG}"', "units=si"]),
        by.choice(["wish.bed=21:30", "wish.bed=22:00", "wish.bed=18:15"]),
        by.choice(["wish.rise=06:30", "wish.rise=04:45", "wish.rise=07:30"]),
        by.choice(
            ['wish.cot_at_least="40 degF"', 'wish.cot_at_least="-5 degF"', 'wish.cot_at_least="61 degF"']
        ),
        by.choice(
            ['wish.head_at_most="95 degF"', 'wish.head_at_most="138 degF"', 'wish.head_at_most="70 degF"']
        ),
    ]


def colder(by: Random, dataset: xr.Dataset) -> xr.Dataset:
    """The same night in very cold or mild air, as if everything moved with it."""
    shift = by.choice([-45.0, -12.0, 0.0, 14.0])
    moved = [it for it in dataset.data_vars if dataset[it].attrs.get("units") == "degC"]
    return dataset.assign({name: dataset[name] + shift for name in moved})


def loads(by: Random) -> tuple[Load, ...]:
    """From one to ten loads."""
    count = by.choice([1, 2, 4, 10])
    return tuple(Load(780.0 * k / count, by.uniform(0.6, 3.4), by.uniform(45.0, 170.0)) for k in range(count))


def night(by: Random, folder: Path, units: str) -> Figure:
    scenario = fake_night.scenario(folder, *settings(by))
    return pictures.night(scenario, colder(by, fake_night.night(5.0)), units=units)


def fire(by: Random, folder: Path, units: str) -> Figure:
    scenario = fake_fire.scenario(folder, *settings(by))
    return pictures.night(scenario, colder(by, fake_fire.night(5.0, loads(by))), units=units)


def yard(by: Random, folder: Path, units: str) -> Figure:
    scenario = fake_fire.yard(folder, by.choice(['name="Yard"', f'name="{LONG}"']))
    return pictures.night(scenario, fake_fire.burn(), units=units)


def air(by: Random, folder: Path, units: str) -> Figure:
    scenario = fake_fire.scenario(folder, *settings(by))
    at = by.choice(["18:00", "23:10", "03:00", "07:00"])
    return pictures.air(scenario, colder(by, fake_fire.night(5.0, loads(by))), at, units=units)


def heights(by: Random, folder: Path, units: str) -> Figure:
    scenario = heights_nights.scenario(folder, *settings(by))
    at = by.choice([[], ["18:30"], ["20:00", "03:00"], ["18:00", "18:40", "06:15"]])
    return pictures.heights(scenario, colder(by, heights_nights.night()), at, units=units)


def vent(by: Random, folder: Path, units: str) -> Figure:
    scenario, given = heights_nights.scenario(folder, *settings(by)), heights_nights.night()
    shares = by.choice([(0.0, 1.0), (0.0, 0.25, 0.5, 1.0), (0.0, 0.02, 0.05, 0.1, 0.5, 1.0)])
    nights = {}
    for share in shares:
        other = given.copy(deep=True)
        other["operative_temperature"] = given["operative_temperature"] - 6.0 * share
        other["frost"] = given["frost"] * by.uniform(0.1, 3.0)
        nights[share] = (scenario, other)
    return pictures.vent(nights, by.choice(["vent", "ridge vent", "a vent of my own"]), units=units)


def stove(by: Random, folder: Path, units: str) -> Figure:
    scenario = fake_fire.scenario(folder, *settings(by))
    words = ("holds", "too small", "too large")
    found = [likened(by.uniform(5.0, 60.0), by.choice(words)) for _ in range(by.choice([1, 3, 9, 21]))]
    return pictures.stove(scenario, answer(found, winds=by.choice([(0.0,), (0.0, 2.0, 5.0)])), units=units)


def plan(by: Random, folder: Path, units: str) -> Figure:
    scenario = fake_fire.scenario(folder, *settings(by))
    dataset = colder(by, fake_fire.night(5.0))
    bed, rise = (scenario.night.seconds_at(it) for it in (scenario.wish.bed, scenario.wish.rise))
    wakes = by.choice([0, 1, 3, 6])
    at = [0.0, 0.5 * bed, bed - 600.0, *(bed + (rise - bed) * (k + 0.6) / (wakes + 1) for k in range(wakes))]
    lines = [SimpleNamespace(at=it, mass=by.uniform(1.0, 5.0), wake_up=bed < it < rise) for it in at]
    cot = float(dataset["level_temperature"].sel(level="cot").min())
    options = [
        SimpleNamespace(
            wake_ups=k,
            keeps=k > 1,
            night=SimpleNamespace(cot_lowest=cot + by.uniform(-1.0, 2.0) * k, wood=20.0 + k),
        )
        for k in range(wakes + 1)
    ]
    made = SimpleNamespace(
        scenario=scenario, dataset=dataset, options=options, chosen=options[-1], reached=by.random() < 0.5,
        limits=SimpleNamespace(cot=cot + by.uniform(-4.0, 4.0)), promised=SimpleNamespace(cot_lowest=cot),
        choices=SimpleNamespace(bed=bed, rise=rise, at_bed=bed - 600.0), lines=lambda: lines,
    )  # fmt: skip
    return pictures.plan(scenario, made, units=units)


def compare(by: Random, folder: Path, units: str) -> Figure:
    scenario = fake_fire.scenario(folder, *settings(by))
    given = colder(by, fake_fire.night(5.0))["level_temperature"]
    names = by.sample(
        ["mat", "liner", LONG, "smaller vents", "calm", "dry wood of larch", "fan"], by.choice([1, 2, 5])
    )
    amounts = [0.0, *(by.choice([-14.0, -0.3, 0.0, 0.8, 22.0]) for _ in names)]
    level = xr.concat([given + it for it in amounts], "variant").transpose("variant", "level", "time")
    seconds = (given["time"].values - given["time"].values[0]) / np.timedelta64(1, "s")
    shape = (len(amounts), len(NAMES))
    found = xr.Dataset(
        {
            "level_temperature": (level.dims, level.values),
            "difference": (("variant", "number"), np.broadcast_to(np.array(amounts)[:, None], shape)),
            "apart": (("variant", "number"), np.broadcast_to(np.array(amounts)[:, None] != 0.0, shape)),
            "same": ("variant", [True, *(it == 0.0 for it in amounts[1:])]),
            "findings_added": ("variant", ["", *(by.choice(["", "caution: a caution"]) for _ in names)]),
        },
        {"variant": ["base", *names], "level": given["level"].values, "time": seconds, "number": list(NAMES)},
    )
    return pictures.compare(scenario, found, units=units)


DRAWN = (night, fire, yard, air, heights, vent, stove, plan, compare)


def shown(picture: Figure) -> list[Text]:
    """Every text that is drawn, without ticks' beyond the axes' view."""
    beyond = set()
    for axes in picture.axes:
        for axis, limits in ((axes.xaxis, axes.get_xlim()), (axes.yaxis, axes.get_ylim())):
            low, high = sorted(limits)
            for tick in (*axis.get_major_ticks(), *axis.get_minor_ticks()):
                if not low <= tick.get_loc() <= high:
                    beyond |= {tick.label1, tick.label2}
    texts = [
        it for it in picture.findobj(Text) if it.get_visible() and it.get_text().strip() and it not in beyond
    ]
    return [it for it in texts if Text.get_window_extent(it).width > 0]

"""Shelters whose heat can be reckoned by hand, and stoves that nobody had to simulate. None describes a real camp."""

from dataclasses import replace

from simtent.scenario.load import load
from simtent.sizing.answer import Answer, Asked
from simtent.sizing.classes import Size
from simtent.sizing.hold import Held
from simtent.sizing.judged import Built, Judged
from simtent.sizing.likened import Likened

ZERO = 273.15
BOX = """\
format = 1
name = "Foam box"
invented = true
units = "si"

[night]
evening = "2031-02-14"
zone = "-07:00"
begin = "18:00"
end = "07:00"

[wish]
cot_at_least = "10 degC"

[levels]
head = "1.7 m"
cot = "1 m"

[site]
ground = "forest floor"
ground_start = "10 degC"
shelter_from_wind = "in timber"

[outdoors]
steady = "-10 degC"
wind = "4 m/s"
cloud = "100 %"

[shelter]
shape = "wall tent"
length = "4 m"
width = "3 m"
wall = "1.8 m"
ridge = "2.2 m"

[shelter.skin]
all = ["100 mm extruded polystyrene"]

[shelter.floor]
mat = "100 mm closed-cell foam"
mat_area = "12 m2"

[shelter.contents]
mass = "1 kg"
area = "0.1 m2"
height = "20 cm"

[crew]
asleep = 0

[heat]
radiant_share = "40 %"
table = [{ at = "18:00", power = "1 kW" }]

[model]
leak_area = "1 cm2"
leak_below_skirt = "0 cm2"
mixing = 20.0
"""
"""A box of foam, its air mixed as hard as may be: heat goes by conduction, and hardly anything else."""


def scenario(folder, text=BOX, **settings):
    path = folder / "box.toml"
    path.write_text(text, encoding="utf-8")
    return load(path, settings=[f"{key}={value}" for key, value in settings.items()])


def size(litres, **more):
    values = {"sheet": "1.2 mm steel", "mass": 6.0, "pipe": 0.1, "opening": 2e-3, "long": 0.4, "thick": 0.09}
    return Size(litres / 1000.0, load=0.112 * litres, pieces=3, **values | more)


def held(coldest, *, head=25.0, mark="low", every=3.0, heat=4000.0, cool=0.0, hottest=300.0, lights=True):
    """A night, temperatures in degC."""
    return Held(every, mark, ZERO - 10.0, 2.0, coldest + ZERO, head + ZERO, heat, 2.5, cool, hottest, lights)


def likened(litres, word="holds", every=3.0, *, own=False, coldest=6.0, air=-12.0, why=""):
    used = held(coldest, every=every)
    best = replace(used, mark="open", put_on=9.9, coldest=used.coldest + 3.0, head=used.head + 30.0)
    judged = Judged(size(litres, own=own), every, word, used, best if word == "holds" else used, why)
    return Likened(judged, 100.0 * litres, None if air is None else air + ZERO, False)


def answer(
    found, *, design=3000.0, head=308.15, heater_head=298.15, counts=True, every=(3.0,), mild=(), winds=(2.0,)
):
    """An answer about a wish of 5 degC at -10 degC."""
    asked = Asked((ZERO - 10.0,), winds, winds[-1], every)
    airs = (ZERO - 25.0, ZERO - 10.0, ZERO + 4.0)
    needs = dict.fromkeys(winds, (2.0 * design, design, 0.0))
    at_low = {(ZERO - 10.0, wind): design for wind in winds}
    built = tuple(Built(it.judged.size, None) for it in found if it.judged.every == every[0])
    return Answer(
        asked, ZERO + 5.0, head, airs, needs, at_low, heater_head, counts, built, tuple(found), tuple(mild), 9
    )

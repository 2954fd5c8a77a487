"""A small valid scenario as text, to be spoilt line by line."""

import pytest

from simtent.errors import InputError
from simtent.scenario.load import load

TEXT = """\
format = 1
name = "Test camp"
invented = true

[night]
evening = "2031-02-14"
zone = "-07:00"
begin = "17:30"
end = "07:30"

[wish]
bed = "21:30"

[site]
ground = "packed snow"
ground_start = "-5 degC"

[outdoors]
steady = "-10 degC"

[shelter]
shape = "wall tent"
length = "4 m"
width = "3 m"
wall = "1.5 m"
ridge = "2.5 m"

[shelter.skin]
wall = ["10 oz/yd2 cotton canvas"]
roof = ["10 oz/yd2 cotton canvas", "2 in air gap", "polyester liner"]

[heat]
radiant_share = "40 %"
table = [
    { at = "17:30", power = "1.5 kW" },
    { at = "22:00", power = "800 W" },
]
"""
FIRE = (
    TEXT[: TEXT.index("[heat]")]
    + """\
[stove]
firebox = { length = "45 cm", width = "25 cm", height = "26 cm" }
sheet = "1.2 mm steel"
legs = "20 cm"

[stove.pipe]
diameter = "10 cm"
inside = "1.7 m"
outside = "60 cm"

[stove.air]
opening = "20 cm2"
marks = { shut = "4 %", 2 = "35 %", wide = "100 %" }

[stove.damper]
marks = { across = "20 %", open = "100 %" }

[wood]
species = "spruce"
moisture = "20 % wet"

[wood.pieces]
stick = { thick = "4 cm", long = "35 cm" }
split = { thick = "8 cm", long = "40 cm", mass = "1 kg" }

[stoking]
air = "wide"
damper = "open"

[[stoking.load]]
at = "17:30"
pieces = { stick = 6 }

[[stoking.load]]
at = "21:00"
pieces = { split = 2, stick = "500 g" }
air = [{ for = "10 min", mark = "wide" }, { mark = "2" }]

[[stoking.set]]
at = "22:00"
damper = "across"

[[stoking.rule]]
from = "23:00"
to = "05:45"
when = { level = "cot", below = "2 degC", coals = "light the next load" }
load = { split = 2 }
air = "2"
"""
)
OPEN = "format = 1\nname = 'Test yard'\nshelter = 'none'\n" + "".join(
    FIRE[FIRE.index(begin) : FIRE.index(end)] + "\n"
    for begin, end in [("[night]", "[wish]"), ("[outdoors]", "[shelter]"), ("[stove]", "[[stoking.rule]]")]
)
LINES = {
    line.split(" = ")[0].strip(): n
    for n, line in reversed(list(enumerate(TEXT.split("\n"), 1)))
    if " = " in line
}


def written(folder, text=TEXT, name="camp.toml"):
    """Path of a file with the text."""
    path = folder / name
    path.write_text(text, encoding="utf-8")
    return path


def spoilt(old, new, text=TEXT):
    """The text with one part replaced."""
    assert text.count(old) == 1, old
    return text.replace(old, new)


def faults(folder, text=TEXT, **options):
    """Every fault of the text as a scenario."""
    with pytest.raises(InputError) as caught:
        load(written(folder, text), **options)
    return caught.value.faults


def the_fault(folder, text=TEXT, **options):
    """The only fault of the text as a scenario; and it is complete."""
    found = faults(folder, text, **options)
    assert len(found) == 1, "\n".join(map(str, found))
    assert found[0].todo or found[0].allowed
    assert "  " not in str(found[0])
    return found[0]

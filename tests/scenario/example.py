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

"""Small camps for plans: invented, and quick to simulate."""

from pathlib import Path

from simtent.scenario.load import load
from simtent.scenario.scenario import Scenario

# An insulated shelter of three metres and a small stove of sheet steel, at -9 degC.
THREE_METRES = """\
format   = 1
name     = "Three metres"
invented = true

[night]
evening = "2031-02-01"
zone    = "+01:00"
begin   = "19:00"
end     = "07:15"

[wish]
bed  = "22:00"
rise = "07:00"
cot_at_least = "5 degC"

[site]
ground = "packed snow"
ground_start = "-5 degC"

[outdoors]
steady = "-9 degC"
wind   = "1 m/s"
cloud  = "50 %"
spread = "2 K"

[shelter]
shape  = "wall tent"
length = "3 m"
width  = "3 m"
wall   = "1.4 m"
ridge  = "2.1 m"
skirt  = "weighted"

[shelter.skin]
all = ["350 g/m2 polycotton canvas", "5 cm air gap", "polyester liner"]

[shelter.floor]
mat      = "20 mm closed-cell foam"
mat_area = "5 m2"

[shelter.openings]
low_vent   = { area = "60 cm2", at = "15 cm" }
ridge_vent = { area = "80 cm2", at = "1.9 m" }
jack       = { gap = "10 cm2" }

[stove]
like = "small sheet-steel box"

[stove.pipe]
inside  = "1.6 m"
outside = "80 cm"
arrestor = true

[stove.air]
least_when_asleep = "low"

[wood]
species  = "softwood"
moisture = "20 % wet"

[wood.pieces]
kindling = { thick = "2 cm", long = "25 cm" }
stick    = { thick = "4 cm", long = "30 cm" }
split    = { thick = "7 cm", long = "30 cm" }

[crew]
asleep = 2

[stoking]
air = "open"

[[stoking.load]]
at = "19:00"
pieces = { kindling = 8, stick = 2 }

[[stoking.load]]
at = "19:45"
pieces = { stick = 3 }
"""


def three_metres(folder: Path, **changes: object) -> Scenario:
    """The camp, with keys replaced: dots are written as two underscores."""
    path = folder / "three_metres.toml"
    path.write_text(THREE_METRES, encoding="utf-8")
    scenario = load(path)
    return (
        scenario.replace({key.replace("__", "."): it for key, it in changes.items()}) if changes else scenario
    )


def short_night(folder: Path, **changes: object) -> Scenario:
    """The same, with five hours from bed to rise, of few layers."""
    return three_metres(
        folder, **{"night__end": "03:15", "wish__rise": "03:00", "model__layers": 5, **changes}
    )

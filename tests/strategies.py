"""Generated scenarios, drawn from the declarations of the fields: `scenario_trees()` and `scenarios()` with a
known heat, `fire_trees()` and `fires()` with a fire.

Numbers come from each field's usual range, in SI or US units by chance. A field of a kind that no strategy
knows fails here, so that none is forgotten.
"""

from datetime import date
from pathlib import Path
from typing import get_args

from hypothesis import strategies as st

from simtent.scenario.fabric import PARTS
from simtent.scenario.fields import SECTIONS, Heading, declared_of, section_model
from simtent.scenario.materials import solids
from simtent.scenario.quantity import Count, Quantity
from simtent.scenario.scenario import Scenario, build
from simtent.scenario.shelter import SHAPES
from simtent.scenario.site import Height
from simtent.scenario.tree import Origin, plant_table
from simtent.units import to_si
from tests.airing import fans, open_parts, windows
from tests.burning import burning
from tests.drawn import clock, of_field, some, texts_of
from tests.standing import OF_THE_GROUND, OF_THE_SUN, sites

DAYS = (date(2031, 1, 10), date(2031, 2, 20))
NOWHERE = Path("generated.toml")
ZONES = ["UTC", "-07:00", "+05:45", "Europe/Berlin", "America/Denver"]
# Categories of Unicode: C are control and unassigned characters, Z separators; only the blank can be printed.
PRINTABLE = st.one_of(st.sampled_from('abc -é"\\'), st.characters(exclude_categories=("C", "Z")))
NAMES = (
    st.text(PRINTABLE, min_size=1, max_size=100).map(str.strip).filter(lambda name: name not in ("", "none"))
)
LEVEL_HEIGHT = next(item for item in get_args(Height) if isinstance(item, Quantity))


def built(tree) -> Scenario:
    """The scenario of a nested dict of TOML values."""
    return build(plant_table(tree, lambda _path: Origin("file", str(NOWHERE))), NOWHERE)


def scenarios(**options):
    """Strategy for built scenarios; options as for `scenario_trees`."""
    return scenario_trees(**options).map(built)


@st.composite
def scenario_trees(
    draw, hours=(2, 14), shapes=tuple(SHAPES), outdoors=("steady", "high and low"), openings=True, fan=True
):
    """Strategy for valid scenarios as nested dicts of TOML values.

    `hours`: shortest and longest night; `shapes`: shelters to draw from; `outdoors`: ways to give the air;
    `openings`, `fan`: whether vents, jack and door, or a fan, may come up.
    """
    night, minutes = draw(_nights(hours))
    shelter = draw(_shelters(shapes))
    shelter |= draw(_airing(night, minutes, _outline(shelter), openings=openings, fan=fan, stove=False))
    heat = draw(_heats(night, minutes, _peak(shelter)))
    return draw(_around(night, minutes, outdoors)) | draw(_inside(shelter)) | {"heat": heat}


def fires(**options):
    """Strategy for built scenarios with a fire; options as for `fire_trees`."""
    return fire_trees(**options).map(built)


@st.composite
def fire_trees(
    draw,
    hours=(2, 14),
    shapes=(*SHAPES, "none"),
    outdoors=("steady", "high and low"),
    rules=True,
    draft=True,
    openings=True,
    fan=True,
):
    """Strategy for valid scenarios with stove, wood and stoking as nested dicts of TOML values.

    `shapes`: shelters to draw from, "none" for the open; `rules`, `draft`: whether rules and a prescribed draught
    may come up; the rest as for `scenario_trees`.
    """
    night, minutes = draw(_nights(hours))
    tree = draw(_around(night, minutes, outdoors))
    if (shape := draw(st.sampled_from(shapes))) == "none":
        return tree | {"shelter": "none"} | draw(burning(night, minutes, draft=draft))
    shelter = draw(_shelters((shape,)))
    shelter |= draw(_airing(night, minutes, _outline(shelter), openings=openings, fan=fan, stove=True))
    tree |= draw(_inside(shelter))
    edge = to_si(shelter["height"] if shape == "box" else shelter.get("wall", "0 m"), "length")
    levels = [*tree["levels"]] if rules else []
    return tree | draw(burning(night, minutes, edge, levels, draft=draft))


def damp_nights(**options):
    """Strategy for built scenarios with a known heat that count damp; options as for `scenario_trees`."""
    return damp_trees(**options).map(built)


def damp_trees(**options):
    """Strategy for valid scenarios that count damp as nested dicts of TOML values; options as for `scenario_trees`."""
    return st.builds(_dampened, scenario_trees(**options), *_damps())


def damp_fires(**options):
    """Strategy for built scenarios with a fire in a shelter that count damp; options as for `fire_trees`."""
    trees = fire_trees(**{"shapes": tuple(SHAPES)} | options)
    return st.builds(_dampened, trees, *_damps()).map(built)


def _damps():
    """[damp] but for the height of wet gear, and that height as a share of the peak's; 0: it is not given."""
    return some(SECTIONS["damp"], skip=("gear_at",)), st.sampled_from([0.0, 0.2, 0.9])


def _dampened(tree, damp, share):
    height = {"gear_at": f"{share * _peak(tree['shelter']):.3f} m"} if share else {}
    return tree | {"damp": damp | height}


@st.composite
def _around(draw, night, minutes, outdoors):
    """What every scenario has."""
    return {
        "format": 1,
        "name": draw(NAMES),
        **draw(some(Heading, skip=("format", "name", "log", "trip", "variants"))),
        "night": night,
        "wish": draw(_wishes(night, minutes)),
        "site": draw(some(SECTIONS["site"], skip=(*OF_THE_GROUND, *OF_THE_SUN))),
        "outdoors": draw(_outdoors(outdoors)),
        "carry": draw(some(SECTIONS["carry"])),
        "crew": draw(_crews()),
        "model": draw(some(SECTIONS["model"])),
        "what_if": draw(some(SECTIONS["what_if"])),
        "instruments": draw(some(SECTIONS["instruments"])),
    }


@st.composite
def _crews(draw):
    """Sleepers, with or without what is printed on their bag."""
    crew = draw(some(SECTIONS["crew"], skip=("bag",)))
    if draw(st.booleans()):
        comfort = draw(st.integers(-20, 12))
        limit = comfort - draw(st.integers(1, 10))
        crew["bag"] = {"comfort": f"{comfort} degC", "limit": f"{1.8 * limit + 32.0:.1f} degF"}
    return crew


@st.composite
def _inside(draw, shelter):
    """What only a shelter has."""
    return {"levels": draw(_levels(_peak(shelter))), "site": draw(sites()), "shelter": shelter}


@st.composite
def _nights(draw, hours):
    begin, minutes = draw(st.integers(0, 1439)), draw(st.integers(60 * hours[0], 60 * hours[1]))
    night = {
        # No zone drawn changes its clocks in these weeks.
        "evening": draw(st.dates(min_value=DAYS[0], max_value=DAYS[1])).isoformat(),
        "zone": draw(st.sampled_from(ZONES)),
        "begin": f"{begin // 60:02d}:{begin % 60:02d}",
    }
    night["end"] = clock(night, minutes)
    known = ("evening", "zone", "begin", "end")
    return night | draw(some(SECTIONS["night"], skip=known)), minutes


@st.composite
def _wishes(draw, night, minutes):
    wish = draw(some(SECTIONS["wish"], skip=("bed", "rise")))
    bed = draw(st.integers(0, minutes - 1))
    if draw(st.booleans()):
        wish["bed"] = clock(night, bed)
    if draw(st.booleans()):
        wish["rise"] = clock(night, draw(st.integers(bed + 1, minutes)))
    return wish


@st.composite
def _levels(draw, peak):
    def height(low, high):
        return texts_of(LEVEL_HEIGHT, low, high)

    levels = {
        "head": draw(height(0.6 * peak, 0.95 * peak)),
        "cot": draw(height(0.15 * peak, 0.4 * peak)),
        "floor": draw(height(0.03 * peak, 0.12 * peak)),
        "waist": draw(height(0.41 * peak, 0.59 * peak)),
    }
    if draw(st.booleans()):
        levels["upper bunk"] = draw(height(0.3 * peak, 0.9 * peak))
    return levels


@st.composite
def _outdoors(draw, ways):
    model = SECTIONS["outdoors"]
    air = declared_of(model.model_fields["steady"])
    tree = draw(some(model, skip=("steady", "high", "low", "file")))
    if draw(st.sampled_from(ways)) == "steady":
        return tree | {"steady": draw(texts_of(air))}
    low = draw(texts_of(air, 235.0, 275.0))
    high = draw(texts_of(air, to_si(low, "temperature") + 0.5, to_si(low, "temperature") + 20.0))
    at = draw(st.integers(0, 1439))
    later = (at + draw(st.integers(60, 1380))) % 1440
    low_at, high_at = (f"{minute // 60:02d}:{minute % 60:02d}" for minute in (at, later))
    return tree | {"high": {"at": high_at, "air": high}, "low": {"at": low_at, "air": low}}


@st.composite
def skins(draw):
    """Strategy for a skin of one to three layers."""
    fabrics = st.sampled_from([name for name, solid in solids().items() if solid.thickness])
    sheets = st.integers(2, 30).map(lambda mm: f"{mm} mm polyester quilt")
    weights = st.integers(50, 500).map(lambda grams: f"{grams} g/m2 ")
    fabric = st.builds(lambda weight, name: weight + name, st.one_of(st.just(""), weights), fabrics)
    gap = st.integers(5, 100).map(lambda mm: f"{mm} mm air gap")
    skin = [draw(fabric)]
    if draw(st.booleans()):
        if draw(st.booleans()):
            skin.append(draw(st.one_of(gap, sheets)))
        skin.append(draw(st.one_of(fabric, sheets)))
    return skin


@st.composite
def _floors(draw, area):
    floor = {}
    if draw(st.booleans()):
        floor["cover"] = draw(st.sampled_from(["vinyl groundsheet", "polyethylene groundsheet", "none"]))
    if draw(st.booleans()):
        floor["board"] = draw(st.sampled_from(["3/4 in plywood", "20 mm softwood boards"]))
        if draw(st.integers(0, 2)) == 0:
            floor["raised"] = draw(st.sampled_from(["40 cm", "1 ft 6 in"]))
    if draw(st.booleans()):
        floor["mat"] = f"{draw(st.integers(3, 50))} mm closed-cell foam"
        if draw(st.booleans()):
            floor["mat_area"] = f"{draw(st.integers(5, min(35, int(10.0 * area)))) / 10} m2"
    return floor


@st.composite
def _skins_of(draw, outline):
    """Layers of every part there is, or of all alike."""
    if draw(st.integers(0, 3)) == 0:
        return {"all": draw(skins())}
    return {part: draw(skins()) for part in PARTS if outline.has(part)}


@st.composite
def _shelters(draw, shapes):
    shape = draw(st.sampled_from(shapes))
    model = section_model("shelter", shape)
    tree = {"shape": shape}
    for name, info in model.model_fields.items():
        declared = declared_of(info)
        if name == top_key(shape):
            least = to_si(tree.get("wall", "0 m"), "length") + 0.3
            tree[name] = draw(texts_of(declared, max(least, 1.4), least + 2.0))
        elif isinstance(declared, Quantity | Count) and (info.is_required() or draw(st.booleans())):
            tree[name] = draw(of_field(info))
    if tree.get("sides", 4) != 4:
        tree.pop("length", None)
    outline = _outline(tree)
    tree["skin"] = draw(_skins_of(outline))
    if draw(st.booleans()):
        tree["skirt"] = draw(st.sampled_from(["snow", "weighted", "loose", "sewn"]))
    if draw(st.integers(0, 3)) == 0:
        tree["window"] = draw(windows(outline, skins()))
    tree["floor"] = draw(_floors(outline.floor_area))
    if draw(st.booleans()):
        tree["contents"] = draw(some(model.model_fields["contents"].annotation))
    return tree


@st.composite
def _airing(draw, night, minutes, outline, *, openings, fan, stove):
    """What is open in the skin, and a fan; as keys of the shelter."""
    tree = {}
    if openings and draw(st.booleans()):
        tree["openings"] = draw(open_parts(night, minutes, outline, stove))
    if fan and draw(st.integers(0, 3)) == 0:
        tree["fan"] = draw(fans(outline.peak))
    return tree


def top_key(shape):
    """The key of a shelter's highest point."""
    return {"box": "height", "wall tent": "ridge"}.get(shape, "peak")


def _peak(shelter):
    return to_si(shelter[top_key(shelter["shape"])], "length")


def _outline(shelter):
    sizes = {key: value for key, value in shelter.items() if isinstance(value, str | int)}
    return section_model("shelter", shelter["shape"]).model_validate(sizes | {"skin": {}}).outline


@st.composite
def _heats(draw, night, minutes, peak):
    model = SECTIONS["heat"]
    own = ("from_height", "to_height", "table", "file")
    tree = draw(some(model, skip=own))
    from_height, to_height = (declared_of(model.model_fields[name]) for name in ("from_height", "to_height"))
    tree["from_height"] = draw(texts_of(from_height, 0.1, 0.3 * peak))
    tree["to_height"] = draw(texts_of(to_height, 0.35 * peak, 0.8 * peak))
    power = declared_of(model.model_fields["table"].annotation.__args__[0].__args__[0].model_fields["power"])
    moments = sorted(draw(st.sets(st.integers(0, minutes), min_size=1, max_size=6)))
    tree["table"] = [{"at": clock(night, minute), "power": draw(texts_of(power))} for minute in moments]
    return tree

"""[shelter] in every shape: sizes, skin, skirt, openings of one's own; and what is refused."""

import math

import pytest

from simtent.scenario.load import load
from tests.scenario.example import TEXT, faults, spoilt, the_fault, written

SIZES = 'shape = "wall tent"\nlength = "4 m"\nwidth = "3 m"\nwall = "1.5 m"\nridge = "2.5 m"\n'
SKIN = TEXT[TEXT.index("[shelter.skin]") : TEXT.index("[heat]")]
ALL = '[shelter.skin]\nall = ["polyester liner"]\n\n'
HEXAGON = 6.0 * 1.5**2 * math.tan(math.pi / 6.0)  # m2, round a circle of 3 m


def shelter(sizes, skin=ALL):
    """The example with another shelter."""
    return spoilt(SKIN, skin, spoilt(SIZES, sizes))


# Peak, eaves, floor area, its rim, by schoolbook formulas.
SHAPES = {
    'shape = "wall tent"\nlength = "4 m"\nwidth = "3 m"\nridge = "2 m"': (2.0, 0.0, 12.0, 14.0),
    'shape = "bell"\ndiameter = "4 m"\npeak = "2.6 m"': (2.6, 0.0, 4.0 * math.pi, 4.0 * math.pi),
    'shape = "pyramid"\nwidth = "3 m"\npeak = "2 m"': (2.0, 0.0, 9.0, 12.0),
    'shape = "pyramid"\nwidth = "3 m"\nlength = "4 m"\nwall = "50 cm"\npeak = "2 m"': (2.0, 0.5, 12.0, 14.0),
    'shape = "pyramid"\nsides = 6\nwidth = "3 m"\npeak = "2 m"': (2.0, 0.0, HEXAGON, HEXAGON / 0.75),
    'shape = "hub"\nsides = 6\nwidth = "3 m"\nwall = "1.6 m"\npeak = "2.2 m"\npushed_out = "20 cm"': (
        2.2, 1.6, HEXAGON, HEXAGON / 0.75,
    ),
    'shape = "dome"\ndiameter = "4 m"\npeak = "2 m"': (2.0, 0.0, 4.0 * math.pi, 4.0 * math.pi),
    'shape = "tunnel"\nlength = "4 m"\nwidth = "3 m"\npeak = "2 m"': (2.0, 0.0, 12.0, 14.0),
}  # fmt: skip
DOME, HUB = (next(sizes for sizes in SHAPES if f'"{shape}"' in sizes) for shape in ("dome", "hub"))
PYRAMID = next(sizes for sizes in SHAPES if "50 cm" in sizes)


@pytest.mark.parametrize(("sizes", "expected"), SHAPES.items())
def test_floor_and_heights(tmp_path, sizes, expected):
    scenario = load(written(tmp_path, shelter(f"{sizes}\n")))
    noun = scenario.shelter
    assert (noun.peak, noun.eaves, noun.floor_area, noun.perimeter) == pytest.approx(expected)
    assert noun.profile[0] == (0.0, 1.0) and noun.profile[-1][0] == noun.peak
    heights = [height for height, _ in noun.profile]
    assert heights == sorted(set(heights))
    assert load(written(tmp_path, scenario.effective)) == scenario


@pytest.mark.parametrize(
    ("sizes", "key", "words"),
    [
        ('shape = "pyramid"\nsides = 5\nwidth = "3 m"\nlength = "3 m"\npeak = "2 m"', "shelter.length", ["5 sides"]),
        ('shape = "pyramid"\nsides = 2\nwidth = "3 m"\npeak = "2 m"', "shelter.sides", ["3 to 24"]),
        ('shape = "pyramid"\nwidth = "3 m"\nwall = "2 m"\npeak = "2 m"', "shelter.peak", ["not above the wall"]),
        (HUB.replace('"2.2 m"', '"1.5 m"'), "shelter.peak", ["not above the wall"]),
        (HUB.replace("sides = 6", 'sides = "6"'), "shelter.sides", ["whole number"]),
        (HUB.replace('"20 cm"', '"2 m"'), "shelter.pushed_out", ["0 m to 1 m"]),
        (f'{DOME}\nwall = "1 m"', "shelter.wall", ['A "dome" has no wall']),
        (f'{DOME}\nskirt = "tight"', "shelter.skirt", ['"snow" or "weighted" or "loose" or "sewn"']),
    ],
)  # fmt: skip
def test_sizes_that_make_no_shelter(tmp_path, sizes, key, words):
    fault = the_fault(tmp_path, shelter(f"{sizes}\n"))
    assert fault.key == key
    assert all(word in str(fault) for word in words)


WALL, ROOF = 'wall = ["cotton canvas"]\n', 'roof = ["polyester liner"]\n'


@pytest.mark.parametrize(
    ("sizes", "layers", "walls", "roof"),
    [
        (DOME, ROOF, None, "polyester liner"),
        (PYRAMID, WALL + ROOF, "cotton canvas", "polyester liner"),
        (PYRAMID.replace('wall = "50 cm"', 'wall = "0 m"'), ROOF, None, "polyester liner"),
        (SIZES, 'all = ["cotton canvas"]\n', "cotton canvas", "cotton canvas"),
        (DOME, 'all = ["cotton canvas"]\n', None, "cotton canvas"),
    ],
)
def test_skin_of_the_parts_that_are_there(tmp_path, sizes, layers, walls, roof):
    noun = load(written(tmp_path, shelter(f"{sizes}\n", f"[shelter.skin]\n{layers}\n"))).shelter
    found = {part: noun.skin.of(part)[0].name for part in ("wall", "roof") if noun.outline.has(part)}
    assert found == {part: name for part, name in (("wall", walls), ("roof", roof)) if name}


@pytest.mark.parametrize(
    ("sizes", "layers", "keys", "words"),
    [
        (DOME, WALL + ROOF, ["shelter.skin.wall"], "no wall"),
        (DOME, "", ["shelter.skin.roof"], "required key is missing"),
        (PYRAMID, ROOF, ["shelter.skin.wall"], "required key is missing"),
        (PYRAMID, WALL + 'all = ["cotton canvas"]\n', ["shelter.skin.wall"], "besides"),
        (PYRAMID, WALL + ROOF + 'all = ["wool"]\n', ["shelter.skin.all[1]"], 'no material is called "wool"'),
    ],
)
def test_layers_that_fit_no_part(tmp_path, sizes, layers, keys, words):
    found = faults(tmp_path, shelter(f"{sizes}\n", f"[shelter.skin]\n{layers}\n"))
    assert [fault.key for fault in found] == keys
    assert all(words in str(fault) for fault in found)


@pytest.mark.parametrize(
    ("skirt", "per_metre"), [("snow", 0.0), ("sewn", 0.0), ("weighted", 1e-4), ("loose", 5e-4)]
)
def test_a_skirt_leaks_by_the_metre_unless_the_leak_is_given(tmp_path, skirt, per_metre):
    scenario = load(written(tmp_path, shelter(f'{SIZES}skirt = "{skirt}"\n')))
    assert scenario.leak_below_skirt == pytest.approx(14.0 * per_metre)
    assert scenario.replace("model.leak_below_skirt", "30 cm2").leak_below_skirt == pytest.approx(30e-4)
    assert scenario.replace("model.leak_below_skirt", "0 cm2").leak_below_skirt == 0.0
    assert load(written(tmp_path, scenario.effective)).leak_below_skirt == scenario.leak_below_skirt


WINDOW = '[[shelter.window]]\narea = "1 m2"\nfrom = "20 cm"\nto = "1 m"\nlayers = ["clear vinyl film"]\n\n'


def test_a_window(tmp_path):
    scenario = load(written(tmp_path, shelter(SIZES, SKIN + WINDOW)))
    (window,) = scenario.shelter.window
    assert (window.part, window.area, window.from_, window.to) == ("wall", 1.0, pytest.approx(0.2), 1.0)
    assert window.layers[0].name == "clear vinyl film"
    assert load(written(tmp_path, scenario.effective)) == scenario


# The walls are 1.5 m high and 14 m around, with gables 3 m wide over them: 14 m2 between 0.5 and 1.5 m.
@pytest.mark.parametrize(
    ("windows", "key", "words"),
    [
        (WINDOW.replace("1 m2", "12 m2"), "shelter.window[1].area", ["up to 11.20 m2", "larger than the wall"]),
        (WINDOW.replace('"1 m"', '"15 cm"'), "shelter.window[1].to", ["not above its lower"]),
        (WINDOW.replace('"1 m"', '"2.6 m"'), "shelter.window[1].to", ["above the peak"]),
        (f'{WINDOW.strip()}\npart = "roof"\n', "shelter.window[1].part", ["no roof between 0.20 m and 1.00 m"]),
        (f'{WINDOW.strip()}\npart = "floor"\n', "shelter.window[1].part", ['"wall" or "roof"']),
        (WINDOW.replace("clear vinyl film", "glass"), "shelter.window[1].layers[1]", ["no material"]),
        # Each has room alone; from 20 cm to 1 m both together have not.
        (WINDOW.replace("1 m2", "6 m2") * 2, "shelter.window[2].area", ["12.00 m2 of the wall", "is 11.20 m2"]),
        (
            WINDOW.replace("1 m2", "8 m2") + WINDOW.replace("1 m2", "8 m2").replace('"20 cm"', '"60 cm"')
            .replace('"1 m"', '"1.5 m"'),
            "shelter.window[2].area",
            ["window 1", "between 0.60 m and 1.00 m", "there is 5.60 m2"],
        ),
    ],
)  # fmt: skip
def test_windows_for_which_there_is_no_room(tmp_path, windows, key, words):
    fault = the_fault(tmp_path, shelter(SIZES, f"{SKIN}{windows}"))
    assert fault.key == key
    assert all(word in str(fault) for word in words)


def test_windows_fill_a_wall_to_the_last_digit(tmp_path):
    whole = WINDOW.replace("1 m2", "11.2 m2") + WINDOW.replace("1 m2", "14 m2").replace(
        '"20 cm"\nto = "1 m"', '"1 m"\nto = "2 m"'
    ).replace("14 m2", "9 m2")
    # Above 1.5 m gables alone: 2 x (3 + 1.5)/2 x 0.5 m = 2.25 m2, with 7 m2 of wall below.
    assert len(load(written(tmp_path, shelter(SIZES, SKIN + whole))).shelter.window) == 2


OWN = '[shelter.openings.vents."door flap"]\narea = "50 cm2"\nat = "1 m"\n\n'


def test_vents_by_names_of_ones_own(tmp_path):
    vents = OWN + OWN.replace('"door flap"', "north").replace("1 m", "2 m")
    openings = load(written(tmp_path, shelter(SIZES, SKIN + vents))).shelter.openings
    assert list(openings.every_vent) == ["door flap", "north"]
    assert openings.vents["north"].at == 2.0


JACK = '[shelter.openings]\njack = { gap = "20 cm2", at = "1 m", through = "wall", faces = "wind" }\n\n'


@pytest.mark.parametrize(
    ("openings", "key", "words"),
    [
        (OWN.replace("1 m", "2.6 m"), "shelter.openings.vents.door flap.at", ["above the peak"]),
        (OWN.replace("door flap", "Jack"), "shelter.openings.vents.Jack", ["already"]),
        (OWN.replace("door flap", "a\\tb"), "shelter.openings.vents", ["cannot be printed"]),
        (JACK.replace('at = "1 m", ', ""), "shelter.openings.jack.at", ["height of the jack is missing"]),
        (JACK.replace('"wall"', '"floor"'), "shelter.openings.jack.through", ['"roof" or "wall"']),
        (JACK.replace('"wind"', '"north"'), "shelter.openings.jack.faces", ['"wind" or "lee"']),
    ],
)
def test_openings_that_cannot_be(tmp_path, openings, key, words):
    fault = the_fault(tmp_path, shelter(SIZES, SKIN + openings))
    assert fault.key == key
    assert all(word in str(fault) for word in words)


def test_a_jack_in_a_wall_needs_one(tmp_path):
    jack = load(written(tmp_path, shelter(SIZES, SKIN + JACK))).shelter.openings.jack
    assert (jack.through, jack.faces, jack.at) == ("wall", "wind", 1.0)
    fault = the_fault(tmp_path, shelter(f"{PYRAMID}\n", ALL + JACK))
    assert (fault.key, "no wall at the height" in str(fault)) == ("shelter.openings.jack.at", True)

"""Every number of a scenario acts, as much as it should, and on nothing else.

A change names what it moves and how; whatever it does not name must stay the same to 1e-9. The states compared
have one temperature in all of the air, one in all inner faces and so on, so that paths go with areas alone.
"""

import itertools
import math

import numpy as np
import pytest

from simtent.assembly.assemble import assemble
from simtent.assembly.rhs import observe, shelter_rhs
from simtent.scenario.fields import fields
from simtent.scenario.quantity import Count, Factor, Quantity
from tests.assembly import changes
from tests.assembly.changes import anyhow, becomes, down, plus, times, up
from tests.assembly.test_air_fields import AIR_KEYS
from tests.assembly.test_damp_fields import DAMP_KEYS
from tests.assembly.test_fire_fields import FIRE_KEYS
from tests.assembly.test_ground_fields import GROUND_KEYS
from tests.assembly.test_rules import RULE_KEYS
from tests.assembly.test_shelter_fields import SHELTER_KEYS
from tests.assembly.test_sun import SUN_KEYS
from tests.assembly.test_tending import TENDING_KEYS
from tests.simulate.cases import scenario

AIR, INNER, OUTER, GROUND, CONTENTS = 285.0, 278.0, 265.0, 270.0, 280.0  # K
HEAT_OF_FOAM = (
    0.02 * 33.0 * 1900.0
)  # J/(m2 K), 20 mm of 33 kg/m3 and 1900 J/(kg K), as the table of materials has it

NONE = dict.fromkeys(("shelter.length", "shelter.width", "shelter.height"), "none")
SKIN = ["coated nylon", "40 mm air gap", "150 g/m2 light polycotton canvas"]
BOX = {
    "night.inside_at_start": "5 degC",
    "site.ground": "settled snow",
    "outdoors.cloud": "20 %",
    "outdoors.wind": "2 m/s",
    "shelter.skin": {"wall": SKIN, "roof": SKIN},
    "shelter.contents": {"mass": "40 kg", "area": "5 m2", "height": "60 cm"},
    "crew.asleep": 2,
    "heat.table": [{"at": "18:00", "power": "2 kW"}],
}
TENT = BOX | {
    "shelter.shape": "wall tent",
    "shelter.wall": "1 m",
    "shelter.ridge": "2.2 m",
    "shelter.height": "none",
}
BELL = (
    BOX
    | NONE
    | {"shelter.shape": "bell", "shelter.diameter": "4 m", "shelter.wall": "1 m", "shelter.peak": "2.8 m"}
)
MAT = BOX | {"shelter.floor": {"mat": "20 mm closed-cell foam", "mat_area": "2 m2"}}
DAILY = BOX | {
    "outdoors.steady": "none",
    "outdoors.high": {"at": "15:00", "air": "-4 degC"},
    "outdoors.low": {"at": "06:00", "air": "-16 degC"},
}


def values(night):
    """What can be seen of an assembled night, by name."""
    model = assemble(night)
    groups = np.array(model.net.groups)
    state, n = model.start.copy(), groups.size
    nodes = {
        side: [
            node
            for name, node in model.house.surfaces.items()
            if name.startswith("outer") == (side == "outer")
        ]
        for side in ("inner", "outer")
    }
    floors = [node for name, node in model.house.surfaces.items() if name.startswith("floor")]
    for where, temperature in (
        (groups == "air", AIR),
        (groups == "skin", INNER),
        (nodes["outer"], OUTER),
        (groups == "ground", GROUND),
        (groups == "contents", CONTENTS),
    ):
        state[:n][where] = temperature
    rows = model.shelter.net.jumps.rows[0].copy()
    rates = shelter_rhs(0.0, state, model.shelter, rows)
    watts = rates[:n] * model.net.capacities
    paths = dict(zip(model.net.path_names, rates[n:], strict=True))
    outdoors, sky, wind, _, _, released = observe(0.0, state, model.shelter, rows)[0]
    seen = paths | {"outdoors": outdoors, "sky": sky, "wind": wind, "released": released}
    for group in ("air", "skin", "ground", "contents"):
        seen[f"{group} stores"] = float(np.array(model.net.capacities)[groups == group].sum())
        seen[f"{group} starts"] = float(model.start[:n][groups == group][-1])
    seen["floor starts"] = float(model.start[floors[0]])
    seen["through skin"] = watts[nodes["outer"]].sum() - paths["outside_convection"] - paths["sky_radiation"]
    seen["onto floor"] = watts[groups == "ground"].sum() + paths["floor_to_air"] - paths["ground_edge"]
    seen["layers"] = float((groups == "air").sum())
    return seen


def change(key, before, after, moves, base=BOX):
    return changes.change(key, before, after, moves, base)


def powers(watts):
    return [{"at": "18:00", "power": watts}]


def thinner(altitude):
    """Pressure over that at sea level, ICAO standard atmosphere."""
    return (1.0 - 2.25577e-5 * altitude) ** 5.2559


# Snow from 200 to 400 kg/m3 by Sturm et al. 1997, quadratic law: 0.138 - 1.01 r + 3.233 r^2.
SNOW = (0.138 - 1.01 * 0.4 + 3.233 * 0.16) / (0.138 - 1.01 * 0.2 + 3.233 * 0.04)
# What leaves takes its warmth along: the more of it, the lower the path.
MORE, LESS = down, up
WARMER = {
    "outdoors": plus(5.0),
    "sky": up,
    "leakage": LESS,
    "outside_convection": up,
    "sky_radiation": up,
    "ground_edge": up,
}
HOTTER = {
    "released": times(1.5),
    "source_convective": times(1.5),
    "source_radiant": times(1.5),
    "onto floor": up,
}
SKIN_BY_2 = dict.fromkeys(
    ("skin stores", "wall_to_air", "roof_to_air", "outside_convection", "sky_radiation", "through skin"),
    times(2.0),
)

# A seam leaks at the middle of its layer.
FINER = {"layers": times(3.0), "leakage": times(1.0, 2e-2)}

CHANGES = [
    change(
        "night.inside_at_start",
        "5 degC",
        "20 degC",
        {
            **dict.fromkeys(("air starts", "skin starts", "contents starts", "floor starts"), plus(15.0)),
            "air stores": times(278.15 / 293.15),
        },
        MAT,
    ),
    change(
        "site.altitude",
        "0 m",
        "3000 m",
        {
            **dict.fromkeys(
                ("wall_to_air", "roof_to_air", "floor_to_air"), times(thinner(3000.0) ** (2.0 / 3.0))
            ),
            "air stores": times(thinner(3000.0)),
            # Leaks: root of the density, and pressures of stack and wind, that go with it, to the power .65; rounded
            # over 0.01 Pa.
            "leakage": times(thinner(3000.0) ** 1.15, 1e-3),
        },
    ),
    change(
        "site.ground_start", "-10 degC", "-3 degC", {"ground starts": plus(7.0), "floor starts": plus(7.0)}
    ),
    # The column's depth goes with the square root of diffusivity, so its capacity with that of k x density.
    change(
        "site.snow_density",
        "200 kg/m3",
        "400 kg/m3",
        {"ground stores": times(math.sqrt(2.0 * SNOW)), "ground_edge": down},
    ),
    # As above: the root of conductivity in capacity and edge, see test_ground for the column itself.
    change("model.ground", 1.0, 4.0, {"ground stores": times(2.0), "ground_edge": down}),
    change("outdoors.steady", "-10 degC", "-5 degC", WARMER),
    change("outdoors.shift", "0 K", "5 K", WARMER),
    # At 18:00, a fifth of the way from the high at 15:00 to the low at 06:00, the passage has gone 10.4 %.
    change("outdoors.high.air", "-4 degC", "1 degC", WARMER | {"outdoors": plus(0.896 * 5.0)}, DAILY),
    change("outdoors.low.air", "-16 degC", "-11 degC", WARMER | {"outdoors": plus(0.104 * 5.0)}, DAILY),
    # ISO 6946: 4 + 4 v.
    change(
        "outdoors.wind",
        "2 m/s",
        "5 m/s",
        {
            "wind": plus(3.0),
            "outside_convection": times(24.0 / 12.0),
            "leakage": MORE,
        },
    ),
    change("outdoors.cloud", "20 %", "60 %", {"sky": up, "sky_radiation": up}),
    change("outdoors.cloud", "20 %", "100 %", {"sky": becomes(263.15), "sky_radiation": up}),
    change("outdoors.humidity", "60 %", "90 %", {"sky": up, "sky_radiation": up}),
    change(
        "shelter.floor.mat_area",
        "2 m2",
        "5 m2",
        {"ground stores": plus(3.0 * HEAT_OF_FOAM), "ground_edge": up, "onto floor": anyhow},
        MAT,
    ),
    change("shelter.contents.mass", "40 kg", "60 kg", {"contents stores": plus(20.0 * 1500.0)}),
    change("shelter.contents.area", "5 m2", "10 m2", {"contents_to_air": times(2.0)}),
    change(
        "heat.radiant_share",
        "40 %",
        "60 %",
        {"source_radiant": times(1.5), "source_convective": times(2.0 / 3.0), "onto floor": up},
    ),
    change("heat.table", powers("2 kW"), powers("3 kW"), HOTTER),
    change("model.heat", 1.0, 1.5, HOTTER),
    change("crew.asleep", 2, 3, {"people": times(1.5)}),
    change("crew.heat_each", "60 W", "90 W", {"people": times(1.5)}),
    change("model.walls", 1.0, 2.0, SKIN_BY_2 | {"onto floor": down}),  # the skin takes more of the radiation
    change("model.leak_area", "150 cm2", "450 cm2", {"leakage": times(3.0)}),
    change("model.layers", 8, 24, FINER),
    change("model.layers", 8, 24, FINER, TENT),
    change("model.layers", 8, 24, FINER, BELL),
]
# What a night is judged by, or how far it may be off, and where it is read: nothing of the model.
INERT = [
    change("wish.cot_at_least", "0 degC", "5 degC", {}),
    change("wish.head_at_most", "30 degC", "40 degC", {}),
    change("wish.cot_at_rise", "0 degC", "5 degC", {}),
    change("outdoors.spread", "1 K", "4 K", {}),
    change("levels.head", "1.6 m", "1.8 m", {}),
]
# Distances to what burns; `tests/scenario/test_place.py` tries them.
BED_KEYS = {"crew.bag.comfort", "crew.bag.limit", "crew.pad"}  # held against a night, and in no law of one
PLACE_KEYS = {f"stove.place.from_{what}" for what in ("wall", "roof", "bed", "wood")}


@pytest.mark.parametrize("case", CHANGES + INERT)
def test_a_field_moves_what_it_should_and_nothing_else(case):
    before, after = (values(scenario().replace(case.base | new)) for new in (case.before, case.after))
    for name, value in before.items():
        moved = case.moves.get(name, times(1.0))
        assert moved(value, after[name]), f"{name}: {value} to {after[name]}"


def box_sizes(length, width, height):
    wall, roof = 2.0 * (length + width) * height, length * width
    return {"air": roof * height, "wall": wall, "roof": roof, "floor": roof, "rim": 2.0 * (length + width)}


def tent_sizes(length, width, wall, ridge):
    rise = ridge - wall
    return {
        "air": length * width * (wall + rise / 2.0),
        "wall": 2.0 * length * wall + width * (2.0 * wall + rise),
        "roof": 2.0 * length * math.sqrt((width / 2.0) ** 2 + rise**2),
        "floor": length * width,
        "rim": 2.0 * (length + width),
    }


def bell_sizes(diameter, wall, peak):
    radius, rise = diameter / 2.0, peak - wall
    return {
        "air": math.pi * radius**2 * (wall + rise / 3.0),
        "wall": math.pi * diameter * wall,
        "roof": math.pi * radius * math.sqrt(radius**2 + rise**2),
        "floor": math.pi * radius**2,
        "rim": math.pi * diameter,
    }


SIZES = {
    "box": (BOX, box_sizes, {"length": 3.0, "width": 2.5, "height": 2.0}),
    "wall tent": (TENT, tent_sizes, {"length": 3.0, "width": 2.5, "wall": 1.0, "ridge": 2.2}),
    "bell": (BELL, bell_sizes, {"diameter": 4.0, "wall": 1.0, "peak": 2.8}),
}


@pytest.mark.parametrize(
    ("shape", "key"), [(shape, key) for shape, (_, _, sizes) in SIZES.items() for key in sizes]
)
def test_a_size_moves_areas_and_volumes_by_schoolbook_formulas(shape, key):
    base, formulas, sizes = SIZES[shape]
    bigger = sizes | {key: 1.2 * sizes[key]}
    before, after = (
        values(
            scenario().replace(base | {f"shelter.{name}": f"{value!r} m" for name, value in given.items()})
        )
        for given in (sizes, bigger)
    )
    one, other = formulas(**sizes), formulas(**bigger)

    def ratio(*parts):
        return sum(other[part] for part in parts) / sum(one[part] for part in parts)

    moves = {
        "air stores": ratio("air"),
        "skin stores": ratio("wall", "roof"),
        "ground stores": ratio("floor"),
        "wall_to_air": ratio("wall"),
        "floor_to_air": ratio("floor"),
        "outside_convection": ratio("wall", "roof"),
        "ground_edge": ratio("rim"),
        "contents_to_air": 1.0,
        "people": 1.0,
    }
    if shape == "box" or key == "length":  # else the roof leans otherwise, and its film changes
        moves |= {"roof_to_air": ratio("roof")}
    for name, factor in moves.items():
        assert after[name] == pytest.approx(factor * before[name], rel=1e-9), name


def by_layer(night):
    """Heat into each layer of air, all of it at one temperature [W], and the layers' edges [m]."""
    model = assemble(night)
    state, n = model.start.copy(), model.house.bands.centres.size
    state[: len(model.net.capacities)] = 275.0
    state[:n] = AIR
    rates = shelter_rhs(0.0, state, model.shelter, model.shelter.net.jumps.rows[0].copy())
    return rates[:n] * model.net.capacities[:n], model.house.bands.edges


@pytest.mark.parametrize("top", [1.1, 1.192])  # the layers' edge below the second lies a little below it
def test_contents_take_heat_from_the_air_up_to_their_height(top):
    """5 m2 behind 0.13 m2 K/W."""
    (one, edges), (other, _) = (
        by_layer(scenario().replace(BOX | {"shelter.contents.height": f"{height} m"}))
        for height in (0.4, top)
    )

    def taken(height):
        inside = [max(min(b, height) - a, 0.0) for a, b in itertools.pairwise(edges)]
        return 5.0 / 0.13 * (AIR - 275.0) * np.array(inside) / height

    assert other - one == pytest.approx(taken(0.4) - taken(top), abs=1e-8)


def test_without_a_start_inside_everything_but_the_ground_starts_as_outdoors():
    night = scenario().replace(MAT | {"night.inside_at_start": "none", "site.ground_start": "-3 degC"})
    seen = values(night)
    for name in ("air starts", "skin starts", "contents starts", "floor starts"):  # on the floor lies a mat
        assert seen[name] == pytest.approx(263.15)
    assert seen["ground starts"] == pytest.approx(270.15)


@pytest.mark.parametrize(
    "ground", ["fresh snow", "settled snow", "packed snow", "ice", "clay or silt", "rock"]
)
def test_a_ground_acts_by_its_row_of_the_table(ground):
    before, after = (
        values(scenario().replace(BOX | {"site.ground": name})) for name in ("forest floor", ground)
    )
    one, other = (scenario(site__ground=name).site.earth for name in ("forest floor", ground))

    def inertia(earth):
        return math.sqrt(earth.conductivity * earth.density * earth.specific_heat)

    assert after["ground stores"] == pytest.approx(before["ground stores"] * inertia(other) / inertia(one))
    assert (after["onto floor"] > before["onto floor"]) == (other.emissivity > one.emissivity)


def test_no_number_is_forgotten():
    tried = {case.values[0].key for case in CHANGES + INERT}
    tried |= {f"shelter.{key}" for _, _, sizes in SIZES.values() for key in sizes}
    tried |= {"shelter.contents.height"} | AIR_KEYS | DAMP_KEYS
    tried |= {"heat.table[].power"} if "heat.table" in tried else set()
    tried |= (
        SHELTER_KEYS | FIRE_KEYS | TENDING_KEYS | RULE_KEYS | GROUND_KEYS | SUN_KEYS | PLACE_KEYS | BED_KEYS
    )
    # Logs, what a fit found, trips and what a plan is asked for are no part of a model: tests/logbook, tests/supply,
    # tests/planning, tests/scenario/test_fitted.py.
    tried |= {"wish.coals", "wish.wake_ups_at_most", "wood.at_hand"}
    apart = ("log", "fitted", "trip", "carry")
    numbers = {
        field.key
        for field in fields()
        if isinstance(field.declared, Quantity | Factor | Count) and field.path[0] not in apart
    }
    assert numbers <= tried

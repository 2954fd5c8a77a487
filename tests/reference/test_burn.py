"""How a single piece burns: its time in the open and in a hot box, its water, its air, and what of its gas burns.

A piece's rate is a free-burning time, two humps over what is burnt, a factor of the firebox's temperature, and what its
water and the air allow. Against the law of wood burning from its surface, which falls off steadily, the humps keep
twice as much wood for the second half, as the cone calorimeter's runs do. Water slows a piece much less than the
hot-box law says: at u .30 by 9 instead of 50 % in a firebox held at one temperature, and by some 17 % in a whole
stove, whose firebox the water cools; where the air is the limit, by nothing. Porosity and height of a pile, and pieces
that shield each other, are in no law here. Burn-out times told by practice are no proof.
"""

from functools import lru_cache

import numpy as np
import pytest
from scipy.integrate import quad

from simtent.assembly.combustion import drying_rate, rest_gone
from simtent.network.solve import solve
from simtent.physics.burn import (
    air_limited,
    burnt_share,
    catching,
    dried,
    drying_coefficient,
    flame_feedback,
    free_burn_time,
    hot_box_heat,
    ramp,
    rest_rate,
)
from simtent.physics.coals import coal_rate
from simtent.physics.wood import gas_heat
from tests.fire.burns import burn as load_of
from tests.fire.burns import solved

from .claims import (
    CLOSED_FORM,
    PRACTICE,
    SECOND_HAND,
    at_least,
    at_most,
    between,
    case,
    claims,
    off,
    percent,
)
from .hot_box import film, ignition_delay, loss_per_flux
from .one_piece import DRY_HEAT, two_humps
from .one_piece import burn as burn_one
from .sources import ALBINI, BABRAUSKAS, EMISSIONS, MATHEMATICS, PLANK, PRACTICE_OF_THE_TRADE

SUBJECT = "How a piece of wood burns"
SMALL, THUMB, SPLIT = 0.025, 0.050, 0.075  # m
PIECES = {SMALL: "25 mm", THUMB: "50 mm", SPLIT: "75 mm"}
HELD = {873.0: "600 degC", 1073.0: "800 degC"}

burn = lru_cache(burn_one)


@claims(
    "Time in which a piece burns out in the open, D / (2 x 2.2e-6 D^-0.6)",
    BABRAUSKAS,
    SECOND_HAND,
    unit="min",
    allowed=off(0.1),
    laws=[free_burn_time],
    cases=[
        case(f"{1000 * thickness:g} mm", minutes, thickness)
        for thickness, minutes in ((SMALL, 10.4), (THUMB, 31.4), (SPLIT, 60.0), (0.100, 95.1))
    ],
)
def test_free_burn_time(thickness):
    return free_burn_time(thickness) / 60.0


def burnt_time(begin, end):
    """Share of the free burn-out time that a piece takes from one burnt share to another."""
    return quad(lambda x: 1.0 / two_humps(x), begin, end, points=[0.05, 0.8], limit=300, epsrel=1e-10)[0]


@claims(
    "Time from nothing burnt to 99 %, over the burn-out time: the integral of one over the rate",
    MATHEMATICS,
    CLOSED_FORM,
    allowed=percent(1e-3),
    laws=[rest_rate],
    cases=[case("both humps", 1.0)],
)
def test_burns_out_in_its_time():
    return burnt_time(0.0, 0.99)


@lru_cache
def at_half_time():
    """Share burnt at half of the burn-out time, by Newton's method."""
    share = 0.5
    for _ in range(20):
        share -= (burnt_time(0.0, share) - 0.5) * two_humps(share)
    return share


LATER = "the second hump keeps more for later, as the measured runs do"


@claims(
    "Humps beside a piece that burns from its surface, m = m0 (1 - t/t_b)^2",
    BABRAUSKAS,
    SECOND_HAND,
    allowed=percent(12.0),
    laws=[rest_rate],
    cases=[
        case(
            "highest rate of the first half over the mean",
            2.0,
            lambda: max(two_humps(x / 1000.0) for x in range(500)),
        ),
        case("left at half time", 0.25, lambda: 1.0 - at_half_time(), missed=LATER),
        case(
            "rate at half time over the highest",
            0.5,
            lambda: two_humps(at_half_time()) / max(two_humps(x / 1000.0) for x in range(500)),
            missed="a trough lies between the humps",
        ),
    ],
)
def test_against_the_surface_law(what):
    return what()


def loss(temperature, thickness):
    """Diameter lost [mm/min] at the start in a hot box: dry density 500 kg/m3, u .20, gas at 1 m/s."""
    flux = hot_box_heat(temperature, film(temperature, thickness))
    return flux * loss_per_flux(500.0, 0.2) * 1000.0 * 60.0


@claims(
    "Diameter lost per minute at the start in a hot box of 600 degC, 500 kg/m3, u .20, gas at 1 m/s",
    ALBINI,
    SECOND_HAND,
    unit="mm/min",
    allowed=percent(1.0),
    laws=[hot_box_heat],
    cases=[
        case(PIECES[thickness], rate, thickness)
        for thickness, rate in ((SMALL, 1.26), (THUMB, 1.16), (SPLIT, 1.12))
    ],
)
def test_loss_in_the_hot_box(thickness):
    return loss(873.0, thickness)


HOT_BOX = {873.0: (19.9, 43.0, 67.0), 1073.0: (7.4, 15.8, 24.5)}


@claims(
    "Diameter over its loss at the start in a hot box, same wood and gas",
    ALBINI,
    SECOND_HAND,
    unit="min",
    allowed=percent(1.0),
    laws=[hot_box_heat],
    cases=[
        case(f"{PIECES[thickness]} at {HELD[kelvin]}", minutes, kelvin, thickness)
        for kelvin, row in HOT_BOX.items()
        for thickness, minutes in zip(PIECES, row, strict=True)
    ],
)
def test_hot_box(temperature, thickness):
    return 1000.0 * thickness / loss(temperature, thickness)


@claims(
    "Rate in a firebox of 800 degC over that in one of 600 degC",
    ALBINI,
    SECOND_HAND,
    allowed=percent(15.0),
    laws=[flame_feedback],
    cases=[case("no floor under it; our bound takes 12 % off", 2.7)],
)
def test_feedback():
    return flame_feedback(1073.0, 0.0) / flame_feedback(873.0, 0.0)


COOLS = "water takes its heat from the firebox, which is held here"


def time_over(moisture, other):
    """Time until a twentieth of a 50 mm piece is left in a firebox of 600 degC, over that at another moisture."""
    return burn(THUMB, moisture).until(0.05) / burn(THUMB, other).until(0.05)


@claims(
    "Time of a moist 50 mm piece in a firebox held at 600 degC over that of a drier one, 1 + 1.67 u",
    ALBINI,
    SECOND_HAND,
    allowed=percent(10.0),
    laws=[rest_gone, drying_rate],
    cases=[
        case("u .10 over dry", 1.167, 0.1, 0.0, missed=COOLS),
        case("u .20 over dry", 1.334, 0.2, 0.0, missed=COOLS),
        case("u .30 over dry", 1.501, 0.3, 0.0, missed=COOLS),
        case("u .30 over u .10", 1.286, 0.3, 0.1, missed=COOLS),
    ],
)
def test_moisture_slows_a_piece(moisture, other):
    return time_over(moisture, other)


@lru_cache
def load_time(moisture):
    """Hours until a twentieth of a load is left in a stove of sheet steel, air wide open; moisture on the dry basis."""
    night = solved(load_of("wide", {"wood.moisture": f"{100.0 * moisture:g} % dry"}))
    slots = night.model.shelter.stove.slots
    dry = night.solution.states[:, slots.first_dry : slots.first_dry + slots.dry.size].sum(axis=1)
    return float(np.interp(-0.05 * slots.dry.sum(), -dry, night.solution.times)) / 3600.0


@claims(
    "Time of a moist load over that of a dry one, 1 + 1.67 u; 3 kg in a stove of sheet steel, air wide open",
    ALBINI,
    SECOND_HAND,
    allowed=percent(10.0),
    laws=[solve],
    marks=[pytest.mark.compiled],
    cases=[
        case("u .30 over .001", 1.501, missed="water slows a load, and cools its firebox, less than this")
    ],
)
def test_moisture_slows_a_load():
    return load_time(0.3) / load_time(0.001)


@claims(
    "Share of its rate to which a piece has caught when a log would ignite in a firebox of 800 degC",
    ALBINI,
    SECOND_HAND,
    allowed=at_most(0.5),
    laws=[catching],
    cases=[case(f"{1000 * thick:g} mm, u .22", None, thick) for thick in (0.010, SMALL, THUMB, 0.090)],
)
def test_catches_not_sooner_than_it_ignites(thickness):
    return catching(ignition_delay(1073.0, thickness, 0.22), thickness)


@claims(
    "Share of its rate to which a piece has caught at twice the time in which a log would ignite at 600 degC",
    ALBINI,
    SECOND_HAND,
    allowed=at_least(0.5),
    laws=[catching],
    cases=[case(f"{1000 * thick:g} mm, u .22", None, thick) for thick in (0.010, SMALL, THUMB, 0.090)],
)
def test_catches_soon_after_it_ignites(thickness):
    return catching(2.0 * ignition_delay(873.0, thickness, 0.22), thickness)


@claims(
    "Time in which a front of drying reaches the middle, per latent heat and kelvin: D / (4 h) + D^2 / (16 k), "
    "h 50 W/(m2 K), k 0.12 W/(m K)",
    PLANK,
    CLOSED_FORM,
    unit="m3 K/W",
    allowed=percent(0.01),
    laws=[drying_coefficient],
    cases=[
        case(
            f"{1000 * thick:g} mm",
            thick / (4.0 * 50.0) + thick**2 / (16.0 * 0.12),
            thick,
        )
        for thick in (0.01, THUMB, 0.1)
    ],
)
def test_drying_front(thickness):
    # The core's share of the volume falls from 1 to 0, over a face of 4 / D per volume.
    inverse = quad(lambda wet: 1.0 / drying_coefficient(thickness, wet), 0.0, 1.0, points=[1e-6, 1e-3])[0]
    return 0.25 * thickness * inverse


@claims(
    "Share of its rate at which wood burns where a front of drying runs ahead: what is dry of what is left",
    MATHEMATICS,
    CLOSED_FORM,
    allowed=off(3e-3),  # a thousandth of the wood rounds the ends off
    laws=[dried],
    cases=[
        case("no water left", 1.0, 0.0, 1.0),
        case("water .4, wood .8 of what they were", 0.5, 0.4, 0.8),
        case("water .3, wood .9", 2.0 / 3.0, 0.3, 0.9),
    ],
)
def test_dried(water, wood):
    return dried(water, wood)


@claims(
    "Passage from 0 to 1, level at both ends, by the cubic 3 x^2 - 2 x^3",
    MATHEMATICS,
    CLOSED_FORM,
    allowed=off(1e-12),
    laws=[ramp],
    cases=[case("x -1, 0, .25, .5, .75, 1, 2", [0.0, 0.0, 0.15625, 0.5, 0.84375, 1.0, 1.0])],
)
def test_ramp():
    return [ramp(x) for x in (-1.0, 0.0, 0.25, 0.5, 0.75, 1.0, 2.0)]


@claims(
    "Time of kindling that is starved of air, with half the air over all of it",
    MATHEMATICS,
    CLOSED_FORM,
    allowed=percent(15.0),
    laws=[air_limited],
    cases=[case("1 kg of 10 mm pieces, .5 and 1 g/s", 2.0)],
)
def test_half_the_air_takes_twice_as_long():
    scarce, more = (burn(0.01, 0.0, 800.0, air, hours=20.0).until(0.05) for air in (5e-4, 1e-3))
    return scarce / more


@claims(
    "Heat set free over the heat of the wood, once all is burnt",
    MATHEMATICS,
    CLOSED_FORM,
    allowed=percent(0.1),
    laws=[rest_gone, coal_rate, gas_heat],
    cases=[case("50 mm, u .10, gas and coals for nine hours", 1.0)],
)
def test_all_heat_is_set_free():
    found = burn(THUMB, 0.1, hours=9.0)
    return float(np.trapezoid(found.release, found.time)) / DRY_HEAT


@claims(
    "Share of the heat set free, coals (29.5 % of it) burnt in full",
    EMISSIONS,
    SECOND_HAND,
    allowed=off(5e-3),
    laws=[burnt_share],
    cases=[
        case("flaming, 1000 K and air ratio 3", 0.97, 1000.0, 3.0),
        case("smouldering, 400 K and air ratio 3", 0.67, 400.0, 3.0),
        case("smouldering, 1000 K and air ratio 1", 0.67, 1000.0, 1.0),
    ],
)
def test_share_burnt(kelvin, air_ratio):
    return 0.295 + 0.705 * burnt_share(kelvin, air_ratio)


@claims(
    "Time of a piece in a throttled stove, firebox at 425 degC, u .22: as told, give or take a factor 1.5",
    PRACTICE_OF_THE_TRADE,
    PRACTICE,
    unit="min",
    allowed=between(0.0, 1.0),
    laws=[rest_gone],
    cases=[
        case(f"{name}, {minutes:g} min", None, thickness, allowed=between(minutes / 1.5, minutes * 1.5))
        for name, thickness, minutes in (
            ("thumb-thick sticks of 25 mm", SMALL, 20.0),
            ("50 mm", THUMB, 52.0),
            ("splits of 75 mm", SPLIT, 75.0),
        )
    ],
)
def test_throttled_piece(thickness):
    return burn(thickness, 0.22, 700.0).until(0.05) / 60.0

"""Every number of the ground acts on the assembled night as the closed forms have it."""

import numpy as np
import pytest

from simtent.assembly.assemble import assemble
from simtent.assembly.rhs import shelter_rhs
from tests.simulate.cases import scenario

AREA = 3.0 * 2.5  # m2, the box of the nights for tests
FUSION = 333.4e3  # J/kg, IAPWS R10-06, from memory
SNOW = {"site.ground": "packed snow", "site.under_snow": "rock", "site.snow_depth": "20 cm"}
LAKE = {"site.ground": "lake ice", "site.ice_thickness": "40 cm", "site.ground_start": "-8 degC"}
BOARD = {"shelter.floor": {"board": "3/4 in plywood"}}


def of(changes):
    return assemble(scenario().replace(changes))


def at_begin(model):
    """Watts along each path at the begin."""
    rows = model.shelter.net.jumps.rows[0].copy()
    rates = shelter_rhs(0.0, model.start, model.shelter, rows)[len(model.net.capacities) :]
    return dict(zip(model.net.path_names, rates, strict=False))


@pytest.mark.parametrize("depth", [0.02, 0.11, 0.2])
def test_snow_depth_is_how_much_there_is_to_melt(depth):
    """370 kg/m3 over rock, which has nothing to melt."""
    net = of(SNOW | {"site.snow_depth": f"{depth} m"}).net
    kilograms = sum(net.capacities[node] * melt.latent / FUSION for node, melt in net.melts.items())
    assert kilograms == pytest.approx(370.0 * depth * AREA)


@pytest.mark.parametrize("thickness", [0.05, 0.4, 2.0])
def test_the_thicker_the_ice_the_less_comes_from_the_water(thickness):
    """2.2 W/(m K) and 8 K."""
    model = of(LAKE | {"site.ice_thickness": f"{thickness} m"})
    assert at_begin(model)["water_below"] == pytest.approx(2.2 * AREA * 8.0 / thickness)
    assert "ground_edge" in model.net.path_names


def test_known_temperatures_stand_at_their_depths():
    """The bottom of the column, deeper than the entry, starts as it; half way down half way between."""
    base = {"site.ground": "rock", "site.ground_start": "-10 degC"}

    def starts(depth, temperature):
        below = [{"depth": depth, "temperature": temperature}]
        model = of(base | {"site.ground_below": below})
        ground = np.array(model.net.groups) == "ground"
        return model.start[: ground.size][ground]

    one, warmer, deeper = starts("30 cm", "-2 degC"), starts("30 cm", "-1 degC"), starts("60 cm", "-2 degC")
    assert one[0] == warmer[0] == deeper[0] == pytest.approx(263.15)
    assert (one[-1], warmer[-1], deeper[-1]) == pytest.approx((271.15, 272.15, 271.15))
    assert (warmer - 263.15)[1:] == pytest.approx(9.0 / 8.0 * (one - 263.15)[1:])
    assert (one - 263.15)[1:4] == pytest.approx(2.0 * (deeper - 263.15)[1:4])


def test_a_raised_floor_has_the_air_below_whatever_its_height():
    low, high, flat = (
        of(BOARD | {"shelter.floor.raised": "20 cm"}),
        of(BOARD | {"shelter.floor.raised": "1 m"}),
        of(BOARD),
    )
    assert low.net.capacities == high.net.capacities
    assert at_begin(low) == at_begin(high)
    assert {"floor_outside"} == set(low.net.path_names) - set(flat.net.path_names)
    assert {"ground_edge"} == set(flat.net.path_names) - set(low.net.path_names)
    assert len(flat.net.capacities) - len(low.net.capacities) == 8


def test_under_a_raised_floor_the_ground_plays_no_part():
    raised = BOARD | {"shelter.floor.raised": "20 cm"}
    ours, other, none = (
        of(raised | more) for more in ({}, LAKE, dict.fromkeys(("site.ground", "site.ground_start"), "none"))
    )
    assert at_begin(ours) == at_begin(other) == at_begin(none)


GROUND_KEYS = {
    f"site.{key}"
    for key in ("snow_depth", "ice_thickness", "ground_below[].depth", "ground_below[].temperature")
}
GROUND_KEYS |= {"shelter.floor.raised"}

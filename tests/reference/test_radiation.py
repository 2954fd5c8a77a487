"""Long-wave exchange: the star against exact radiosity, and the flux law."""

from math import atan, log, pi, sqrt

import ht.radiation
import numpy as np
import pytest

from simtent.physics.constants import STEFAN_BOLTZMANN
from simtent.physics.radiation import black_exchange
from simtent.physics.star import carroll_weights


def parallel(a, b, c):
    """View factor between aligned equal rectangles a x b at the distance c (second-hand, checked below)."""
    x, y = a / c, b / c
    return (2.0 / (pi * x * y)) * (
        log(sqrt((1 + x * x) * (1 + y * y) / (1 + x * x + y * y)))
        + x * sqrt(1 + y * y) * atan(x / sqrt(1 + y * y))
        + y * sqrt(1 + x * x) * atan(y / sqrt(1 + x * x))
        - x * atan(x)
        - y * atan(y)
    )


def box_views(length, width, height):
    """View factors of a box: floor, ceiling, four walls of which the first two are the length long.

    Only opposite faces need a formula in a box of square floor: the rest follows by symmetry and closure.
    """
    assert length == width
    up, across = parallel(length, width, height), parallel(length, height, width)
    side = (1.0 - up) / 4.0
    down = side * length * width / (length * height)
    around = (1.0 - across - 2.0 * down) / 2.0
    views = np.zeros((6, 6))
    views[:2, :2] = [[0, up], [up, 0]]
    views[:2, 2:] = side
    views[2:, :2] = down
    views[2:, 2:] = around
    for i in range(2, 6):
        views[i, i] = 0.0
    for i, j in ((2, 3), (3, 2), (4, 5), (5, 4)):
        views[i, j] = across
    return views


def exact_fluxes(views, emissivity, kelvin):
    """Net flux that leaves each face of a grey enclosure: the radiosity method, closed form."""
    emitted = emissivity * STEFAN_BOLTZMANN * kelvin**4
    radiosity = np.linalg.solve(np.eye(len(kelvin)) - (1 - emissivity) * views, emitted)
    return radiosity - views @ radiosity


def star_fluxes(weights, areas, kelvin):
    middle = (weights @ kelvin**4 / weights.sum()) ** 0.25
    return np.array(
        [g * black_exchange(t, middle) / a for g, t, a in zip(weights, kelvin, areas, strict=True)]
    )


BOX_AREAS = np.array([9.0, 9.0, 6.0, 6.0, 6.0, 6.0])
BOX_KELVIN = np.array([273.15, 303.15, 283.15, 283.15, 283.15, 283.15])


def test_view_factors():
    # RA4, RA5, RA9: closed form, also by the pyviewfactor library; 1e-5.
    assert parallel(1, 1, 1) == pytest.approx(0.199825, abs=1e-5)
    assert parallel(2, 2, 1) == pytest.approx(0.415253, abs=1e-5)
    assert parallel(3, 3, 2) == pytest.approx(0.320057, abs=1e-5)


def test_box():
    # RA9. Box 3 x 3 x 2 m, emissivity 0.9, ceiling 30, floor 0, walls 10 degC. Closed form (radiosity):
    # ceiling +113.66, floor -74.27 W/m2 within 0.1 %; the star 112.76 and -72.13, within 3 % of the exact
    # figures.
    exact = exact_fluxes(box_views(3.0, 3.0, 2.0), 0.9, BOX_KELVIN)
    assert exact[1] == pytest.approx(113.66, rel=1e-3)
    assert exact[0] == pytest.approx(-74.27, rel=1e-3)
    star = star_fluxes(carroll_weights(BOX_AREAS, [0.9] * 6, BOX_AREAS), BOX_AREAS, BOX_KELVIN)
    assert star[1] == pytest.approx(112.76, rel=1e-4)
    assert star[0] == pytest.approx(-72.13, rel=1e-4)
    assert star[:2] == pytest.approx(exact[:2], rel=0.03)


def test_box_view_weights():
    # RA9: f 1.2957 for the floor, 1.1573 for a wall, 1e-4. With emissivity 1 the weight is area x f.
    weights = carroll_weights(BOX_AREAS, [1.0] * 6, BOX_AREAS)
    assert weights / BOX_AREAS == pytest.approx([1.2957] * 2 + [1.1573] * 4, abs=1e-4)


# RA10. Cube, one face 400 K, the others 300 K. Closed form, the star is exact: emissivity, flux [W/m2], 0.01
# %.
@pytest.mark.parametrize(("emissivity", "expected"), [(1.0, 992.32), (0.9, 875.57), (0.5, 451.05)])
def test_cube(emissivity, expected):
    kelvin = np.array([400.0, 300.0, 300.0, 300.0, 300.0, 300.0])
    weights = carroll_weights(np.ones(6), [emissivity] * 6, np.ones(6))
    assert star_fluxes(weights, np.ones(6), kelvin)[0] == pytest.approx(expected, rel=1e-4)
    assert exact_fluxes(box_views(1.0, 1.0, 1.0), emissivity, kelvin)[0] == pytest.approx(expected, rel=1e-4)


def test_strips_of_one_plane_act_as_the_whole_plane():
    # Closed form: cutting a flat wall of one temperature into strips changes nothing.
    whole = carroll_weights(BOX_AREAS, [0.9] * 6, BOX_AREAS)
    areas = [9.0, 9.0, 1.0, 2.0, 3.0, 6.0, 6.0, 6.0]
    cut = carroll_weights(areas, [0.9] * 8, [9.0, 9.0, 6.0, 6.0, 6.0, 6.0, 6.0, 6.0])
    assert cut[2:5].sum() == pytest.approx(whole[2], rel=1e-12)
    assert cut[[0, 1, 5, 6, 7]] == pytest.approx(whole[[0, 1, 3, 4, 5]], rel=1e-12)


def test_four_equal_walls_as_one_surface():
    whole = carroll_weights(BOX_AREAS, [0.9] * 6, BOX_AREAS)
    joined = carroll_weights([9.0, 9.0, 24.0], [0.9] * 3, [9.0, 9.0, 6.0])
    assert joined[2] == pytest.approx(whole[2:].sum(), rel=1e-12)


def test_inside_of_a_sphere():
    # Closed form: every part of a sphere sees every other by its area alone, so f = 1.
    areas, kelvin = np.array([1.0, 3.0]), np.array([350.0, 300.0])
    weights = carroll_weights(areas, [0.8, 0.8], [0.0, 0.0])
    views = np.array([[0.25, 0.75], [0.25, 0.75]])
    assert star_fluxes(weights, areas, kelvin) == pytest.approx(exact_fluxes(views, 0.8, kelvin), rel=1e-10)


@pytest.mark.parametrize(
    ("areas", "emissivities", "planes"),
    [
        ([5.0, 3.0, 2.0], [0.9] * 3, [5.0, 3.0, 2.0]),  # half the area in one plane
        ([6.0, 3.0, 2.0], [0.9] * 3, [6.0, 3.0, 2.0]),
        ([3.0, 3.0, 2.0, 2.0], [0.9] * 4, [6.0, 6.0, 2.0, 2.0]),  # two strips of one plane, more than half
        ([1.0, 1.0, 1.0], [0.9, 0.0, 0.9], [1.0, 1.0, 1.0]),
        ([1.0, 1.0, 1.0], [0.9, 1.1, 0.9], [1.0, 1.0, 1.0]),
        ([1.0, -1.0, 1.0], [0.9] * 3, [1.0, 1.0, 1.0]),
        ([1.0, 1.0, 1.0], [0.9] * 3, [1.0, -1.0, 1.0]),
        ([1.0, 1.0, 1.0], [0.9] * 2, [1.0, 1.0, 1.0]),
        ([], [], []),
    ],
)
def test_refused(areas, emissivities, planes):
    with pytest.raises(ValueError, match=r"."):
        carroll_weights(areas, emissivities, planes)


def test_a_large_plane_still_converges():
    # Closed form for one plane P among many small surfaces of area Q: f = 1 / (1 - P / Q).
    small = 500
    areas = [0.48, *[0.52 / small] * small]
    weights = carroll_weights(areas, [1.0] * (small + 1), [0.48, *[0.0] * small])
    assert weights[0] / 0.48 == pytest.approx(1.0 / (1.0 - 0.48 / 0.52), rel=1e-9)


def test_small_body_in_large_surroundings():
    # RA1. Library: ht 1.2.0, q_rad: 816.78 W/m2, 0.02 %.
    ours = 0.85 * black_exchange(400.0, 305.0)
    assert ours == pytest.approx(816.78, rel=2e-4)
    assert ours == pytest.approx(ht.radiation.q_rad(0.85, 400.0, 305.0), rel=1e-5)


def test_linear_coefficient():
    # RA11. Closed form, 4 e sigma T^3 at 0.9 and 283.15 K: 4.634 W/(m2 K), 1e-3.
    assert 0.9 * black_exchange(283.2, 283.1) / 0.1 == pytest.approx(4.634, rel=1e-3)


def test_a_stove_is_no_linear_radiator():
    # Closed form: 400 to 10 degC black 28.92 W/(m2 K), not the 24.80 of 4 sigma T_mean^3.
    assert black_exchange(673.15, 283.15) / 390.0 == pytest.approx(28.92, rel=1e-3)


def test_no_digits_lost_between_close_temperatures():
    assert black_exchange(280.0 + 1e-9, 280.0) == pytest.approx(
        4 * STEFAN_BOLTZMANN * 280.0**3 * 1e-9, rel=1e-4
    )
    assert black_exchange(280.0, 280.0) == 0.0

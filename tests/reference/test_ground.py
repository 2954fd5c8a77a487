"""Snow, slabs and the grid of the ground column."""

import itertools

import pytest

from simtent.physics.grid import column_thicknesses
from simtent.physics.ground import snow_conductivity

from .other_laws import slab_transmittance, snow_conductivity_exponential, snow_conductivity_power

# GR1. Snow, second-hand formulas (Sturm et al. 1997; the land surface scheme of a weather model), closed
# form; 0.5 %. density [kg/m3], quadratic, exponential, power [W/(m K)]
SNOW = [
    (100.0, 0.0464, 0.0410, 0.0353),
    (200.0, 0.0653, 0.0755, 0.130),
    (300.0, 0.126, 0.139, 0.279),
    (400.0, 0.251, 0.256, 0.478),
    (500.0, 0.441, 0.471, 0.728),
]


@pytest.mark.parametrize(("density", "quadratic", "exponential", "power"), SNOW)
def test_snow_table(density, quadratic, exponential, power):
    assert snow_conductivity(density) == pytest.approx(quadratic, rel=0.005)
    assert snow_conductivity_exponential(density) == pytest.approx(exponential, rel=0.005)
    assert snow_conductivity_power(density) == pytest.approx(power, rel=0.005)


def test_snow_has_no_step_to_speak_of_between_its_branches():
    assert snow_conductivity(156.0) == pytest.approx(snow_conductivity(156.0 - 1e-9), rel=0.007)


def test_snow_laws_spread_by_a_factor_of_two():
    # Read snow as plus or minus 50 %: the three laws at one density lie up to 2.2 apart.
    spread = []
    for density, *_ in SNOW:
        laws = (snow_conductivity, snow_conductivity_exponential, snow_conductivity_power)
        values = [law(density) for law in laws]
        spread.append(max(values) / min(values))
    assert min(spread) > 1.3 and max(spread) < 2.25


# GR2. Slab on ground, 4 x 4 m, no wall thickness. Second-hand: ISO 13370; closed form, 0.5 %.
# ground conductivity [W/(m K)]: U [W/(m2 K)] at floor resistance 0, 0.10, 0.35, 1.0 m2 K/W
SLAB = {
    1.5: (1.383, 1.189, 0.900, 0.554),
    2.0: (1.653, 1.396, 1.020, 0.600),
    3.5: (2.251, 1.820, 1.220, 0.680),
}
ROWS = [(k, r, u) for k, row in SLAB.items() for r, u in zip((0.0, 0.10, 0.35, 1.0), row, strict=True)]


@pytest.mark.parametrize(("conductivity", "resistance", "expected"), ROWS)
def test_slab_table(conductivity, resistance, expected):
    assert slab_transmittance(16.0, 16.0, 0.0, conductivity, resistance) == pytest.approx(expected, rel=0.005)


def test_slab_branches_meet():
    # At d_t = B' = 2 m: 2.0 W/(m K) with floor resistance 0.79 m2 K/W. Closed form, 0.05 %.
    below = slab_transmittance(16.0, 16.0, 0.0, 2.0, 0.79 - 1e-9)
    above = slab_transmittance(16.0, 16.0, 0.0, 2.0, 0.79 + 1e-9)
    assert above == pytest.approx(below, rel=5e-4)


def test_column_grid():
    # The rule itself: first cell 0.2 sqrt(a t), each next one larger by the ratio.
    cells = column_thicknesses(1e-6, 300.0, 8, 2.0)
    assert cells[0] == pytest.approx(0.2 * (1e-6 * 300.0) ** 0.5, rel=1e-12)
    assert [b / a for a, b in itertools.pairwise(cells)] == pytest.approx([2.0] * 7)


@pytest.mark.parametrize(
    "bad", [(0.0, 300.0, 8, 2.0), (1e-6, 0.0, 8, 2.0), (1e-6, 300.0, 0, 2.0), (1e-6, 300.0, 8, 0.0)]
)
def test_column_grid_refuses(bad):
    with pytest.raises(ValueError, match="above 0"):
        column_thicknesses(*bad)

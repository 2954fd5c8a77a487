"""Volumes and areas of shapes against formulas and an independent integration, band by band."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad

from simtent.assembly.shape import bell, box, cut, edges_growing_upward, wall_tent

size = st.floats(0.8, 8.0)
layers = st.integers(3, 48)


def ridge_profile(wall, ridge, width):
    """Half width of a wall tent at a height, straight from the drawing."""
    return lambda z: width / 2.0 if z <= wall else width / 2.0 * (ridge - z) / (ridge - wall)


def cone_profile(wall, peak, diameter):
    return lambda z: diameter / 2.0 if z <= wall else diameter / 2.0 * (peak - z) / (peak - wall)


def integral(function, low, high, kink):
    points = [kink] if low < kink < high else None
    return quad(function, low, high, points=points, epsabs=1e-12, epsrel=1e-10)[0]


@given(size, size, st.floats(0.2, 2.0), st.floats(0.3, 2.0), layers)
def test_wall_tent_bands_against_integration(length, width, wall, rise, count):
    ridge = wall + rise
    half = ridge_profile(wall, ridge, width)
    shape = wall_tent(length, width, wall, ridge)
    bands = cut(shape, edges_growing_upward(ridge, count))
    slope = math.hypot(width / 2.0, rise) / rise  # slant per height
    for k, (low, high) in enumerate(zip(bands.edges, bands.edges[1:], strict=False)):
        section = integral(lambda z: 2.0 * half(z) * length, low, high, wall)
        gables = integral(lambda z: 2.0 * 2.0 * half(z), low, high, wall)
        long_walls = 2.0 * length * max(min(high, wall) - low, 0.0)
        roof = 2.0 * length * slope * max(high - max(low, wall), 0.0)
        assert bands.volume[k] == pytest.approx(section, abs=1e-9)
        assert bands.faces[:, k] == pytest.approx([long_walls, gables, roof], abs=1e-9)


@given(size, st.floats(0.2, 2.0), st.floats(0.3, 3.0), layers)
def test_bell_bands_against_integration(diameter, wall, rise, count):
    peak = wall + rise
    radius = cone_profile(wall, peak, diameter)
    bands = cut(bell(diameter, wall, peak), edges_growing_upward(peak, count))
    slope = math.hypot(diameter / 2.0, rise) / rise
    for k, (low, high) in enumerate(zip(bands.edges, bands.edges[1:], strict=False)):
        assert bands.volume[k] == pytest.approx(
            integral(lambda z: math.pi * radius(z) ** 2, low, high, wall), abs=1e-9
        )
        wall_area = math.pi * diameter * max(min(high, wall) - low, 0.0)
        begin = min(max(low, wall), high)
        cone = integral(lambda z: 2.0 * math.pi * radius(z) * slope, begin, high, wall)
        assert bands.faces[:, k] == pytest.approx([wall_area, cone], abs=1e-9)


@given(size, size, size, layers)
def test_bands_of_a_box_add_up(length, width, height, count):
    bands = cut(box(length, width, height), edges_growing_upward(height, count))
    assert bands.volume.sum() == pytest.approx(length * width * height, rel=1e-12)
    assert bands.faces.sum(axis=1) == pytest.approx(
        [2.0 * length * height, 2.0 * width * height, length * width], rel=1e-12
    )
    assert bands.faces[2, :-1].tolist() == [0.0] * (count - 1)  # a flat roof belongs to the highest layer
    assert bands.section == pytest.approx([length * width] * (count - 1))


def test_whole_bodies_by_schoolbook_formulas():
    tent = wall_tent(4.0, 3.0, 1.5, 2.5)
    assert tent.volume_to(2.5) == pytest.approx(4.0 * 3.0 * 1.5 + 4.0 * 3.0 * 1.0 / 2.0)
    assert sum(face.area_to(2.5) for face in tent.faces if face.part == "wall") == pytest.approx(
        2.0 * 4.0 * 1.5 + 2.0 * 3.0 * 1.5 + 2.0 * 3.0 * 1.0 / 2.0
    )
    assert tent.faces[-1].area_to(2.5) == pytest.approx(2.0 * 4.0 * math.hypot(1.5, 1.0))
    round_tent = bell(5.0, 0.8, 3.0)
    assert round_tent.volume_to(3.0) == pytest.approx(math.pi * 6.25 * (0.8 + 2.2 / 3.0))
    assert round_tent.faces[1].area_to(3.0) == pytest.approx(math.pi * 2.5 * math.hypot(2.5, 2.2))
    assert round_tent.faces[1].tilt_up == pytest.approx(2.5 / math.hypot(2.5, 2.2))


@given(st.floats(0.5, 3.0))
def test_a_scaled_shape_scales_its_bands(scale):
    one = cut(wall_tent(4.0, 3.0, 1.5, 2.5), edges_growing_upward(2.5, 16))
    other = cut(
        wall_tent(4.0 * scale, 3.0 * scale, 1.5 * scale, 2.5 * scale), edges_growing_upward(2.5 * scale, 16)
    )
    assert other.volume == pytest.approx(one.volume * scale**3, rel=1e-9)
    assert other.faces == pytest.approx(one.faces * scale**2, rel=1e-9, abs=1e-12)


@given(st.floats(0.5, 5.0), layers)
def test_layers_grow_upward_and_end_at_the_peak(peak, count):
    edges = edges_growing_upward(peak, count)
    assert edges[0] == 0.0
    assert edges[-1] == pytest.approx(peak)
    assert (np.diff(edges, 2) > 0.0).all()
    assert np.diff(edges)[-1] / np.diff(edges)[0] == pytest.approx(1.1**15)

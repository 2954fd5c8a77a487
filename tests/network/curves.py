"""Curves to test with: one of sheet steel, and generated ones."""

from hypothesis import strategies as st

from simtent.network.curve import LOWEST, Curve

# EN 1993-1-2 3.4.1.2 (from memory): specific heat of steel over degC, 425 + .773 t - 1.69e-3 t2 + 2.22e-6 t3 to 600.
STEEL = Curve(273.15, (1.0, 0.773 / 425.0, -1.69e-3 / 425.0, 2.22e-6 / 425.0), 873.15)


@st.composite
def curves(draw) -> Curve:
    """A capacity that never falls: its slope over the range is a square plus a constant, and it grows tenfold at most.

    The square's foot lies anywhere, so that the capacity may rise early, late, or at both ends.
    """
    top = draw(st.floats(400.0, 1500.0))
    base = draw(st.floats(200.0, 400.0))
    span = top - LOWEST
    foot = draw(st.floats(-0.5, 1.5)) * span + LOWEST - base
    steep, even = draw(st.floats(0.0, 1.0)), draw(st.floats(0.0, 1.0))
    slope = [even / span + steep * foot**2 / span**3, -2.0 * steep * foot / span**3, steep / span**3]
    rise = [0.0, slope[0], slope[1] / 2.0, slope[2] / 3.0]
    low, high = (sum(c * (x - base) ** k for k, c in enumerate(rise)) for x in (LOWEST, top))
    growth = draw(st.floats(1.0, 9.99))
    factor = (growth - 1.0) / (high - low) if high - low > 1e-9 else 0.0
    level = 1.0 - factor * low  # so that it is 1 at the lowest point
    return Curve(base, (level, factor * rise[1], factor * rise[2], factor * rise[3]), top)

"""Gauges of sheet steel as thicknesses: no unit, since no number follows from another.

United States standard gauge (15 U.S.C. 206, of 1893) by weight, from memory; the thickness of steel by the
manufacturers' standard gauge, 41.82 lb for a square foot an inch thick (second-hand).
"""

import re

WORDS = ("ga", "gauge", "gage")
_OUNCES_FROM_7 = (
    120, 110, 100, 90, 80, 70, 60, 50, 45, 40, 36, 32, 28, 24, 22, 20, 18, 16, 14, 12, 11, 10, 9, 8,
)  # fmt: skip
OUNCES = dict(enumerate(_OUNCES_FROM_7, 7))
"""Gauge -> ounces of a square foot of sheet."""
PER_INCH = 41.82  # lb/ft2 of steel an inch thick
SOME = "of sheet steel 24 gauge is 0.6 mm, 20 gauge 0.9 mm, 16 gauge 1.5 mm"


def inches(gauge: int) -> float:
    """Thickness of sheet steel of a gauge [in]; KeyError for one that is not in the table."""
    return OUNCES[gauge] / 16.0 / PER_INCH


def thickness_text(text: str) -> str:
    """What to write in place of the gauge that a text names."""
    found = re.search(r"([0-9]+)[ -]*ga", text, re.IGNORECASE)
    gauge = int(found[1]) if found else 0
    if gauge not in OUNCES:
        return f"Write the thickness: {SOME}"
    thick = inches(gauge)
    return (
        f'Write the thickness, "{25.4 * thick:.2f} mm": that is {gauge} gauge sheet steel ({thick:.4f} in); '
        "galvanised and stainless sheet is a little thicker"
    )

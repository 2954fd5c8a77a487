"""What people call their shelters, and the shape of a file that goes with it; said plainly where none does."""

OF_SHAPES = "Names of shelters, and the shape to write under [shelter]:"
SHAPES = {
    "A-frame": 'shape = "wall tent" without a wall: two slopes from the ground to a ridge',
    "cabin": 'shape = "wall tent": upright walls under a ridge; "box" where the roof is flat',
    "cone": 'shape = "bell" without a wall',
    "geodesic": 'shape = "dome": half a round body over a round floor',
    "ice shanty": 'shape = "hub" for one that pops up, "box" for one with a flat roof',
    "lean-to": "no shape has an open side; what is here are closed rooms, or a stove in the open",
    "oval": 'no shape is oval; nearest is a "wall tent" of the same width, wall and ridge, so long that its floor '
    'has the same area: a floor with round ends is shorter by a fifth of its width. A nearly round one is a "bell"',
    "quonset": 'shape = "tunnel": an arch with upright ends',
    "ridge tent": 'shape = "wall tent", with a wall or without',
    "tipi": 'shape = "bell" without a wall; its smoke hole is the ridge_vent',
    "yurt": 'shape = "bell": a round upright wall under a cone',
}  # fmt: skip
"""Trade names -> how it is written; true of the outlines in `scenario/shapes.py`."""

"""How the picture looks: sizes, colours, type. Made for a phone's width of 390 points."""

from typing import Any

WIDTH, HEIGHT = 3.9, 7.4  # [in]; on a phone 100 points to the inch
WIDTH_IN_PAGE = 3.05  # [in]; in a page on a phone of 360 points the smallest text is 12 of them
LEFT, EDGE = 0.10, 0.035  # share of the width left of the axes, and kept clear all round
PIXELS_PER_INCH = 300
TEXT, SMALLEST_TEXT = 8.5, 8.0  # [pt]; the smallest is 11 points of a phone's 390
LINE_HEIGHT = 1.25  # of text, in its own size

# Every colour of a text has a contrast of at least 4.5 to what is behind it. Which colours stand beside each other, and
# what else tells them apart, stands in `meanings.py`; a test sees them as people do who lack one kind of cones.
INK, QUIET, RULE = "#1d2327", "#5b646b", "#d5dade"
COT, COT_BAND = "#12355b", "#b9cfe4"
ABOVE = ("#8f2a00", "#9a6b00")  # from the highest level down to the cot
BELOW = ("#0a7a9c", "#1a6b4f")
OUTDOORS = "#6a6a76"
AS_IT_IS = "#8b9297"  # a night that others are held against
HEAT, HEAT_FILL = "#a3400a", "#f0b48c"
WOOD, WOOD_FILL, COALS = "#8a6d20", "#e3d3a8", "#8a1010"
PIECES = ("#6b4e12", "#b38f3c", "#dcc07a", "#f6eed6")  # kinds of pieces, the thickest first and darkest
COLD_AIR, MILD_AIR, WARM_AIR = "#cddff0", "#f5f2ec", "#f8cfa8"  # layers, from the coldest to the warmest
ISOTHERMS = (
    "#d3e8f8",
    "#f4dfb6",
    "#d8753b",
)  # from the coldest to the warmest, ever darker; even steps between them
AIR_LINE, FELT_LINE, DEW_LINE = "#12355b", "#96360a", "#2f7d4a"
COMES_IN, GOES_OUT = "#1b5690", "#9a3c08"
STREAMS = {
    "plume": "#7a1f00",
    "falling current": "#12355b",
    "rising current": "#6f5600",
    "fan": "#7b3fb0",
    "room air": "#4a545b",
}
PIPE = "#7b3fb0"  # beside the stove
WARNING, WARNING_FILL = "#7a1010", "#fff3d6"

STYLE: Any = {
    "font.family": ["DejaVu Sans", "sans-serif"],  # comes with matplotlib: the same picture everywhere
    "font.sans-serif": ["DejaVu Sans"],
    "font.size": TEXT,
    "axes.spines.top": False,
    "axes.spines.right": False,
    "axes.spines.left": False,
    "axes.edgecolor": QUIET,
    "axes.grid": True,
    "axes.grid.axis": "y",
    "axes.axisbelow": True,
    "axes.unicode_minus": False,
    "grid.color": RULE,
    "grid.linewidth": 0.6,
    "text.color": INK,
    "text.parse_math": False,
    "xtick.color": QUIET,
    "ytick.color": QUIET,
    "xtick.labelcolor": INK,
    "ytick.labelcolor": INK,
    "xtick.labelsize": SMALLEST_TEXT,
    "ytick.labelsize": SMALLEST_TEXT,
    "ytick.major.size": 0.0,
}

"""What somebody sees who has typed the program's name alone: cautions, first steps, where to read on."""

from simtent.tell.cautions import headline

STEPS = (
    ("simtent new camp.toml --ask", "seven questions, a first file of your own"),
    ("simtent check camp.toml", "what is wrong or odd in it"),
    ("simtent night camp.toml --page", "the night hour by hour; a page to look at"),
    ("simtent heights camp.toml", "how warm, cold and damp from floor to peak"),
    ("simtent stoke camp.toml", "when to get up, and with how much wood"),
    ("simtent explain draught", "what a key or trade word means"),
    ("simtent --help", "every question there is"),
)
WIDTH = 33  # of the left column


def lines() -> list[str]:
    """Lines of at most 80 characters."""
    steps = [f"  {command:<{WIDTH}}{what}" for command, what in STEPS]
    return [
        *headline(),
        "",
        "How warm will a tent with a wood stove be tonight? A first ten minutes:",
        "",
        *steps,
    ]

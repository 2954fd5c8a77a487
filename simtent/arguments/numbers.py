"""Whole numbers after an option, each within its bounds."""

import argparse


def few_draws(text: str) -> int:
    """How many draws, 0 to 1000; fewer than 5 have no range."""
    if text.isdecimal() and (int(text) == 0 or 5 <= int(text) <= 1000):
        return int(text)
    raise argparse.ArgumentTypeError(f"{text!r} is no number of draws: give 5 to 1000, or 0 for none")


def seed(text: str) -> int:
    """A whole number, 0 or more."""
    if text.isdecimal() and len(text) <= 9:
        return int(text)
    raise argparse.ArgumentTypeError(f"{text!r} is no seed: give a whole number, 0 to 999999999")


def starts(text: str) -> int:
    """How many starts, 1 to 50."""
    if text.isdecimal() and 1 <= int(text) <= 50:
        return int(text)
    raise argparse.ArgumentTypeError(f"{text!r} is no number of starts: give 1 to 50")


def draws(text: str) -> int:
    """How many draws, 50 to 10000, or none."""
    if text.isdecimal() and (int(text) == 0 or 50 <= int(text) <= 10_000):
        return int(text)
    raise argparse.ArgumentTypeError(
        f"{text!r} is no number of draws: give 50 to 10000, or 0 for a bell curve"
    )


def workers(text: str) -> int:
    """How many processes, 1 to 1000."""
    if text.isdecimal() and 1 <= int(text) <= 1000:
        return int(text)
    raise argparse.ArgumentTypeError(f"{text!r} is no number of processes: give 1 to 1000")

"""A night of twelve hours and four loads, for timing: the story's stove with longer hours."""

from pathlib import Path

TWELVE = Path(__file__).parent / "twelve.toml"

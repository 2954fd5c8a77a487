"""The first line of an overlay that a verb wrote, by which it is known again."""

import json
from pathlib import Path
from typing import Literal

Verb = Literal["fit", "stoke"]
VERBS: tuple[Verb, ...] = ("fit", "stoke")


def mark(verb: Verb, name: str) -> str:
    """The first line of the overlay that a verb writes for the scenario of a name."""
    return f"{_begin(verb)}{json.dumps(name)}"


def scenario_of(path: Path) -> str | None:
    """Name of the scenario whose overlay stands in the file; None for any other file."""
    try:
        first = path.read_text(encoding="utf-8").partition("\n")[0]
        begin = next((it for verb in VERBS if first.startswith(it := _begin(verb))), None)
        name = json.loads(first.removeprefix(begin)) if begin else None
    except (OSError, ValueError):
        return None
    return name if isinstance(name, str) else None


def _begin(verb: Verb) -> str:
    return f"# simtent {verb} of "

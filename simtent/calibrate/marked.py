"""The first line of an overlay written by a fit, by which it is known again."""

import json
from pathlib import Path

MARK = "# simtent fit of "


def scenario_of(path: Path) -> str | None:
    """Name of the scenario whose overlay stands in the file; None for any other file."""
    try:
        first = path.read_text(encoding="utf-8").partition("\n")[0]
        name = json.loads(first.removeprefix(MARK)) if first.startswith(MARK) else None
    except (OSError, ValueError):
        return None
    return name if isinstance(name, str) else None

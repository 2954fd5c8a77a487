"""Write scenarios/FIELDS.md from the declarations; with --check, only compare."""

import sys
from difflib import unified_diff
from pathlib import Path

from simtent.tell.reference import reference

FILE = Path(__file__).parents[1] / "scenarios" / "FIELDS.md"
MOST_SHOWN = 40  # lines of a difference


def main(check: bool) -> int:
    """Fill or compare."""
    now = reference()
    if not check:
        FILE.write_text(now, encoding="utf-8")
        return 0
    kept = FILE.read_text(encoding="utf-8") if FILE.exists() else ""
    if kept == now:
        return 0
    lines = list(unified_diff(kept.splitlines(), now.splitlines(), "kept", "declared", lineterm="", n=0))
    print("\n".join(lines[:MOST_SHOWN]))
    print(f"{FILE.name} is not what the fields declare: run python .ci/fill_fields.py")
    return 1


if __name__ == "__main__":
    sys.exit(main("--check" in sys.argv))

"""Write scenarios/FIELDS.md, OUTPUTS.md and JSON.md from the declarations; with --check, only compare."""

import sys
from difflib import unified_diff
from pathlib import Path

from simtent.tell import answers_reference, outputs_reference, reference

SCENARIOS = Path(__file__).parents[1] / "scenarios"
PAGES = {
    "FIELDS.md": reference.reference,
    "OUTPUTS.md": outputs_reference.reference,
    "JSON.md": answers_reference.reference,
}
MOST_SHOWN = 40  # lines of a difference


def main(check: bool) -> int:
    """Fill or compare."""
    wrong = 0
    for name, made in PAGES.items():
        now, file = made(), SCENARIOS / name
        if not check:
            file.write_text(now, encoding="utf-8")
            continue
        kept = file.read_text(encoding="utf-8") if file.exists() else ""
        if kept == now:
            continue
        wrong = 1
        lines = list(unified_diff(kept.splitlines(), now.splitlines(), "kept", "declared", lineterm="", n=0))
        print("\n".join(lines[:MOST_SHOWN]))
        print(f"{name} is not what is declared: run python .ci/fill_fields.py")
    return wrong


if __name__ == "__main__":
    sys.exit(main("--check" in sys.argv))

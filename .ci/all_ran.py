"""Compare the tests there are with those that the steps of CI selected (`pytest --ran=FILE`): argument 1, that file.

A test that every step leaves out finds nothing: its marks, or the folders of the steps, are wrong. Exit 1 with their
names. Tests that were selected and skipped themselves (no browser, say) are counted only.
"""

import sys
from pathlib import Path

import pytest


class Names:
    """Keeps the names of all tests."""

    def __init__(self) -> None:
        self.names: list[str] = []

    def pytest_collection_finish(self, session: pytest.Session) -> None:
        """Called by pytest."""
        self.names = [item.nodeid for item in session.items]


def main(file: Path) -> int:
    """Tell which tests no step selected."""
    everything = Names()
    if pytest.main(["--collect-only", "-qq", "-n", "0", "-m", "", "--no-summary"], [everything]):
        return 1
    lines = [line.split(" ", 1) for line in file.read_text(encoding="utf-8").splitlines()]
    selected = {name for _, name in lines}
    skipped = selected - {name for outcome, name in lines if outcome != "skipped"}
    missing = [name for name in everything.names if name not in selected]
    print(
        f"{len(everything.names)} tests, {len(missing)} left out by every step, {len(skipped)} skipped in each"
    )
    print("".join(f"{name}\n" for name in missing), end="")
    return 1 if missing else 0


if __name__ == "__main__":
    sys.exit(main(Path(sys.argv[1])))

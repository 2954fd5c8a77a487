"""Study files as tests write them."""

from pathlib import Path

SCENARIOS = Path(__file__).parents[2] / "scenarios"
CAMP = SCENARIOS / "larch_bench.toml"


def written(folder, text, name="sweep.toml", *, method="grid", more=""):
    """A study file of the larch bench: `more` at the top, `text` below; its path."""
    path = folder / name
    path.write_text(
        f'format = 1\nscenario = "{CAMP.as_posix()}"\nmethod = "{method}"\n{more}\n{text}', encoding="utf-8"
    )
    return path

"""Studies of nights that follow from a formula, for what is told of them: no night is simulated."""

from pathlib import Path

from simtent.surveys.effects import effects
from simtent.surveys.indices import sensitivity
from simtent.surveys.opened import Opened, opened
from simtent.surveys.survey import Survey, load_survey, solve
from simtent.tell.study_words import Answer
from tests.surveys.files import written
from tests.surveys.formulas import levels

LONG = "packed snow over a frozen lake, with a closed-cell mat"
FACTORS = f"""
[factors]
outdoors.shift = {{ from = "-9 degF", to = "9 degF", steps = 2 }}
model.walls = [0.8, 1.0, 1.25]

[choices.what_the_floor_of_the_shelter_lies_on]
"{LONG}" = {{ site.ground = "packed snow", shelter.floor.mat = "20 mm closed-cell foam" }}
"bare forest floor" = {{ site.ground = "forest floor" }}
"""
OUTPUTS = 'outputs = ["lowest_in_bed at cot", "mean level_temperature at floor"]'


def study(folder: Path, method: str = "grid") -> tuple[Survey, Opened, list[Answer], str]:
    """A solved study of three factors, one with long names, its answers, and its file's text."""
    more = OUTPUTS + ("\ncases = 40" if method != "grid" else "")
    factors = (
        FACTORS
        if method == "grid"
        else FACTORS.replace("[0.8, 1.0, 1.25]", '"spread"').replace(", steps = 2", "")
    )
    path = written(folder, factors, method=method, more=more)
    it = load_survey(path)
    found = opened(solve(it, folder / "kept", night=levels, quiet=True), it.outputs)
    indices = method != "grid"
    answers = [
        Answer(one, effects(found, one), sensitivity(found.dataset, str(one)) if indices else None)
        for one in found.outputs
    ]
    return it, found, answers, path.read_text(encoding="utf-8")

"""Why a variant is colder at the cot, told where a usual change has the reason. Differences are made up."""

from types import SimpleNamespace

import pytest

from simtent.comparing.compared import Difference
from simtent.comparing.usual import like_usual, usual_changes
from simtent.scenario.varied import of_text
from simtent.tell.compared_words import _why_colder
from tests.comparing.camps import known_heat

MAT = usual_changes()["floor_mat"].why


@pytest.mark.parametrize(
    ("text", "name"),
    [
        ("mat: shelter.floor.mat=20 mm closed-cell foam", "floor_mat"),
        ("thick: shelter.floor.mat=40 mm closed-cell foam", "floor_mat"),
        ("windy: outdoors.wind=8 m/s", None),
        ("both: shelter.floor.mat=20 mm closed-cell foam; outdoors.wind=8 m/s", None),
    ],
)
def test_which_usual_change_a_variant_is_like(tmp_path, text, name):
    scenario = known_heat(tmp_path)
    found = like_usual(scenario, of_text(scenario, text))
    assert (found.name if found else None) == name


def test_a_mat_that_is_taken_away_has_not_the_reason_of_one_that_is_laid(tmp_path):
    scenario = known_heat(tmp_path).replace({"shelter.floor.mat": "20 mm closed-cell foam"})
    assert like_usual(scenario, of_text(scenario, "bare: shelter.floor.mat=none")) is None


@pytest.mark.parametrize(
    ("amount", "apart", "told"), [(-1.9, True, True), (-1.9, False, False), (1.9, True, False)]
)
def test_the_reason_is_told_where_it_is_colder(tmp_path, amount, apart, told):
    scenario = known_heat(tmp_path)
    variant = of_text(scenario, "mat: shelter.floor.mat=20 mm closed-cell foam")
    found = SimpleNamespace(
        scenario=scenario,
        variants=(SimpleNamespace(name="mat", variant=variant),),
        difference=lambda _name, _number: Difference(amount, amount, amount, apart),
    )
    lines = " ".join(" ".join(_why_colder(found)).split())
    assert (f"mat: {MAT}" in lines) is told and (not told or "WHY" in lines)

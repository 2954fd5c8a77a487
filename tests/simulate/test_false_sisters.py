"""Tempting statements that are false, each beside the invariant it resembles: the night that breaks it, and why.

The invariants themselves stand in `test_invariants.py`. Where a level or a fire is left out there, the case is here.
"""

import numpy as np
import pytest

from simtent.assembly.assemble import assemble
from simtent.assembly.rhs import observe
from simtent.readings import level_temperatures
from simtent.run import Run, run
from simtent.scenario.scenario import Scenario
from tests.fire.burns import bedtime, burn
from tests.fire.test_rules import clock
from tests.simulate.cases import NO_HEAT, copies, mean_air, scenario, solved, with_shelter

pytestmark = pytest.mark.compiled

CLEAR = 0.5  # K, by which a statement must fail
HOUR = 12  # rows of a night


def mean_of(night: Run) -> np.ndarray:
    """Volume-mean air over time [K]."""
    return mean_air(night.model, night.solution)


def air_to_fire(night: Run) -> np.ndarray:
    """Air that flows to the fire over time [kg/s]."""
    return night.solution.states[:, night.model.shelter.stove.places.air]


def quilted(thickness: int) -> dict:
    """The story's skin with another quilt [mm]."""
    skin = ["300 g/m2 coated nylon", f"{thickness} mm polyester quilt"]
    return {"shelter.skin.wall": skin, "shelter.skin.roof": skin}


def shut() -> Scenario:
    """One burn of the story in its shelter without vents."""
    return burn().replace("shelter.openings", "none")


def test_more_leakage_can_warm_a_shelter_with_a_live_fire():
    """More leakage never warms: with a known source. A fire draws its air out of the shelter.

    Cause: behind tight seams the draught is spent on drawing air through them, and little is left for the fire.
    """
    tight, leaky = (run(shut().replace("model.leak_area", area)) for area in ("1 cm2", "10 cm2"))
    assert mean_of(leaky)[HOUR] > mean_of(tight)[HOUR] + 20.0
    assert air_to_fire(leaky)[HOUR] > 5.0 * air_to_fire(tight)[HOUR]
    assert draught_left(tight) < 0.05
    assert draught_left(leaky) > 0.4
    loose = run(shut().replace("model.leak_area", "300 cm2"))  # with air enough the true statement is back
    assert mean_of(loose)[HOUR] < mean_of(leaky)[HOUR] - CLEAR


def draught_left(night: Run) -> float:
    """Share of the draught after an hour that is not spent on drawing air through the seams [-]."""
    s = night.solution
    _, fire, air = observe(s.times[HOUR], s.states[HOUR], night.model.shelter, s.rows[HOUR])
    return float(fire[2] / (fire[2] - air.pressure[0]))


def test_more_wind_can_warm_a_shelter_with_a_live_fire():
    """More wind never warms: with a known source.

    Cause: pressed in through the one small vent on its side, the wind feeds a fire that was short of air. The sky is
    overcast, so that wind does not warm a skin colder than the air.
    """
    vent = {"shelter.openings": {"low_vent": {"area": "4 cm2", "at": "15 cm", "faces": "wind"}}}
    small = vent | {
        "model.leak_area": "1 cm2",
        "site.shelter_from_wind": "open ground",
        "outdoors.cloud": "100 %",
    }
    calm, windy = (run(shut().replace(small | {"outdoors.wind": wind})) for wind in ("0 m/s", "8 m/s"))
    assert mean_of(windy)[HOUR] > mean_of(calm)[HOUR] + 2.0
    assert air_to_fire(windy)[HOUR] > 1.2 * air_to_fire(calm)[HOUR]


def test_more_wind_can_warm_the_air_above_the_floor():
    """More wind never warms the mean of all air; one level it can.

    Cause: without wind cold air comes in by the low vent in the lee and leaves by the ridge; wind on the ridge turns
    both round, and it mixes with warm air on its way down.
    """
    openings = {
        "low_vent": {"area": "200 cm2", "at": "30 cm", "faces": "lee"},
        "ridge_vent": {"area": "200 cm2", "at": "1.9 m", "faces": "wind"},
    }
    shelter = {"shelter__openings": openings, "site__shelter_from_wind": "open ground"}
    calm, windy = (run(scenario(outdoors__wind=wind, **shelter)) for wind in ("0 m/s", "4 m/s"))
    row = 4 * HOUR - 1  # just before the heat is turned down
    assert windy.air[row, 0] > calm.air[row, 0] + CLEAR
    assert mean_of(windy)[row] < mean_of(calm)[row] - CLEAR
    flows = []
    for night in (calm, windy):
        s = night.solution
        air = observe(s.times[row], s.states[row], night.model.shelter, s.rows[row])[2]
        low = [k for k, group in enumerate(night.model.house.element_group)
               if night.model.house.openings[group].startswith("low vent")]  # fmt: skip
        flows.append((air.entering - air.leaving)[low].sum())
    assert flows[0] > 0.0 > flows[1]


def test_a_better_skin_can_leave_the_first_minutes_colder():
    """More resistance never cools: at the same heat capacity.

    Cause: the heavier skin has to be warmed itself.
    """
    light = {"wall": ["polyester liner"], "roof": ["polyester liner"]}
    heavy = {"wall": ["40 mm plywood"], "roof": ["40 mm plywood"]}
    nights = [run(scenario(shelter__skin=skin), step=60.0) for skin in (light, heavy)]
    first, last = ([mean_of(night)[row] for night in nights] for row in (5, -1))
    assert last[1] > last[0] + CLEAR
    assert first[1] < first[0] - CLEAR


def test_more_resistance_of_the_skin_can_leave_its_outside_colder():
    """More resistance never cools the air; the skin itself it does.

    Cause: less heat comes through to the outer face.
    """
    thin, thick = (
        run(scenario(shelter__skin={"wall": [quilt], "roof": [quilt]}))
        for quilt in ("8 mm polyester quilt", "60 mm polyester quilt")
    )
    row = 4 * HOUR - 1
    outer = [
        night.temperatures[
            row, [n for name, n in night.model.house.surfaces.items() if name.startswith("outer")]
        ]
        for night in (thin, thick)
    ]
    assert mean_of(thick)[row] > mean_of(thin)[row] + CLEAR
    assert outer[1].mean() < outer[0].mean() - CLEAR


def test_a_better_mat_can_leave_the_morning_colder():
    """More resistance of the skin never cools; that of the floor can.

    Cause: in the evening the ground takes up heat, which it gives back once the source is out; less with the mat.
    """
    quilt = {"wall": ["20 mm polyester quilt"], "roof": ["20 mm polyester quilt"]}
    heat = [{"at": "18:00", "power": "4 kW"}, {"at": "23:00", "power": "0 W"}]
    bare, better = (
        run(scenario(shelter__skin=quilt, shelter__floor={"mat": mat}, night__end="08:00", heat__table=heat))
        for mat in ("3 mm closed-cell foam", "50 mm closed-cell foam")
    )
    evening = 5 * HOUR - 1
    assert mean_of(better)[evening] > mean_of(bare)[evening] + CLEAR
    assert mean_of(better)[-1] < mean_of(bare)[-1] - CLEAR
    assert held(better, "ground", evening) < 0.7 * held(bare, "ground", evening)


def held(night: Run, group: str, row: int) -> float:
    """Heat taken up by a group of nodes since the start [J]."""
    risen = night.temperatures[row] - night.temperatures[0]
    return float((night.model.shelter.net.capacity * risen)[np.array(night.model.net.groups) == group].sum())


def test_a_better_skin_can_leave_the_morning_colder_where_a_rule_tends_the_fire():
    """More resistance never cools: with a source that does not look at the thermometer.

    Cause: behind the better skin the cot stays above the limit while the rule is in force, and no load is put on.
    """
    poor, better = (bedtime("half").replace(quilted(mm)) for mm in (10, 14))
    colds = [level_temperatures(run(night, step=60.0))[300, cot(night)] for night in (poor, better)]
    limit = sum(colds) / 2.0  # degC, at the end of the rule's hours
    rule = {
        "from": clock(270), "to": clock(300), "when": {"level": "cot", "below": f"{limit:.2f} degC"},
        "load": {"stick": "1.2 kg", "split": "2 kg"}, "most": 1,
        "air": [{"for": "15 min", "mark": "wide"}, {"mark": "half"}],
    }  # fmt: skip
    tended = [run(night.replace("stoking.rule", [rule])) for night in (poor, better)]
    mornings = [level_temperatures(night)[-1, cot(night.scenario)] for night in tended]
    assert mornings[1] < mornings[0] - CLEAR
    assert [any(event.by == "rule" for event in night.tending.events) for night in tended] == [True, False]
    left_alone = [level_temperatures(run(night))[-1, cot(night)] for night in (poor, better)]
    assert left_alone[1] > left_alone[0]


def cot(night) -> int:
    return list(night.levels).index("cot")


def test_a_clear_sky_makes_the_skin_colder_than_any_air():
    """Nothing is colder than the coldest of air, ground, start and sky; the air alone is no bound.

    Cause: long waves to a clear sky, which is colder than the air.
    """
    model = assemble(scenario(outdoors__cloud="0 %").replace(NO_HEAT))
    outer = [node for name, node in model.house.surfaces.items() if name.startswith("outer roof")]
    answer = solved(model)
    assert answer.states[-1, outer].max() < 263.15 - 1.0
    sky = observe(answer.times[-1], answer.states[-1], model.shelter, answer.rows[-1])[0][1]
    assert answer.states[-1, outer].min() > sky


def test_a_warm_shelter_in_even_cold_can_warm_if_somebody_is_inside():
    """The hottest node never rises: with nobody inside.

    Cause: a sleeper gives heat to the air.
    """
    warm = scenario(crew__asleep=1, night__inside_at_start="5 degC").replace(NO_HEAT)
    hottest = run(warm, step=10.0).temperatures.max(axis=1)
    assert np.diff(hottest)[0] > 0.1


def test_one_plume_k_times_as_strong_is_not_k_plumes():
    """k copies repeat the night: with k plumes, each of its own strength.

    Cause: the flow of a plume goes with the third root of its heat; one large plume stirs less than k small ones.
    """
    model, k = assemble(scenario()), 5.0
    many = copies(model, k)
    plumes = many.shelter.room.plumes
    one = with_shelter(many, room=many.shelter.room._replace(plumes=plumes._replace(equal=plumes.equal / k)))
    layers = model.house.bands.centres.size
    apart, together = (solved(m).states[-1, :layers] for m in (many, one))
    assert together[-1] - together[0] > apart[-1] - apart[0] + CLEAR

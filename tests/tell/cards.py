"""Cards made up by hand, for what is told of them: no night is simulated."""

import numpy as np

from simtent.assess.findings import Finding
from simtent.planning.card import Card
from simtent.planning.card_colder import Colder
from simtent.planning.card_dead import Dead
from simtent.planning.card_late import Late
from simtent.planning.card_rows import Row
from simtent.planning.card_weather import weathers
from simtent.planning.choices import choices_of
from simtent.planning.draft import Draft, Put
from simtent.planning.limits import Limits
from simtent.planning.measure import Measured
from simtent.scenario.load import load
from simtent.units import to_si

STOP = Finding(level="stop", what="the pipe glows", todo="Let it burn down", source="made up", where="Pipe")


def measured(choices, coldest=1.0, **other):
    """A night that cools evenly."""
    times = np.linspace(0.0, choices.rise, 50)
    cot = np.linspace(coldest + 8.0, coldest, 50)
    numbers = {
        "cot_lowest": coldest, "cot_lowest_at": choices.rise, "cot_evening": coldest, "cot_at_rise": coldest,
        "head_highest": 30.0, "odds": (), "fullest": 0.3, "stove": 300.0, "jack": 200.0, "cool": 0.0, "wood": 10.0,
        "unevenness": 1.0, "times": times, "cot": cot, "lights": np.full(50, 5.0),
    }  # fmt: skip
    return Measured(**(numbers | other))


def row(scenario, weather, alarms, **how):
    """A row with so many alarms after the load at bed, 75 min apart."""
    choices = choices_of(scenario)
    levers = (choices.levers[0], choices.levers[-1])
    evening = Put(choices.follows, choices.loads[0], choices.levers[-1])
    asleep = [
        Put(choices.at_bed + 4500.0 * k, choices.loads[-1 - k % 2], levers[k > 2]) for k in range(alarms + 1)
    ]
    broken = how.get("broken", {})
    return Row(
        weather, scenario, Draft((evening, *asleep)), measured(choices, weather.low - 270.0), broken, alarms,
        how.get("findings", ()),
    )  # fmt: skip


def card(
    system="us", lows=("0 degF", "10 degF", "20 degF", "30 degF", "40 degF"), most=4, missing=0, stopped=False
):
    """A card with ever more alarms in ever colder nights; its last `missing` rows were not finished."""
    scenario = load("scenarios/alder_ford.toml")
    wanted = weathers([to_si(low, "temperature") for low in lows], (1.3, 5.0))
    rows = []
    for k, weather in enumerate(wanted):
        broken = {"cot": 2.0, "head": 0.1, "cool": 700.0} if k < 2 else {}
        findings = (STOP,) if stopped and k == 3 else ()
        rows.append(row(scenario, weather, max(most - k // 2, 0), broken=broken, findings=findings))
    done = rows[: len(rows) - missing]
    return Card(
        scenario=scenario,
        system=system,
        choices=choices_of(scenario),
        limits=Limits.of(scenario),
        rows=tuple(done),
        missing=tuple(it.weather for it in rows[len(done) :]),
        late=(Late(1800.0, 10, 10, 0.93, 1.0), Late(3600.0, 10, 4, 0.2, 3.0)),
        dead=Dead((("kindling", 8), ("stick", 4)), 900.0, 0.0, 45.0, -9.0),
        colder=Colder(2.8, "pieces", "split", 8, 6, 0.9),
        nights=1000,
    )


CARDS = {
    "usual": {"most": 3},
    "si": {"most": 3, "system": "si", "lows": ("-20 degC", "-15 degC", "-10 degC", "-5 degC", "0 degC")},
    "long": {"lows": ("-30 degF", "-20 degF", "-10 degF", "0 degF", "10 degF", "20 degF"), "most": 6},
    "one low": {"lows": ("20 degF",), "most": 0},
    "broken off": {"most": 3, "missing": 3},
    "stopped": {"most": 3, "stopped": True},
}

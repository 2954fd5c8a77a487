"""Any scenario of a shelter becomes a scene for stoves: what ties it to its own night is gone, nothing else is."""

from pathlib import Path

import pytest

from simtent.scenario.load import load
from simtent.sizing.classes import LADDER, shop_terms, sized
from simtent.sizing.hold import LONGEST, _fire, marks_of
from simtent.sizing.need import _heat
from simtent.sizing.scene import stripped, weather

DEMOS = Path(__file__).parents[2] / "scenarios"
TENTS = sorted(path for path in DEMOS.glob("*.toml") if load(path).shelter is not None)


@pytest.mark.parametrize("path", TENTS, ids=lambda path: path.stem)
def test_every_demo_takes_every_stove_and_a_heater(path):
    own = load(path, settings=["wish.cot_at_least=3 degC", "site.latitude=47 deg"])
    scene = stripped(own)
    assert scene.given.wish.bed is None and scene.given.site.latitude is None and scene.given.damp is None
    door = scene.given.shelter.openings.door
    assert door is None or not door.open
    assert scene.given.shelter.skin == own.shelter.skin and scene.given.levels == own.levels
    air = weather(250.0, 3.0, 3.0 * LONGEST, scene.given)
    heated = scene.given.replace({**air, **_heat(scene.given, 2345.0)})
    assert heated.night.seconds == 22.5 * 3600.0
    assert heated.heat.track().values == (2345.0,) and heated.stove is None
    assert heated.outdoors.track("air").values == (250.0,) and heated.outdoors.track("wind").values == (3.0,)
    for volume in LADDER:
        given = scene.given.replace(sized(volume, scene.given))
        size = shop_terms(given.stove, given.wood, scene.thick)
        marks = marks_of(given.stove.air)
        fed = given.replace({**air, **_fire(given, size, marks[0], LONGEST, 3, 0.5 * size.load)})
        masses = [sum(fed.wood.load_masses(load.pieces).values()) for load in fed.stoking.loads]
        assert masses == pytest.approx([size.load, 0.5 * size.load, 0.5 * size.load])
        assert [load.at for load in fed.stoking.loads] == [0.0, 7.5 * 3600.0, 15.0 * 3600.0]

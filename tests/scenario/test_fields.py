"""The declarations: complete, consistent, and as the contract names them."""

import pytest

from simtent.scenario.fields import fields, match
from simtent.scenario.load import load
from simtent.scenario.quantity import Count, Factor, Quantity
from simtent.units import to_si
from tests.scenario.example import TEXT, spoilt, written

EVERY = list(fields())
NUMBERS = [field for field in EVERY if isinstance(field.declared, Quantity)]
PLAIN = [field for field in EVERY if isinstance(field.declared, Factor | Count)]


def test_the_contract():
    known = """
        format name invented units
        night.evening night.zone night.begin night.end night.inside_at_start
        wish.bed wish.rise wish.cot_at_least wish.head_at_most wish.cot_at_rise
        wish.wake_ups_at_most wish.fire_may_go_out wish.coals
        levels.*
        site.altitude site.ground site.ground_start site.snow_density site.shelter_from_wind
        site.ground_below[].depth site.ground_below[].temperature site.snow_depth site.under_snow
        site.ice_thickness site.latitude site.solar_noon
        outdoors.steady outdoors.high.at outdoors.high.air outdoors.low.at outdoors.low.air
        outdoors.file.path outdoors.file.time outdoors.file.zone
        outdoors.file.columns.air outdoors.file.columns.wind outdoors.file.columns.cloud
        outdoors.file.columns.humidity outdoors.file.units.air outdoors.file.units.wind
        outdoors.file.units.cloud outdoors.file.units.humidity
        outdoors.wind outdoors.cloud outdoors.humidity outdoors.spread outdoors.shift
        shelter.like shelter.shape shelter.length shelter.width shelter.height shelter.wall shelter.ridge
        shelter.diameter shelter.sides shelter.pushed_out shelter.peak
        shelter.skin.wall shelter.skin.roof shelter.skin.all shelter.skirt
        shelter.window[].part shelter.window[].area shelter.window[].from shelter.window[].to
        shelter.window[].layers
        shelter.floor.cover shelter.floor.board shelter.floor.mat shelter.floor.mat_area shelter.floor.raised
        shelter.openings.low_vent.area shelter.openings.low_vent.at shelter.openings.low_vent.open
        shelter.openings.low_vent.faces
        shelter.openings.ridge_vent.area shelter.openings.ridge_vent.at shelter.openings.ridge_vent.open
        shelter.openings.ridge_vent.faces
        shelter.openings.vents.*.area shelter.openings.vents.*.at shelter.openings.vents.*.open
        shelter.openings.vents.*.faces
        shelter.openings.jack.gap shelter.openings.jack.at shelter.openings.jack.through
        shelter.openings.jack.faces
        shelter.openings.door.width shelter.openings.door.height shelter.openings.door.sill
        shelter.openings.door.faces shelter.openings.door.open[].at shelter.openings.door.open[].for
        shelter.fan.flow shelter.fan.from shelter.fan.to
        shelter.contents.mass shelter.contents.area shelter.contents.height
        heat.radiant_share heat.from_height heat.to_height heat.stands heat.between
        heat.table[].at heat.table[].power
        heat.file.path heat.file.time heat.file.zone heat.file.power heat.file.unit
        stove.like stove.firebox.length stove.firebox.width stove.firebox.height stove.sheet stove.mass
        stove.glass stove.baffle stove.on_top stove.legs stove.stands stove.emissivity
        stove.place.from_wall stove.place.from_roof stove.place.from_bed stove.place.from_wood stove.under
        stove.pipe.diameter stove.pipe.inside stove.pipe.outside stove.pipe.sheet stove.pipe.bends
        stove.pipe.cap stove.pipe.arrestor stove.pipe.draft
        stove.air.opening stove.air.marks.* stove.air.leak stove.air.least_when_asleep
        stove.damper.marks.* stove.damper.least_when_asleep
        wood.species wood.moisture wood.pieces.*.thick wood.pieces.*.long wood.pieces.*.mass wood.at_hand
        variants.*
        trip[].evening trip[].low trip[].high trip[].wind
        trip[].file.path trip[].file.time trip[].file.zone
        trip[].file.columns.air trip[].file.columns.wind trip[].file.columns.cloud trip[].file.columns.humidity
        trip[].file.units.air trip[].file.units.wind trip[].file.units.cloud trip[].file.units.humidity
        carry.sled_load carry.margin
        stoking.air stoking.damper stoking.door_open stoking.wake
        stoking.load[].at stoking.load[].pieces.* stoking.load[].every stoking.load[].until
        stoking.load[].lit stoking.load[].catches stoking.load[].air
        stoking.load[].damper
        stoking.set[].at stoking.set[].air stoking.set[].damper
        stoking.rule[].from stoking.rule[].to stoking.rule[].when.level stoking.rule[].when.below
        stoking.rule[].when.coals stoking.rule[].load.* stoking.rule[].air stoking.rule[].damper
        stoking.rule[].most stoking.rule[].wake stoking.rule[].rearm
        crew.asleep crew.heat_each crew.bag.comfort crew.bag.limit crew.pad crew.wet_gear
        damp.breath_each damp.skin_each damp.bag_area damp.gear_at damp.gear_area damp.snow damp.wood
        damp.wood_area damp.passes damp.holds
        model.walls model.leak_area model.leak_below_skirt model.heat model.mixing model.char_rate
        model.feedback model.gas_side model.burn_rate model.inlet model.ground model.layers
        log[].evening log[].file log[].sensors.* log[].time log[].unit log[].zone log[].clock_ahead log[].drift
        log[].shelter log[].notes log[].with log[].logger
        what_if.spill instruments.carbon_monoxide instruments.flue
        fit.free fit.fixed fit.tied fit.spread.* fit.hold_out
        fitted.logs fitted.readings fitted.version fitted.coldest fitted.warmest
        fitted.found[].key fitted.found[].value fitted.found[].low fitted.found[].high fitted.found[].before
        fitted.found[].source fitted.found[].told fitted.axis[].times.* fitted.axis[].plus.* fitted.beyond.*
        """
    assert {field.key for field in EVERY} == set(known.split())


def test_every_field_has_a_meaning_and_a_source():
    for field in fields(tables=True):
        assert len(field.declared.meaning) > 10, field.key
        assert field.declared.source, field.key


@pytest.mark.parametrize("field", NUMBERS, ids=lambda field: field.key)
def test_ranges_units_and_defaults_of_quantities(field):
    declared = field.declared
    low, high = declared.bounds()
    assert low < high
    usual = [to_si(text, declared.kind) for text in declared.usual or declared.allowed]
    assert low <= usual[0] < usual[1] <= high
    for unit in (declared.unit_si, declared.unit_us):
        assert to_si(f"1 {unit}", declared.kind) is not None
        to_si(f"1 {unit}", declared.kind)
    if isinstance(field.default, str):
        assert low <= to_si(field.default, declared.kind) <= high


@pytest.mark.parametrize("field", PLAIN, ids=lambda field: field.key)
def test_ranges_and_defaults_of_plain_numbers(field):
    low, high = field.declared.allowed
    usual = field.declared.usual
    assert low <= usual[0] < usual[1] <= high
    assert field.default is None or usual[0] <= field.default <= usual[1]


def test_which_fields_have_a_prior():
    spreads = {
        field.key: (field.declared.spread.way, field.declared.spread.amount)
        for field in [*NUMBERS, *PLAIN]
        if getattr(field.declared, "spread", None)
    }
    assert spreads == {
        "model.walls": ("relative", 0.2),
        "model.leak_area": ("factor", 2.0),
        "model.heat": ("relative", 0.1),
        "model.mixing": ("factor", 3.0),
    }


def test_shapes_of_shelter_fields():
    shapes = {
        field.key: field.shapes for field in EVERY if field.path[0] == "shelter" and len(field.path) == 2
    }
    assert shapes == {
        "shelter.like": (),
        "shelter.shape": (),
        "shelter.skirt": (),
        "shelter.length": ("box", "wall tent", "pyramid", "tunnel"),
        "shelter.width": ("box", "wall tent", "pyramid", "hub", "tunnel"),
        "shelter.height": ("box",),
        "shelter.wall": ("wall tent", "bell", "pyramid", "hub"),
        "shelter.ridge": ("wall tent",),
        "shelter.diameter": ("bell", "dome"),
        "shelter.sides": ("pyramid", "hub"),
        "shelter.pushed_out": ("hub",),
        "shelter.peak": ("bell", "pyramid", "hub", "dome", "tunnel"),
    }


def test_match():
    assert match(("levels", "any")).key == "levels.*"
    assert match(("shelter", "ridge")).text
    assert not match(("crew", "asleep")).text
    assert not match(("shelter", "skin", "wall")).text
    assert match(("nothing",)) is None
    assert match(("stove", "air", "marks", "my own")).key == "stove.air.marks.*"
    assert match(("wood", "pieces", "2", "thick")).key == "wood.pieces.*.thick"
    assert match(("stove", "sheet")).text and not match(("stove", "air", "marks")).text


def test_priors(tmp_path):
    text = spoilt("[heat]", '[model]\nleak_area = "100 cm2"\nwalls = 1.1\n[heat]')
    text = spoilt('"-10 degC"', '"-10 degC"\nspread = "9 degF"\nshift = "1 K"', text)
    scenario = load(written(tmp_path, text))
    found = {prior.key: prior for prior in scenario.priors()}
    assert list(found) == ["model.walls", "model.leak_area", "model.heat", "model.mixing", "outdoors.shift"]
    assert found["model.walls"].label == "walls +-20 %"
    assert found["model.leak_area"].label == "leak area x2"

    def ends(key, read):
        return [read(scenario.replace(end)) for end in (found[key].low, found[key].high)]

    assert ends("model.walls", lambda s: s.model.walls) == pytest.approx([0.88, 1.32])
    assert ends("model.leak_area", lambda s: s.model.leak_area) == pytest.approx([0.005, 0.02])
    assert ends("model.heat", lambda s: s.model.heat) == pytest.approx([0.9, 1.1])
    assert ends("outdoors.shift", lambda s: s.outdoors.track("air").at(0.0)) == pytest.approx(
        [259.15, 269.15]
    )


def test_priors_stay_in_the_allowed_range(tmp_path):
    text = spoilt("[heat]", '[model]\nleak_area = "1 cm2"\nwalls = 3.0\nheat = 0.3\n[heat]', TEXT)
    scenario = load(written(tmp_path, text))
    found = {prior.key: prior for prior in scenario.priors()}
    assert list(found) == ["model.walls", "model.leak_area", "model.heat", "model.mixing"]
    assert scenario.replace(found["model.leak_area"].low).model.leak_area == 1e-4
    assert scenario.replace(found["model.heat"].low).model.heat == 0.3
    assert scenario.replace(found["model.walls"].high).model.walls == 3.0
    still = scenario.replace({"outdoors.spread": "4 K", "outdoors.shift": "40 K"})
    assert still.replace(still.priors()[-1].high).outdoors.shift == 40.0

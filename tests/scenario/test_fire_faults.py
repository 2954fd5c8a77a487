"""Every kind of bad stove, wood and stoking is refused with file, line, key, value, what is allowed and what to do."""

import pytest

from simtent.scenario.load import load
from tests.scenario.example import FIRE, OPEN, TEXT, faults, spoilt, the_fault, written

LEAST = 'opening = "20 cm2"\nleast_when_asleep = "2"'

# part to spoil, its spoilt form, key, words that the message has to hold
VALUES = [
    # the stove
    ("[stove]", '[stove]\nlike = "wall-tent stve"', "stove.like", ["unknown stove", '"wall-tent stove"']),
    ('length = "45 cm"', 'length = "3 m"', "stove.firebox.length", ["out of range", "8 cm to 1.2 m"]),
    ('length = "45 cm", ', "", "stove.firebox.length", ["missing", "[stove.firebox]"]),
    ('"1.2 mm steel"', '"1.2 mm stel"', "stove.sheet", ['no metal is called "stel"', "steel, titanium"]),
    ('"1.2 mm steel"', '"steel"', "stove.sheet", ["a thickness and a metal", '"1.2 mm steel"']),
    ('"1.2 mm steel"', '"1.2 steel"', "stove.sheet", ["steel", "mm, cm, m"]),
    ('"1.2 mm steel"', '"1.2 mm"', "stove.sheet", ["which metal", "steel, titanium"]),
    ('"1.2 mm steel"', '"2 kg steel"', "stove.sheet", ["a mass", "a length"]),
    ('"1.2 mm steel"', '"1.2 cm5 steel"', "stove.sheet", ["cm5"]),
    ('"1.2 mm steel"', '"2 cm steel"', "stove.sheet", ["20 mm thick", "0.05 mm to 12 mm"]),
    ('legs = "20 cm"', 'legs = "20 cm"\nweight = "9 kg"', "stove.weight", ["Is mass meant?"]),
    ('"1.2 mm steel"', '"18 gauge steel"', "stove.sheet", ['"1.21 mm"', "18 gauge"]),
    ('"1.2 mm steel"', '"1.2"', "stove.sheet", ['"1.2 mm steel"']),
    (
        "pieces = { stick = 6 }",
        'pieces = { stick = 6 }\nweight = "2 lb 6 oz"',
        "stoking.load[1].weight",
        ["among the pieces", '{ split = "1.1 kg" }'],
    ),
    ("[stove.pipe]", "[stove.pipe]\nsheet = 3", "stove.pipe.sheet", ["a thickness and a metal"]),
    ('legs = "20 cm"', 'legs = "20 cm"\nmass = "1 t"', "stove.mass", ['"t" is not known', "kg"]),
    ('legs = "20 cm"', 'legs = "20 cm"\nglass = "1200 cm2"', "stove.glass", ["larger than a side"]),
    ('legs = "20 cm"', 'legs = "20 cm"\nbaffle = "yes"', "stove.baffle", ["true or false"]),
    ('legs = "20 cm"', 'legs = "20 cm"\non_top = "1 gal tea"', "stove.on_top", ['"tea"', "water, stones"]),
    ('legs = "20 cm"', 'legs = "20 cm"\non_top = "3 kg"', "stove.on_top", ["what stands", "water, stones"]),
    ('legs = "20 cm"', 'legs = "20 cm"\non_top = "water"', "stove.on_top", ['"5 kg stones"']),
    ('legs = "20 cm"', 'legs = "20 cm"\non_top = "90 kg stones"', "stove.on_top", ["90.0 kg", "60 kg"]),
    ('legs = "20 cm"', 'legs = "20 cm"\non_top = "0 L water"', "stove.on_top", ["0.0 kg", "over 0 kg"]),
    ('legs = "20 cm"', 'legs = "20 cm"\nemissivity = 85', "stove.emissivity", ["0.1 to 1"]),
    ('inside = "1.7 m"', 'inside = "1.7 m"\nbends = "45 deg"', "stove.pipe.bends", ["a list of angles"]),
    ('inside = "1.7 m"', 'inside = "1.7 m"\nbends = ["95 deg"]', "stove.pipe.bends[1]", ["0 deg to 90 deg"]),
    ('inside = "1.7 m"', 'inside = "1.7 m"\nbends = ["0 deg", 9]', "stove.pipe.bends[2]", ["an angle"]),
    ('inside = "1.7 m"', 'inside = "1.7 m"\ndraft = "80 Pa"', "stove.pipe.draft", ["0 Pa to 60 Pa"]),
    (
        'inside = "1.7 m"',
        'inside = "1 m"',
        "stove.pipe.inside",
        ["does not reach the roof", "1.04 m", "1.46 m"],
    ),
    ('inside = "1.7 m"\n', "", "stove.pipe.inside", ["missing", "[stove.pipe]"]),
    ('shut = "4 %"', 'shut = "4"', "stove.air.marks.shut", ["no unit", '"4 %"']),
    ('2 = "35 %"', "2 = 0.35", "stove.air.marks.2", ['"35 %"']),
    ('2 = "35 %"', '2 = "135 %"', "stove.air.marks.2", ["0 % to 100 %"]),
    (
        'opening = "20 cm2"',
        LEAST.replace('"2"', '"three"'),
        "stove.air.least_when_asleep",
        ["unknown mark", "wide"],
    ),
    ('marks = { across = "20 %", open = "100 %" }', "marks = {}", "stove.damper.marks", ["no mark", "low"]),
    ('marks = { across = "20 %", open = "100 %" }', "", "stove.damper.marks", ["missing", "{ name = ... }"]),
    # the wood
    ('"spruce"', '"sprce"', "wood.species", ["unknown species", '"spruce"']),
    ('"spruce"', '"teak"', "wood.species", ["unknown species", '"softwood" or "hardwood"']),
    (
        '"20 % wet"',
        '"18 %"',
        "wood.moisture",
        ["on which basis", '"18 % wet"', "22.0 % dry", '"18 % dry"', "15.3 % wet"],
    ),
    ('"20 % wet"', "0.2", "wood.moisture", ['"18 % wet"', '"22 % dry"']),
    ('"20 % wet"', '"61 % wet"', "wood.moisture", ["out of range", "60 % wet", "150 % dry"]),
    ('"20 % wet"', '"-1 % dry"', "wood.moisture", ["out of range"]),
    ('"20 % wet"', '"20 wet"', "wood.moisture", ["no unit", '"20 % wet"']),
    ('"20 % wet"', '"damp"', "wood.moisture", ["with its basis", '"18 % wet"']),
    ('"20 % wet"', '"120 %"', "wood.moisture", ["basis", '"18 % wet"']),
    (
        'stick = { thick = "4 cm", ',
        "stick = { ",
        "wood.pieces.stick.thick",
        ["missing", "[wood.pieces.stick]"],
    ),
    ('long = "35 cm"', 'long = "46 cm"', "wood.pieces.stick.long", ["longer than the firebox", "0.45 m"]),
    ('thick = "8 cm"', 'thick = "26 cm"', "wood.pieces.split.thick", ["thicker than the firebox", "0.25 m"]),
    # loads, settings, rules
    ('at = "21:00"', 'at = "08:00"', "stoking.load[2].at", ["outside the night", "17:30 to 07:30"]),
    ('at = "22:00"', 'at = "12:00"', "stoking.set[1].at", ["outside the night"]),
    ('at = "21:00"', 'at = "17:30"', "stoking.load[2].at", ["two loads at 17:30", "one load of both"]),
    ('at = "21:00"', 'at = "21:00"\nevery = "15 min"', "stoking.load[2].every", ["needs both", "Add until"]),
    ('at = "21:00"', 'at = "21:00"\nuntil = "22:00"', "stoking.load[2].until", ["needs both", "Add every"]),
    (
        'at = "21:00"',
        'at = "21:00"\nevery = "15 min"\nuntil = "20:00"',
        "stoking.load[2].until",
        ["`until` is before `at`", "later in the night than 21:00"],
    ),
    (
        'at = "21:00"',
        'at = "21:00"\nevery = "2 min"\nuntil = "23:00"',
        "stoking.load[2].every",
        ["61 times", "up to 60 times"],
    ),
    (
        'at = "21:00"',
        'at = "17:30"\nevery = "15 min"\nuntil = "22:00"',
        "stoking.load[2].at",
        ["two loads"],
    ),
    (
        'at = "21:00"',
        'at = "21:00"\nevery = "1 min"\nuntil = "22:00"',
        "stoking.load[2].every",
        ["2 min to 12 h"],
    ),
    ('at = "22:00"\n', 'at = "17:20"\n', "stoking.set[1].at", ["outside the night"]),
    ('damper = "across"', "", "stoking.set[1]", ["nothing is set"]),
    ("stick = 6", "", "stoking.load[1].pieces", ["nothing is put on", "split = 3"]),
    ("load = { split = 2 }", "load = {}", "stoking.rule[1].load", ["nothing is put on"]),
    ("stick = 6", "stick = 0", "stoking.load[1].pieces.stick", ["a count of pieces or a mass", "1 to 200"]),
    ("stick = 6", "stick = 2.5", "stoking.load[1].pieces.stick", ['"2.1 kg"']),
    ("stick = 6", 'stick = "6"', "stoking.load[1].pieces.stick", ["no unit", '"6 kg"']),
    ("stick = 6", 'stick = "0 kg"', "stoking.load[1].pieces.stick", ["out of range"]),
    ("stick = 6", "log = 6", "stoking.load[1].pieces.log", ['unknown pieces "log"', "stick, split"]),
    ("load = { split = 2 }", "load = { splt = 2 }", "stoking.rule[1].load.splt", ['Is "split" meant']),
    (
        "stick = 6",
        "stick = 41",
        "stoking.load[1].pieces",
        ["too much for the firebox", "62 %", "9.0 kg", "up to 60 %, that is 8.8 kg"],
    ),
    ("load = { split = 2 }", "load = { split = 9 }", "stoking.rule[1].load", ["62 %", "9.0 kg", "8.8 kg"]),
    ("[stoking]\nair", '[stoking]\nwake = "2 h"\nair', "stoking.wake", ["0 min to 60 min"]),
    ('air = "wide"\ndamper', 'air = "wid"\ndamper', "stoking.air", ['unknown mark "wid"', 'Is "wide" meant']),
    ('damper = "open"\n', 'damper = "2"\n', "stoking.damper", ['unknown mark "2"', "across, open"]),
    ('mark = "2" }', 'mark = "3" }', "stoking.load[2].air[2].mark", ['unknown mark "3"', "shut, 2, wide"]),
    ('damper = "across"', 'damper = "shut"', "stoking.set[1].damper", ['unknown mark "shut"']),
    ('air = "2"\n', 'air = "4"\n', "stoking.rule[1].air", ['unknown mark "4"']),
    ('air = "2"\n', "air = []\n", "stoking.rule[1].air", ["a mark of the lever is wanted"]),
    (
        '{ mark = "2" }',
        '{ for = "1 h", mark = "2" }',
        "stoking.load[2].air[2].for",
        ["the last mark holds on"],
    ),
    ('{ for = "10 min", mark', "{ mark", "stoking.load[2].air[1].for", ["how long it holds"]),
    ('for = "10 min"', 'for = "10"', "stoking.load[2].air[1].for", ["no unit", '"10 min"']),
    ('for = "10 min"', 'for = "0 min"', "stoking.load[2].air[1].for", ["over 0 min"]),
    ('{ mark = "2" }', '{ to = "2" }', "stoking.load[2].air[2].to", ['unknown key "to"', "for, mark"]),
    ('{ mark = "2" }', '"2"', "stoking.load[2].air[2]", ["a table is wanted"]),
    ('{ mark = "2" }', "{ mark = 2 }", "stoking.load[2].air[2].mark", ["a mark of the lever"]),
    ('to = "05:45"', 'to = "22:00"', "stoking.rule[1].to", ["`to` is not after `from`"]),
    ('to = "05:45"', 'to = "23:00"', "stoking.rule[1].to", ["`to` is not after `from`"]),
    ('from = "23:00"\nto = "05:45"', 'from = "12:00"\nto = "12:00"', "stoking.rule[1].to", ["is not after"]),
    (
        'from = "23:00"\nto = "05:45"',
        'from = "08:00"\nto = "12:00"',
        "stoking.rule[1].to",
        ["at no time", "17:30"],
    ),
    ('from = "23:00"', 'from = "11 pm"', "stoking.rule[1].from", ['"23:00"']),
    ('from = "23:00"\n', "", "stoking.rule[1].from", ["missing", "from"]),
    (
        'from = "23:00"',
        'from_ = "23:00"\nfrom = "23:00"',
        "stoking.rule[1].from_",
        ["unknown key", "from, to"],
    ),
    ('level = "cot"', 'level = "cott"', "stoking.rule[1].when.level", ["unknown level", 'Is "cot" meant']),
    ('"light the next load"', '"glow"', "stoking.rule[1].when.coals", ['"light the next load"']),
    ('air = "2"\n', 'air = "2"\nmost = 0\n', "stoking.rule[1].most", ["1 to 20"]),
    ('air = "2"\n', 'air = "2"\nrearm = "0 K"\n', "stoking.rule[1].rearm", ["0.1 K"]),
]


@pytest.mark.parametrize(("old", "new", "key", "words"), VALUES)
def test_bad_values(tmp_path, old, new, key, words):
    text = spoilt(old, new, FIRE)
    fault = the_fault(tmp_path, text)
    message = str(fault)
    assert fault.file == str(tmp_path / "camp.toml")
    assert fault.key == key
    for word in words:
        assert word in message
    assert fault.line
    if not any(word in message for word in ("missing", "nothing is", "says how long")):
        last = key.split(".")[-1].split("[")[0]
        assert last in text.split("\n")[fault.line - 1]


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("shut = ", '"a\\tb" = '),
        ("shut = ", f"{'x' * 31} = "),
        ("shut = ", '" " = '),
        ("stick = { thick", '"" = { thick'),
    ],
)
def test_names_that_cannot_be_printed(tmp_path, old, new):
    text = spoilt(old, new, FIRE)
    fault = next(iter(faults(tmp_path, text)))
    assert fault.key in ("stove.air.marks", "wood.pieces")
    assert "cannot be printed" in fault.what and "1 to 30 printable characters" in fault.allowed


def without(table, text=FIRE):
    """The text without a table and all below it; and with nothing but blank lines in its place."""
    begin = text.index(f"[{table}]")
    after = [text.find("\n[", begin + 1)]
    while after[-1] >= 0 and text[after[-1] + 1 :].lstrip("[").startswith(f"{table}."):
        after.append(text.find("\n[", after[-1] + 1))
    return text[:begin] + (text[after[-1] + 1 :] if after[-1] >= 0 else "")


@pytest.mark.parametrize(
    ("text", "key", "words"),
    [
        (without("heat", TEXT), "heat", ["nothing heats the shelter", "[heat] | [stove]", "0 W"]),
        (FIRE + TEXT[TEXT.index("[heat]") :], "heat", ["both [heat] and [stove]", 'heat = "none"']),
        (without("wood"), "wood", ["a stove without wood", "[wood]"]),
        (without("stoking"), "stoking", ["nobody tends", "[stoking]"]),
        (TEXT + without("stove", FIRE[FIRE.index("[stove]") : FIRE.index("[stoking]")]), "wood", ["no use"]),
        (without("stove.pipe", without("stove.damper")), "stove.pipe", ["a stove without a pipe"]),
        (without("stove.pipe"), "stove.pipe", ["a damper without a pipe"]),
        (without("stove.air"), "stove.air", ["required table", "[stove.air]"]),
        (
            without("stove.damper", spoilt('damper = "across"', 'air = "2"', FIRE)),
            "stoking.damper",
            ["has none"],
        ),
        (spoilt('damper = "open"\n', "", FIRE), "stoking.damper", ["how it stands", "across, open"]),
        (
            spoilt("[site]", "[site]\n[s]", without("site", FIRE)) if False else without("site"),
            "site.ground",
            None,
        ),
        (
            spoilt('legs = "20 cm"', 'legs = "1.5 m"', spoilt('"2.5 m"', '"1.72 m"', FIRE)),
            "stove.legs",
            ["higher"],
        ),
        (OPEN.replace("shelter = 'none'\n", ""), "shelter.shape", None),
        (
            OPEN + FIRE[FIRE.index("[[stoking.rule]]") :],
            "stoking.rule[1].when.level",
            ["in the open there is none"],
        ),
        (OPEN + TEXT[TEXT.index("[heat]") :], "heat", ["nothing that [heat] could heat"]),
        (OPEN[: OPEN.index("[stove]")], "shelter", ["a stove in the open, and there is none"]),
        (OPEN.replace("shelter = 'none'", "shelter = 'no'"), "shelter", None),
    ],
)
def test_tables_that_do_not_go_together(tmp_path, text, key, words):
    if words is None:
        assert key in {fault.key for fault in faults(tmp_path, text)}
        return
    message = str(the_fault(tmp_path, text))
    assert the_fault(tmp_path, text).key == key
    for word in words:
        assert word in message


@pytest.mark.parametrize(
    ("settings", "what"), [([], "a damper without a pipe"), (["stove.damper=none"], "a stove without a pipe")]
)
def test_a_pipe_taken_away_is_told_where_it_was_taken_away(tmp_path, settings, what):
    overlay = written(tmp_path, '[stove]\n\npipe = "none"\n', "overlay.toml")
    fault = next(
        it for it in faults(tmp_path, FIRE, overlays=[overlay], settings=settings) if it.key == "stove.pipe"
    )
    assert (fault.file, fault.line) == (str(overlay), 3)
    assert what in fault.what


def test_nothing_is_lit(tmp_path):
    begin = FIRE.index("[[stoking.load]]")
    bare, rule = FIRE[:begin], FIRE[FIRE.index("[[stoking.rule]]") :]
    assert "nothing is put on" in the_fault(tmp_path, bare).what
    assert "lit by hand" in the_fault(tmp_path, bare).todo
    assert "nobody lights the fire" in the_fault(tmp_path, bare + rule).what
    late = spoilt('at = "17:30"\npieces', 'at = "22:30"\npieces', spoilt('"21:00"', '"22:40"', FIRE))
    assert (the_fault(tmp_path, late).key, the_fault(tmp_path, late).what) == (
        "stoking.set[1].at",
        "a setting before the fire is lit",
    )
    rules_first = spoilt('"23:00"', '"12:00"', spoilt('at = "17:30"\npieces', 'at = "17:31"\npieces', FIRE))
    assert the_fault(tmp_path, rules_first).key == "stoking.rule[1].from"


def test_a_lever_turned_twice_at_a_time(tmp_path):
    text = spoilt('at = "22:00"\ndamper = "across"', 'at = "21:00"\nair = "2"', FIRE)
    assert (the_fault(tmp_path, text).key, the_fault(tmp_path, text).what) == (
        "stoking.set[1].at",
        "the same lever turned twice at 21:00",
    )
    other = spoilt('at = "22:00"', 'at = "21:00"', FIRE)
    assert load(written(tmp_path, other)).stoking.settings[0].at == 3.5 * 3600.0
    twice = FIRE + '[[stoking.set]]\nat = "22:00"\ndamper = "open"\n'
    assert the_fault(tmp_path, twice).key == "stoking.set[2].at"


SLEEP = spoilt('opening = "20 cm2"', 'opening = "20 cm2"\nleast_when_asleep = "2"', FIRE)


@pytest.mark.parametrize(
    ("old", "new", "key"),
    [
        ('damper = "across"', 'air = "shut"', "stoking.set[1].air"),  # after bed
        ('mark = "2" }', 'mark = "shut" }', "stoking.load[2].air[2].mark"),  # before bed, still so after it
        ('air = "2"\n', 'air = "shut"\n', "stoking.rule[1].air"),
        ('from = "23:00"\nto = "05:45"', 'from = "21:00"\nto = "21:30"', None),
    ],
)
def test_marks_below_the_least_while_asleep(tmp_path, old, new, key):
    """Bed is 21:30; no rise is given, so that the night sleeps to its end."""
    text = spoilt(old, new, SLEEP)
    if key is None:
        load(written(tmp_path, text))
        text = spoilt('air = "2"\n', 'air = "shut"\n', text)
        key = "stoking.rule[1].air"
    fault = the_fault(tmp_path, text)
    assert fault.key == key
    assert (fault.value, fault.allowed) == ('"shut"', "2, wide")
    assert "below their least" in fault.what and "least_when_asleep of [stove.air]" in fault.todo
    load(written(tmp_path, text), settings="wish.bed=none")
    load(written(tmp_path, text), settings="stove.air.least_when_asleep=none")


def test_marks_below_the_least_before_bed_and_after_rising_are_no_fault(tmp_path):
    early = spoilt('air = [{ for = "10 min", mark = "wide" }, { mark = "2" }]', 'air = "shut"', SLEEP)
    woken = spoilt('at = "22:00"\ndamper = "across"', 'at = "21:29"\nair = "2"', early)
    load(written(tmp_path, woken))
    at_bed = spoilt('"21:29"', '"21:31"', woken)
    assert the_fault(tmp_path, at_bed).key == "stoking.load[2].air"
    late = spoilt('at = "22:00"\ndamper = "across"', 'at = "07:00"\nair = "shut"', SLEEP)
    assert the_fault(tmp_path, late).key == "stoking.set[1].air"
    load(written(tmp_path, late), settings="wish.rise=07:00")
    load(written(tmp_path, late), settings="wish.rise=06:59")


def test_a_rule_over_a_time_that_the_clocks_skip(tmp_path):
    """The European Union's clocks go from 02:00 to 03:00 on the last Sunday of March (Directive 2000/84/EC)."""
    text = spoilt('"2031-02-14"', '"2031-03-29"', spoilt('"-07:00"', '"Europe/Berlin"', FIRE))
    load(written(tmp_path, text))
    fault = the_fault(tmp_path, spoilt('"05:45"', '"02:30"', text))
    assert fault.key == "stoking.rule[1].to" and "set forward" in fault.what


def test_every_fault_of_a_fire_at_once(tmp_path):
    text = FIRE
    for old, new in [
        ('"1.2 mm steel"', '"1.2 mm tin"'),
        ('"spruce"', '"spruc"'),
        ('air = "wide"\ndamper', "air = 3\ndamper"),
        ('to = "05:45"', 'to = "22:00"'),
    ]:
        text = spoilt(old, new, text)
    keys = [fault.key for fault in faults(tmp_path, text)]
    assert keys == ["stove.sheet", "wood.species", "stoking.air", "stoking.rule[1].to"]

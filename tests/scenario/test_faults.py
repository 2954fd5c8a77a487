"""Every kind of bad input is refused with file, line, key, value, what is allowed and what to do."""

import pytest

from simtent.errors import InputError
from simtent.scenario.load import load
from tests.scenario.example import LINES, TEXT, faults, spoilt, the_fault, written

# line or part to spoil, its spoilt form, key, words that the message has to hold
VALUES = [
    # numbers and units
    ('length = "4 m"', 'length = "4"', "shelter.length", ["no unit", '"4 ft"', '"4 m"']),
    ('length = "4 m"', "length = 4", "shelter.length", ["no unit", '"4 m"']),
    ('length = "4 m"', 'length = "4 kg"', "shelter.length", ["a mass", "a length"]),
    (
        'length = "4 m"',
        'length = "4,5 m"',
        "shelter.length",
        ["comma", '"4.5 m" if the comma marks the decimals.'],
    ),
    ('length = "4 m"', 'length = "4 metrs"', "shelter.length", ["metrs", "metres"]),
    ('length = "4 m"', 'length = "40 m"', "shelter.length", ["out of range", '"40 m"', "50 cm to 30 m"]),
    ('length = "4 m"', 'length = "200 ft"', "shelter.length", ["out of range", "1 ft 8 in to 98 ft 5 in"]),
    ('length = "4 m"', "length = true", "shelter.length", ["a length is wanted", "true"]),
    ('length = "4 m"', "length = [4]", "shelter.length", ["a length is wanted"]),
    ('length = "4 m"', "length = inf", "shelter.length", ["finite"]),
    ('"-10 degC"', '"-10 degrees"', "outdoors.steady", ["degrees", "degC", "degF"]),
    ('"-10 degC"', '"-100 degC"', "outdoors.steady", ["-70 degC to 60 degC"]),
    ('"-10 degC"', '"-10 m"', "outdoors.steady", ["a length", "a temperature"]),
    ('"40 %"', '"140 %"', "heat.radiant_share", ["out of range", "0 % to 100 %"]),
    ('"40 %"', "0.4", "heat.radiant_share", ["no unit", '"40 %"']),
    ('power = "800 W"', 'power = "800"', "heat.table[2].power", ["no unit"]),
    ('power = "800 W"', 'power = "1,500 W"', "heat.table[2].power", ['"1.500 W"', '"1500 W"']),
    # words and types
    (
        'shape = "wall tent"',
        'shape = "wal tent"',
        "shelter.shape",
        ["unknown shape", '"wall tent"', '"bell"'],
    ),
    ('"packed snow"', '"paked snow"', "site.ground", ["unknown ground", '"packed snow" or', "forest floor"]),
    ("invented = true", 'invented = "yes"', "invented", ["true or false", '"yes"']),
    ('name = "Test camp"', "name = 7", "name", ["a name is wanted", "quotes"]),
    ('name = "Test camp"', 'name = " "', "name", ["a name is wanted", "1 to 100 printable characters"]),
    ('name = "Test camp"', 'name = ""', "name", ["a name is wanted", "1 to 100 printable characters"]),
    ('name = "Test camp"', 'name = "Test\\tcamp"', "name", ["1 to 100 printable characters"]),
    ('name = "Test camp"', 'name = "Test\\ncamp"', "name", ["1 to 100 printable characters", "one line"]),
    ('name = "Test camp"', 'name = "\\u001b[31mcamp"', "name", ["1 to 100 printable characters"]),
    ('name = "Test camp"', 'name = "Test\u2028camp"', "name", ["1 to 100 printable characters"]),
    ('name = "Test camp"', 'name = "Test\u200bcamp"', "name", ["1 to 100 printable characters"]),
    ('name = "Test camp"', f'name = "{"x" * 101}"', "name", ["1 to 100 printable characters"]),
    ("format = 1", "format = 2", "format", ["Allowed: 1", "later"]),
    (
        '"packed snow"',
        '"packed snow"\nshelter_from_wind = "edge of timbr"',
        "site.shelter_from_wind",
        ['"edge of timber" meant', '"open ground" or'],
    ),
    ("[heat]", '[heat]\nstands = "in the corner"', "heat.stands", ['"in a corner"', '"free" or "at a wall"']),
    ("[heat]", '[model]\nleak_area = "0 m2"\n[heat]', "model.leak_area", ["out of range", "1 cm2 to 2 m2"]),
    ("format = 1", 'format = 1\nunits = "imperial"', "units", ['"us" or "si"']),
    ("[heat]", '[crew]\nasleep = "2"\n[heat]', "crew.asleep", ["whole number", "without quotes"]),
    ("[heat]", "[crew]\nasleep = 2.5\n[heat]", "crew.asleep", ["whole number", "0 to 20"]),
    ("[heat]", "[crew]\nasleep = 21\n[heat]", "crew.asleep", ["out of range", "0 to 20"]),
    ("[heat]", '[model]\nwalls = "1.2"\n[heat]', "model.walls", ["plain number", "0.3 to 3"]),
    ("[heat]", "[model]\nwalls = nan\n[heat]", "model.walls", ["plain number"]),
    ("[heat]", "[model]\nwalls = 9\n[heat]", "model.walls", ["out of range", "0.3 to 3"]),
    ("[heat]", "[model]\nlayers = 65\n[heat]", "model.layers", ["3 to 64"]),
    (
        'steady = "-10 degC"',
        'high = "5 degC"\nlow = { at = "06:00", air = "1 degC" }',
        "outdoors.high",
        ["a table"],
    ),
    ("[site]\nground", "[levels]\nhead = {}\n[site]\nground", "levels.head", ["a length is wanted"]),
    # skins and floors
    (
        'wall = ["10 oz/yd2 cotton canvas"]',
        'wall = "10 oz/yd2 cotton canvas"',
        "shelter.skin.wall",
        ["a list"],
    ),
    ('wall = ["10 oz/yd2 cotton canvas"]', "wall = []", "shelter.skin.wall", ["at least one layer"]),
    ('wall = ["10 oz/yd2 cotton canvas"]', "wall = [3]", "shelter.skin.wall[1]", ["text in quotes"]),
    (
        'wall = ["10 oz/yd2 cotton canvas"]',
        'wall = ["cotton canva"]',
        "shelter.skin.wall[1]",
        ['"cotton canvas"'],
    ),
    ('wall = ["10 oz/yd2 cotton canvas"]', 'wall = ["10 oz canvas"]', "shelter.skin.wall[1]", ["oz/yd2"]),
    ('"2 in air gap"', '"air gap"', "shelter.skin.roof[2]", ["thickness"]),
    ('"2 in air gap"', '"2 ft air gap"', "shelter.skin.roof[2]", ["2 mm to 300 mm"]),
    ('"2 in air gap"', '"2,5 cm air gap"', "shelter.skin.roof[2]", ["2.5 cm"]),
    ('"2 in air gap"', '"2 in air gap", "1 in air gap"', "shelter.skin.roof[3]", ["two air gaps"]),
    (', "polyester liner"', "", "shelter.skin.roof[2]", ["innermost"]),
    ('["10 oz/yd2 cotton canvas", "2', '["2', "shelter.skin.roof[1]", ["outermost"]),
    ('"2 in air gap", ', '"R 4.8 polyester quilt", ', "shelter.skin.roof[2]", ["R 4.8 us", "R 4.8 si"]),
    (
        "[heat]",
        "[shelter.floor]\nboard = 3\n[heat]",
        "shelter.floor.board",
        ["softwood boards", '"20 mm plywood"'],
    ),
    (
        "[heat]",
        '[shelter.window]\narea = "1 m2"\n[heat]',
        "shelter.window",
        ["several of these", "Write [[shelter.window]], with double brackets"],
    ),
    (
        "[heat]",
        '[model]\nwind = "3 m/s"\n[heat]',
        "model.wind",
        ["of this name: outdoors.wind, ", "Write it there"],
    ),
    (
        "[heat]",
        '[shelter.floor]\nmat = "closed-cell foam"\n[heat]',
        "shelter.floor.mat",
        ["thicknesses", "mm"],
    ),
    ("[heat]", '[shelter.floor]\nmat = "2 in air gap"\n[heat]', "shelter.floor.mat", ["cannot lie here"]),
    ("[heat]", '[shelter.floor]\nmat_area = "2 m2"\n[heat]', "shelter.floor.mat_area", ["without a mat"]),
    # sizes that do not go together
    ('ridge = "2.5 m"', 'ridge = "1.5 m"', "shelter.ridge", ["not above the wall"]),
    ("[heat]", '[levels]\ncot = "2.5 m"\n[heat]', "levels.cot", ["not below the peak", "2.50 m"]),
    ("[heat]", '[levels]\ncot = "-2 cm"\n[heat]', "levels.cot", ["out of range", "1 cm"]),
    ("[heat]", '[levels]\n"my bunk" = "3 m"\n[heat]', "levels.my bunk", ["not below the peak"]),
    ("[heat]", '[levels]\ncot = "none"\n[heat]', "levels.cot", ["always there"]),
    ("[heat]", '[shelter.contents]\nheight = "3 m"\n[heat]', "shelter.contents.height", ["2.50 m"]),
    ("[heat]", '[heat]\nto_height = "3 m"', "heat.to_height", ["above the peak", "2.50 m"]),
    ("[heat]", '[heat]\nto_height = "20 cm"', "heat.to_height", ["not above from_height"]),
    (
        "[heat]",
        '[shelter.floor]\nmat = "1 cm closed-cell foam"\nmat_area = "13 m2"\n[heat]',
        "shelter.floor.mat_area",
        ["larger than the floor", "12.0 m2"],
    ),
    ('"packed snow"', '"clay or silt"\nsnow_density = "200 kg/m3"', "site.snow_density", ["no snow"]),
    # times
    ('begin = "17:30"', 'begin = "5:30 pm"', "night.begin", ['"17:30"']),
    ('begin = "17:30"', 'begin = "1730"', "night.begin", ['"17:30"']),
    ('end = "07:30"', 'end = "24:00"', "night.end", ['"00:00"']),
    ('end = "07:30"', 'end = "17:30"', "night.end", ["no length"]),
    ('bed = "21:30"', 'bed = "07:31"', "wish.bed", ["outside the night", "17:30 to 07:30"]),
    ('bed = "21:30"', 'bed = "17:29"', "wish.bed", ["outside the night"]),
    ('bed = "21:30"', 'bed = "12:00"', "wish.bed", ["outside the night"]),
    ('bed = "21:30"', 'bed = "02:00"\nrise = "23:00"', "wish.rise", ["not after bed"]),
    ('at = "22:00"', 'at = "08:00"', "heat.table[2].at", ["outside the night"]),
    ('at = "22:00"', 'at = "17:30"', "heat.table[2].at", ["not after 17:30"]),
    ('evening = "2031-02-14"', 'evening = "2031-02-30"', "night.evening", ["no day"]),
    ('evening = "2031-02-14"', 'evening = "14.02.2031"', "night.evening", ["no date", "2031-02-14"]),
    ('evening = "2031-02-14"', "evening = 20310214", "night.evening", ["date in quotes"]),
    ('evening = "2031-02-14"', "evening = 2031-02-14", "night.evening", ["without quotes", '"2031-02-14"']),
    ('zone = "-07:00"', 'zone = "Europe/Berln"', "night.zone", ["Europe/Berlin"]),
    ('zone = "-07:00"', 'zone = "MST"', "night.zone", ["several clocks", 'for example "-07:00"']),
    ('zone = "-07:00"', "zone = -7", "night.zone", ["time zone in quotes"]),
    # the outdoor air
    (
        'steady = "-10 degC"',
        'high = { at = "15:00", air = "-5 degC" }\nlow = { at = "15:00", air = "-9 degC" }',
        "outdoors.low.at",
        ["same time"],
    ),
    (
        'steady = "-10 degC"',
        'high = { at = "15:00", air = "-9 degC" }\nlow = { at = "06:00", air = "-5 degC" }',
        "outdoors.low.air",
        ["above the high"],
    ),
    (
        'steady = "-10 degC"',
        'steady = "-10 degC"\nlow = { at = "06:00", air = "-5 degC" }',
        "outdoors.low",
        ["steady and low at once", "none"],
    ),
    ('steady = "-10 degC"', 'low = { at = "06:00", air = "-5 degC" }', "outdoors.low", ["low without high"]),
    ('steady = "-10 degC"', "", "outdoors", ["no outdoor temperature", "steady"]),
    # unknown keys
    ("[wish]", '[wish]\nbedd = "21:30"', "wish.bedd", ["unknown key", "bed meant"]),
    ("[wish]", "[wishes]", "wishes", ["unknown key", "wish meant"]),
    ("[heat]", '[shelter.contents]\nweight = "20 kg"\n[heat]', "shelter.contents.weight", ["Is mass meant?"]),
    ('length = "4 m"', 'length = "4 m"\nlenght = "4 m"', "shelter.lenght", ["Is length meant?"]),
    ('wall = "1.5 m"', 'sidewall = "1.5 m"', "shelter.sidewall", ["Is wall meant?"]),
    ("[wish]", '[cargo]\nmargin = "20 %"\n[wish]', "cargo", ["unknown key", "night, wish, levels"]),
    ("[wish]", '[stoking]\nair = "wide"\n[wish]', "stoking", ["no use without a stove", 'stoking = "none"']),
    ("[heat]", '[heat]\nname = "x"', "heat.name", ["at the top of the file"]),
    ("[wish]", '[wish]\nwind = "3 m/s"', "wish.wind", ["outdoors.wind"]),
    (
        'ridge = "2.5 m"',
        'ridge = "2.5 m"\npeak = "2 m"',
        "shelter.peak",
        ['A "wall tent" has no peak', "none"],
    ),
    (
        'at = "22:00", power',
        'at = "22:00", color = 3, power',
        "heat.table[2].color",
        ["unknown key", "at, power"],
    ),
    # missing keys
    ('length = "4 m"\n', "", "shelter.length", ["missing", "50 cm to 30 m", "length =", "[shelter]"]),
    ('evening = "2031-02-14"\n', "", "night.evening", ["missing", "date on which the night begins"]),
    ("format = 1\n", "", "format", ["missing", "format = 1"]),
    ('at = "22:00", power', "power", "heat.table[2].at", ["missing"]),
    ('shape = "wall tent"\n', "", "shelter.shape", ["no shape"]),
    ('wall = ["10 oz/yd2 cotton canvas"]\n', "", "shelter.skin.wall", ["missing", "[ ... ]"]),
    ('ground = "packed snow"', 'ground = "none"', "site.ground", ["missing"]),
]


@pytest.mark.parametrize(("old", "new", "key", "words"), VALUES)
def test_bad_values(tmp_path, old, new, key, words):
    text = spoilt(old, new)
    fault = the_fault(tmp_path, text)
    message = str(fault)
    assert fault.file == str(tmp_path / "camp.toml")
    assert fault.key == key
    for word in words:
        assert word in message
    if "missing" not in message and "no shape" not in message and "no outdoor" not in message:
        last = key.split(".")[-1].split("[")[0]
        assert last in text.split("\n")[fault.line - 1]


def test_table_and_file_of_heat_at_once(tmp_path):
    text = spoilt("[heat]", '[heat]\nfile = { path = "x.csv", power = "P", unit = "W" }')
    both, missing = faults(tmp_path, text)
    assert (both.key, both.what) == ("heat", "both table and file")
    assert (missing.key, missing.what) == ("heat.file.path", "the file does not exist")


def test_a_missing_table(tmp_path):
    text = TEXT[: TEXT.index("[shelter.skin]")] + TEXT[TEXT.index("[heat]") :]
    fault = the_fault(tmp_path, text)
    assert fault.key == "shelter.skin"
    assert fault.line == text.split("\n").index("[shelter]") + 1
    assert "Add the table [shelter.skin]" in fault.todo


def test_a_usual_level_above_a_low_peak_says_how_to_lower_it(tmp_path):
    fault = the_fault(tmp_path, spoilt('ridge = "2.5 m"', 'ridge = "1.6 m"'))
    assert (fault.key, fault.line) == ("levels.head", None)
    assert "1.7 m, the usual one" in str(fault)
    assert "under [levels]" in fault.todo


def test_a_usual_height_below_the_given_one_says_what_to_add(tmp_path):
    fault = the_fault(tmp_path, spoilt("[heat]", '[heat]\nfrom_height = "2 ft"'))
    assert fault.key == "heat.to_height"
    assert "0.60 m, the usual one" in str(fault) and "Add to_height = ..." in fault.todo


def test_every_error_at_once_in_the_order_of_the_file(tmp_path):
    text = TEXT
    for old, new in [
        ("invented = true", "invented = 1"),
        ('begin = "17:30"', 'begin = "17.30 Uhr"'),
        ('bed = "21:30"', 'bedd = "21:30"'),
        ('ground = "packed snow"', 'ground = "mud"'),
        ('length = "4 m"', 'length = "4"'),
        ('"2 in air gap"', '"2 in gap"'),
        ('power = "800 W"', 'power = "800 kg"'),
    ]:
        text = spoilt(old, new, text)
    found = faults(tmp_path, text)
    assert [fault.line for fault in found] == [3, 8, 12, 15, 23, 30, 36]


def test_faults_of_an_overlay_name_the_overlay(tmp_path):
    overlay = written(tmp_path, '[site]\n\nground = "mud"\n', "other.toml")
    fault = the_fault(tmp_path, overlays=[overlay])
    assert (fault.file, fault.line, fault.key) == (str(overlay), 3, "site.ground")


@pytest.mark.parametrize(
    ("setting", "key", "word"),
    [
        ("model.walls=9", "model.walls", "0.3 to 3"),
        ("model.walls=thick", "model.walls", "plain number"),
        ("outdoors.wind=5", "outdoors.wind", "no unit"),
        ("outdoors.wind=500 mph", "outdoors.wind", "55.9 mph"),
        ("outdoors.wnd=5 mph", "outdoors.wnd", "wind meant"),
        ("cargo.margin=20 %", "cargo", "unknown key"),
        ("width=5 m", "width", "of this name: shelter.width, "),
        ("stoking.air=wide", "stoking", "no use without a stove"),
        ("name= ", "name", "1 to 100 printable characters"),
        ("name", None, "no setting"),
        ("a..b=3", None, "no setting"),
        ("=3", None, "no setting"),
        ("site=3", "site", "a table is wanted"),
        ("shelter.skin.wall=canvas", "shelter.skin.wall", "a list"),
        ("heat.table=[]", "heat.table", "no entry"),
    ],
)
def test_faults_of_settings_name_them(tmp_path, setting, key, word):
    fault = the_fault(tmp_path, settings=[setting])
    assert (fault.file, fault.line, fault.key) == ("--set", None, key)
    assert word in str(fault)


def test_faults_of_replacements_name_them(tmp_path):
    scenario = load(written(tmp_path))
    with pytest.raises(InputError) as caught:
        scenario.replace({"model.walls": 9, "shelter.width": 3, "a b": 1})
    assert "a b" in str(caught.value)
    with pytest.raises(InputError) as caught:
        scenario.replace({"model.walls": 9, "shelter.width": 3})
    assert [(fault.file, fault.key) for fault in caught.value.faults] == [
        ("replace", "shelter.width"),
        ("replace", "model.walls"),
    ]


# text, line, words of the message
NO_TOML = [
    (
        spoilt('bed = "21:30"', "bed = 21:30"),
        LINES["bed"],
        ['21:30 stands without quotes. Put it in quotes: "21:30"'],
    ),
    (spoilt('bed = "21:30"', "bed = 21:30:00  # bed"), LINES["bed"], ["quotes"]),
    (spoilt('at = "22:00"', "at = 22:00"), LINES["table"] + 2, ["22:00", "quotes", "heat.table[2].at"]),
    (spoilt('steady = "-10 degC"', "steady = -10 degC"), LINES["steady"], ['Put it in quotes: "-10 degC"']),
    (spoilt('"-5 degC"', '"-5 degC'), LINES["ground_start"], ["no TOML", "A closing quote is missing"]),
    (
        spoilt('at = "22:00"', 'at = "22:00'),
        LINES["table"] + 2,
        ["no TOML", "A closing quote is missing in this line"],
    ),
    (
        spoilt('bed = "21:30"', "bed = \u201c21:30\u201d"),
        LINES["bed"],
        ["no TOML", 'Write straight quotes ("), not the curly ones'],
    ),
    (spoilt('length = "4 m"', "length = \u201e4 m\u201c"), LINES["length"], ['Write straight quotes (")']),
    (
        spoilt('name = "Test camp"', "name = \u2018Test camp\u2019"),
        LINES["name"],
        ['Write straight quotes (")'],
    ),
    (spoilt("[wish]", "[wish"), 11, ["no TOML", "[wish"]),
    (spoilt("[wish]", "[night]"), 11, ["no TOML", "twice"]),
    (spoilt('width = "3 m"', 'width = "3 m"\nwidth = "3 m"'), LINES["width"] + 1, ["given twice", "width"]),
    (
        spoilt('length = "4 m"', "length = 4,2"),
        LINES["length"],
        ["decimals with a point", "with its unit in quotes"],
    ),
    (spoilt('length = "4 m"', 'length = "4\' 7""'), LINES["length"], ["Write ft and in", '"4 ft 7 in"']),
    (spoilt('length = "4 m"', "length = '4''"), LINES["length"], ["Write ft and in"]),
    (spoilt('length = "4 m"', 'length: "4 m"'), LINES["length"], ["Write = between a key and its value"]),
    (spoilt('length = "4 m"', "length = True"), LINES["length"], ["Write true in small letters"]),
    (spoilt('length = "4 m"', "length = no"), LINES["length"], ["Write false in small letters"]),
    (spoilt('length = "4 m"', 'length = "4 m" measured'), LINES["length"], ["Begin a remark", "with #"]),
    ("<html>\n", 1, ["no TOML"]),
    (TEXT + "a = [1,\n", None, ["no TOML"]),
]


@pytest.mark.parametrize(("text", "line", "words"), NO_TOML)
def test_what_is_no_toml(tmp_path, text, line, words):
    fault = the_fault(tmp_path, text)
    assert fault.file == str(tmp_path / "camp.toml")
    if line is not None:
        assert fault.line == line
    for word in words:
        assert word in str(fault)


def test_several_bare_clock_times_and_other_faults_together(tmp_path):
    text = spoilt('begin = "17:30"', "begin = 17:30")
    text = spoilt('at = "22:00"', "at = 22:00", text)
    found = faults(tmp_path, spoilt('"packed snow"', '"mud # 21:30"', text))
    assert [fault.key for fault in found] == ["night.begin", "site.ground", "heat.table[2].at"]


def test_a_misspelt_table_is_told_before_the_keys_that_miss_it(tmp_path):
    found = faults(tmp_path, spoilt("[outdoors]", "[outdoor]"))
    assert [fault.key for fault in found] == ["outdoor", "outdoors"]
    assert "outdoors meant?" in str(found[0])


def test_files_that_cannot_be_read(tmp_path):
    camp = written(tmp_path)
    missing = tmp_path / "cmp.toml"
    latin = tmp_path / "latin.toml"
    latin.write_bytes(b'format = 1\nname = "caf\xe9"\n')
    for path, line, word in [
        (missing, None, 'Is "camp.toml" meant?'),
        (tmp_path / "no" / "x.toml", None, "no such file"),
        (tmp_path, None, "folder"),
        (latin, 2, "UTF-8"),
    ]:
        with pytest.raises(InputError) as caught:
            load(path)
        (fault,) = caught.value.faults
        assert (fault.file, fault.line) == (str(path), line)
        assert word in str(fault)
    with pytest.raises(InputError) as caught:
        load(missing, overlays=[camp, tmp_path], settings=["x"])
    assert [fault.file for fault in caught.value.faults] == [str(missing), str(tmp_path), "--set"]


def test_an_empty_file_names_every_missing_key(tmp_path):
    keys = {fault.key for fault in faults(tmp_path, "")}
    assert keys == {
        "format", "name", "night.evening", "night.zone", "night.begin", "night.end", "site.ground",
        "site.ground_start", "outdoors", "shelter.shape", "heat",
    }  # fmt: skip


def test_a_byte_order_mark_and_windows_line_ends_are_read(tmp_path):
    path = tmp_path / "camp.toml"
    path.write_bytes(b"\xef\xbb\xbf" + TEXT.replace("\n", "\r\n").encode())
    assert load(path) == load(written(tmp_path, name="other.toml"))

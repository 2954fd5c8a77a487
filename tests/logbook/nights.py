"""A folder with an invented camp, a night of it and a burn in the open, made by formulas."""

from math import exp, sin, tau

from tests.scenario.example import FIRE

LEVERS = {
    'marks = { shut = "4 %", 2 = "35 %", wide = "100 %" }': 'marks = { one = "15 %", 2 = "35 %", wide = "100 %" }',
    'bed = "21:30"': (
        'bed = "21:30"\nrise = "06:30"\ncot_at_least = "4 degC"\nhead_at_most = "35 degC"\ncot_at_rise = "8 degC"'
    ),
}
LOGS = """
[[log]]
evening = "2031-01-24"
file = "porch_night.csv"
notes = "porch_night_notes.csv"
zone = "-07:00"
clock_ahead = "4 min"
unit = "degF"
time = "Date/Time"
sensors = { CH1 = "head", CH2 = "cot", CH3 = "floor", CH4 = "outdoors", CH5 = "stove" }

[[log]]
evening = "2031-01-18"
shelter = "none"
file = "yard_burn.csv"
notes = "yard_burn_notes.csv"
zone = "-07:00"
unit = "degF"
time = "Date/Time"
sensors = { CH4 = "outdoors", CH5 = "stove" }
"""
NOTES = """\
time,load,air,damper,coals,remark
17:30,6 stick,wide,open,no,two matches
~18:32,3 split,,,yes,
21:20,"split=4, stick=1",,,yes,the long one
21:35,,one,across,,
01:11,?,wide,,no,"wind got up, door iced"
01:21,,one,,,
"""
BURN_NOTES = "time;load;air;coals\n13:10;2 split;wide;no\n14:30;1,4 kg;one;yes\n"
AHEAD = 4  # min, of the logger's clock
LOADS = ((0, 3.2), (62, 4.1), (230, 5.4), (461, 3.3))  # minutes after 17:30, share of heat
OF_LEVELS = (
    (12, 120, 26.0, 0),
    (25, 170, 12.5, 2),
    (40, 190, 4.0, 3),
)  # rise, fall [min], size, above outdoors


def after(t, loads, rise, fall, size):
    """What loads do: a rise and a fall, minutes after 17:30."""
    return sum(size * m * (exp(-(t - at) / fall) - exp(-(t - at) / rise)) for at, m in loads if t >= at)


def night(minute):
    """Readings of head, cot, floor, outdoors and stove [degF], minutes after 17:30."""
    out = 5.0 - 10.0 * sin(tau * (minute + 100) / 2900)
    levels = [out + above + after(minute, LOADS, *three) for *three, above in OF_LEVELS]
    return [*levels, out, out + after(minute, LOADS, 6, 60, 190.0)]


def camp(folder, text=FIRE, logs=LOGS):
    """Path of the scenario; its files stand beside it. The night has a gap of 40 min, a spike of the cot."""
    lines = ["Logger", "", "Date/Time,CH1,CH2,CH3,CH4,CH5"]
    for minute in range(-20, 830, 2):
        if not 400 < minute < 440:
            values = night(minute)
            values[1] += 40.0 * (minute == 280)
            hour, rest = divmod(17 * 60 + 30 + minute + AHEAD, 60)
            stamp = f"2031-01-{24 + hour // 24} {hour % 24:02d}:{rest:02d}"
            lines.append(",".join([stamp, *(f"{it:.2f}" for it in values)]))
    burn = ["Date/Time;CH4;CH5"]
    for minute in range(200):
        value = 20.0 + after(minute, ((10, 3.0), (90, 2.0)), 6, 60, 190.0)
        burn.append(
            f"2031-01-18 {13 + minute // 60}:{minute % 60:02d};{20 - minute // 40},0;{f'{value:.2f}'.replace('.', ',')}"
        )
    for name, content in (
        ("porch_night.csv", "\n".join(lines)),
        ("porch_night_notes.csv", NOTES),
        ("yard_burn.csv", "\n".join(burn)),
        ("yard_burn_notes.csv", BURN_NOTES),
    ):
        (folder / name).write_text(content, encoding="utf-8")
    for old, new in LEVERS.items():
        text = text.replace(old, new)
    path = folder / "bench.toml"
    path.write_text(text + logs, encoding="utf-8")
    return path

"""What-ifs of carbon monoxide in words: never a forecast, always with what is assumed and what to do."""

from collections.abc import Iterator

import xarray as xr

from simtent.assess import kinds
from simtent.assess.alarms import PATTERNS, Pattern, Sounding, earliest_minutes, latest_minutes
from simtent.assess.findings import Finding, Level
from simtent.assess.moments import clock, duration
from simtent.assess.spill import WhatIf, blood_after, what_if
from simtent.scenario.scenario import Scenario

HOURS = 8.0  # of the night that a meter's reading is taken to last
CEILING = 200.0  # ppm, NIOSH
LIMITS = (
    "WHO 2010: 35 mg/m3 (about 31 ppm at 25 degC) over 1 h, 10 mg/m3 (8.7 ppm) over 8 h; NIOSH: 200 ppm ceiling, "
    "1200 ppm immediately dangerous"
)
ADVICE = (
    "Carbon monoxide alarm on, one rated for the cold, placed as its maker says; vents open; never a "
    "burner without a flue; "
    "damper never shut over coals; someone awake while a fire burns. At the alarm, headache or "
    "nausea: everyone out, and "
    "call for help. None of it is a safety guarantee. The makers' manuals, local codes and licensed "
    "practice come first."
)
UNWARNED = (
    "a sleeper gets no warning, heart disease makes the same air worse, altitude leaves less oxygen besides"
)

NOTHING_SHOWN = kinds.METER_SHOWED_NOTHING.found(
    what="a meter showed no carbon monoxide; so does one that is frozen, worn out, or too coarse",
    where="where the meter hung",
    number="0 ppm",
    todo=f"Look up its rated temperature and its age. {ADVICE}",
)


def spill_findings(scenario: Scenario, dataset: xr.Dataset) -> Iterator[Finding]:
    """A caution with every share that is asked about, and one on what a meter showed."""
    if cases := what_if(scenario, dataset):
        yield kinds.SPILT_SHARES.found(
            what="what if a share of the flue's carbon monoxide came into the shelter all night? "
            "Nobody knows the share; one "
            f"part in a hundred is enough to matter; {UNWARNED}",
            where="at the cot",
            number="; ".join(_told(scenario, case) for case in cases),
            limit=LIMITS,
            todo=ADVICE,
        )
    if (shown := scenario.instruments.carbon_monoxide) is not None:
        yield _metered(scenario, shown) if shown > 0.0 else NOTHING_SHOWN


def _told(scenario: Scenario, case: WhatIf) -> str:
    alarms = ", ".join(
        f"{pattern.name} alarm {_sounds(scenario, case.alarm(pattern))}" for pattern in PATTERNS
    )
    return (
        f"{100.0 * case.share:g} % spilt: up to {_ppm(float(case.asleep.max()))}, blood of one at rest up to "
        f"{_percent(float(case.blood.max()))} carboxyhaemoglobin, {alarms}"
    )


def _metered(scenario: Scenario, ppm: float) -> Finding:
    """What it means if a reading lasted all night."""
    alarms = ", ".join(f"{pattern.name} alarm {_within(pattern, ppm)}" for pattern in PATTERNS)
    level: Level = "stop" if ppm >= CEILING else "caution"
    return kinds.METER_SHOWED.found(
        level=level,
        what=f"a meter showed carbon monoxide; what if it stayed so for {duration(3600.0 * HOURS)}? {UNWARNED}",
        where="where the meter hung",
        number=f"{_ppm(ppm)}: blood of one at rest {_percent(blood_after(scenario, ppm, HOURS))} carboxyhaemoglobin, "
        f"{alarms}",
        limit=LIMITS,
        todo=f"Any reading means that something leaks in: find it before anyone sleeps there. {ADVICE}",
    )


def _within(pattern: Pattern, ppm: float) -> str:
    earliest, latest = earliest_minutes(pattern, ppm), latest_minutes(pattern, ppm)
    if earliest is None:
        return "may never sound"
    if latest is None:
        return f"after {earliest:g} min at the earliest, and may never sound"
    return f"sounds after {earliest:g} to {latest:g} min"


def _sounds(scenario: Scenario, when: Sounding) -> str:
    """The interval in which it starts to sound."""
    if when.earliest is None:
        return "may never sound"
    begin = clock(scenario.night, when.earliest)
    if when.latest is None:
        return f"at {begin} at the earliest, and may never sound"
    return f"sounds between {begin} and {clock(scenario.night, when.latest)}"


def _ppm(value: float) -> str:
    """Two digits, since no more is known."""
    return f"{float(f'{value:.2g}'):.0f} ppm" if value >= 10.0 else f"{value:.1f} ppm"


def _percent(share: float) -> str:
    return f"{100.0 * share:.1f} %" if share < 0.1 else f"{100.0 * share:.0f} %"

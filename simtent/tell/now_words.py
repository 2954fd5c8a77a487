"""What to do now at night, in words: one sentence to act on, then the rest of the night, then what was taken for it."""

from collections.abc import Iterable, Iterator
from datetime import date, timedelta

from simtent.assess.cautions import standing
from simtent.assess.findings import Finding, from_dataset
from simtent.assess.moments import clock, duration
from simtent.assess.short import SHORT
from simtent.planning.choices import CATCHING, Levers
from simtent.planning.draft import Put
from simtent.planning.now import WARMER, Now
from simtent.planning.now_refused import FAR
from simtent.scenario.scenario import Scenario
from simtent.scenario.turns import Pieces
from simtent.tell.cautions import FOUND, block
from simtent.tell.words import paragraph, percent, wood_mass
from simtent.units import System, show

LABEL = 21  # width of the left column
ZERO_CELSIUS = 273.15
NO_GO = "NO PLAN IS GIVEN: with the best plan found a finding above says STOP after now. Mend that first."
MANUALS = "Makers' manuals, local codes and what you see of your fire come before this."
EXPECTED = 0.5  # chance of coals from which a night expects them
LEFT_OVER = 0.05  # kg that need no word; own choice
TOLD = 0.3  # K that a thermometer tells apart


def cautions(scenario: Scenario) -> list[str]:
    """The standing cautions, a line each: at night there is no time for more."""
    short = [*(SHORT[it] for it in standing(scenario) if it in SHORT), MANUALS]
    return [line for it in short for line in paragraph(it, first="CAUTION  ", rest=" " * 9)]


def told(
    scenario: Scenario,
    now: Now,
    system: System,
    always: Iterable[Finding],
    *,
    clock_read: bool,
    today: date | None = None,
) -> list[str]:
    """All there is to say, in lines of at most 80 characters."""
    known = set(always)
    found = [it for it in from_dataset(now.dataset) if it not in known]
    stops = [it for it in found if it.level == "stop"]
    lines = [*block(stops, FOUND), ""] if stops else []
    lines += _in_short(it for it in found if it.level == "caution")
    if now.stops:
        return [*lines, *paragraph(NO_GO)]
    return [
        *lines,
        *_heading(scenario, now, system, clock_read=clock_read),
        *another_day(scenario, today if clock_read else None),
        "",
        *paragraph(sentence(now, system)),
        *paragraph(_marks(now)),
        *_short_of(now, system),
        "",
        *_rest(now, system),
        "",
        *_taken(now, system),
    ]


def sentence(now: Now, system: System) -> str:
    """The one sentence to act on."""
    rise = clock(now.scenario.night, now.rest.rise)
    parts = [*_first(now, system), _cot(now, system)]
    if now.later:
        nxt = now.later[0]
        alarm = f"{clock(now.scenario.night, nxt.at)}"
        if now.put_now or now.kindling:
            parts.insert(-1, f"then sleep until {alarm}")
        else:
            parts.insert(
                0, f"sleep until {alarm}, then put on {_load(now, nxt, system)}; {_lights(now, nxt)}"
            )
    elif now.put_now or now.kindling:
        parts.insert(-1, f"then sleep until {rise}")
    text = "; ".join(parts).replace("without a fire; ", "without a fire ")
    return f"{text[0].upper()}{text[1:]}."


def _first(now: Now, system: System) -> Iterator[str]:
    """What is done at once, if anything is."""
    night, put = now.scenario.night, now.put_now
    if now.kindling:
        what = (
            f"light the fire again now, by hand, with kindling laid on top of the ash: {pieces(now.kindling)}"
        )
        yield (
            what
            if now.seen.glowing is False
            else f"{what} (nobody can count on the coals: {percent(now.chance)})"
        )
        if put:
            yield f"at {clock(night, put.at)}, when it burns, put on {_load(now, put, system)}"
    elif put:
        yield f"load now: {_load(now, put, system)}"
        yield _lights(now, put)
    elif now.lacking:
        yield (
            "the wood that is left does not light the fire again: that takes "
            f"{pieces(now.rest.first.pieces)}; without a fire"
        )
    elif not now.later:
        out = " without a fire" if now.seen.glowing is False else ""
        yield f"sleep until {clock(night, now.rest.rise)}{out}: no load is needed"


def _lights(now: Now, put: Put) -> str:
    """Whether coals light a load."""
    if put.at == now.rest.seen_glowing:
        return "the coals that glow light it"
    if now.beside < -FAR and not now.by_hand:
        return "whether coals light it nobody knows, for the cot is so much colder than the night"
    index = now.draft.puts.index(put)
    return f"coals light it with a chance of {percent(min(now.promised.chances[index], 0.99))}"


def _cot(now: Now, system: System) -> str:
    """What the thermometer at the cot will do."""
    night = now.scenario.night
    lowest, at = now.coldest()
    rise = clock(night, now.rest.rise)
    end = f"{_degrees(now.cot_at(now.rest.rise), system)} at {rise}"
    if now.lacking:
        return f"the cot falls to {_degrees(lowest, system)} at {clock(night, at)}"
    if at >= now.rest.rise:
        return f"the cot gets no colder than {end}"
    if at <= now.seen.at and now.beside - now.offset >= TOLD:
        return f"the cot gets no colder than {_degrees(lowest, system)}, and reads {end}"
    if at <= now.seen.at:
        return f"the cot gets no colder than it is, and reads {end}"
    return f"the cot falls to {_degrees(lowest, system)} at {clock(night, at)} and reads {end}"


def _load(now: Now, put: Put, system: System) -> str:
    """A load and the marks it is turned down to: "3 split (8.1 lb), then air one (20 %)"."""
    wood = now.scenario.wood
    assert wood is not None
    mass = wood_mass(sum(wood.load_masses(put.pieces).values()), system)
    return f"{pieces(put.pieces)} ({mass}), {CATCHING / 60.0:.0f} min later {_levers(now, put.levers)}"


def _marks(now: Now) -> str:
    """How the levers stand until a load has caught."""
    if not now.draft.puts and not now.kindling:
        return ""
    return (
        f"Until a load has caught, {CATCHING / 60.0:.0f} min, {_levers(now, now.rest.wide)}. Stay up for it."
    )


def pieces(load: Pieces) -> str:
    """Counts of pieces: "3 split, 1 stick"."""
    return ", ".join(f"{it} {name}" if isinstance(it, int) else f"{it:.1f} kg {name}" for name, it in load)


def _levers(now: Now, levers: Levers) -> str:
    stove = now.scenario.stove
    assert stove is not None
    text = f"air {levers.air} ({percent(stove.air.marks[levers.air])})"
    if stove.damper is not None and levers.damper is not None:
        text += f", damper {levers.damper} ({percent(stove.damper.marks[levers.damper])})"
    return text


def _heading(scenario: Scenario, now: Now, system: System, *, clock_read: bool) -> list[str]:
    """Whose night it is, what the time is, what the cot reads and should read."""
    night = scenario.night
    invented = " (invented)" if scenario.invented else ""
    whose = " by this computer's clock" if clock_read else ""
    first = f"NOW, {clock(night, now.seen.at)}{whose}  {scenario.name}{invented}, night of {night.evening}"
    lines = paragraph(first)
    if now.seen.cot is None:
        text = f"The cot should read {_degrees(now.model, system)}: look, and give it with --cot."
    else:
        text = f"The cot reads {_degrees(now.seen.cot, system)}, {_beside(now, system)}"
    return [*lines, *paragraph(text)]


def another_day(scenario: Scenario, today: date | None) -> list[str]:
    """A word where this computer's date is neither the night's evening nor its morning."""
    evening = scenario.night.evening
    if today is None or evening <= today <= evening + timedelta(days=1):
        return []
    return paragraph(
        f"By this computer it is {today}, no day of this night: the time alone is taken from it."
    )


def _beside(now: Now, system: System) -> str:
    """The reading beside the night as simulated, and what is made of it."""
    gap = show(abs(now.beside), "temperature_difference", system, 0 if system == "us" else 1)
    should = _degrees(now.model, system)
    if abs(now.beside) < TOLD:
        return f"as this night has it ({should})."
    how = "below" if now.beside < 0.0 else "above"
    text = f"{gap} {how} this night ({should}): {_counted(now, system)}."
    if abs(now.beside) > FAR:
        text += " So much is odd: look at thermometer, door, vents and fire, and at the loads below."
    return text


def _counted(now: Now, system: System) -> str:
    """What of a reading counts for the rest."""
    if now.beside < 0.0:
        return "all that follows is judged so much colder"
    if now.offset == 0.0:
        return "nothing that follows is judged warmer for it, for the fire is taken as out"
    if now.beside <= WARMER:
        return "all that follows is judged so much warmer"
    most = show(WARMER, "temperature_difference", system, 0 if system == "us" else 1)
    return f"what follows is judged warmer by {most} alone, for nobody knows that it lasts"


def _short_of(now: Now, system: System) -> list[str]:
    """By how much the rest misses the wish, whatever is done."""
    words = {
        "cot": "From {} on the cot gets {} colder than asked, and nothing found mends it.",
        "rise": "At rise, {}, the cot is {} colder than asked.",
    }
    lines, night = [], now.scenario.night
    since = {"cot": clock(night, now.rest.judged_from), "rise": clock(night, now.rest.rise)}
    for name, text in words.items():
        if now.broken.get(name, 0.0) >= TOLD:
            gap = show(now.broken[name], "temperature_difference", system, 0 if system == "us" else 1)
            lines += paragraph(text.format(since[name], gap))
    if now.broken.keys() & {"stove", "jack", "fullest", "cool"}:
        lines += paragraph("Stove, pipe or flue go beyond what practice allows: see the findings above.")
    if "coals" in now.broken:
        lines += paragraph("Coals may not light every load: lay kindling ready.")
    return lines


def _rest(now: Now, system: System) -> list[str]:
    """The rest of the night, a row for each load."""
    night = now.scenario.night
    lines = [f"THE REST OF THE NIGHT, rise {clock(night, now.rest.rise)}"]
    if not now.draft.puts:
        return [*lines, "   no load"]
    for put in now.draft.puts:
        mark = " * " if put in now.later else "   "
        head = f"{mark}{clock(night, put.at):<7}cot {_degrees(now.cot_at(put.at), system):<9}"
        lines += paragraph(
            f"{_load(now, put, system)}; {_lights(now, put)}", first=head, rest=" " * len(head)
        )
    return [*lines, *(paragraph("* get up", first="   ") if now.later else [])]


def _taken(now: Now, system: System) -> list[str]:
    """What was taken for it, and what it is not."""
    night = now.scenario.night
    put_on = ", ".join(f"{clock(night, it.at)} {pieces(it.pieces)}" for it in now.past.loads)
    pairs = [("Taken as put on", put_on)]
    if (moved := now.past.moved) is not None:
        to = clock(night, now.past.loads[-1].at)
        pairs.append(
            ("Taken as moved", f"{clock(night, moved.at)} {pieces(moved.pieces)} of the file, to {to}")
        )
    if now.past.missed:
        missed = ", ".join(f"{clock(night, it.at)} {pieces(it.pieces)}" for it in now.past.missed)
        pairs.append(
            ("Taken as not put on", f"{missed}, as the file has it. Is that so? Else give --last-load")
        )
    pairs.append(("Coals by the night", _coals(now)))
    if now.out and now.out.wood + now.out.coals > LEFT_OVER:
        lies = wood_mass(now.out.wood + now.out.coals, system)
        what = f"from now on nothing burns of the {lies} that lie there by the night; take it out, or load so much less"
        pairs.append(("Taken as out", what))
    lines = []
    for label, text in pairs:
        lines += paragraph(text, first=label.ljust(LABEL), rest=" " * LABEL)
    text = (
        f"Found by {now.nights} simulated nights, each with what was put on until now. A reading that differs is taken "
        "for a thermometer, air or wood that differ alike until rise; nobody knows which. Calculated, not measured."
    )
    return [*lines, *paragraph(text)]


def _coals(now: Now) -> str:
    """Whether coals light a load by the night as simulated, beside what somebody saw."""
    since = duration(now.seen.at - now.past.loads[-1].at)
    text = f"{percent(min(now.chance, 0.99))}, {since} after the last load"
    if now.beside < -FAR and not now.out:
        return f"not told, {since} after the last load: the cot is so much colder than the night"
    if now.out and now.chance >= EXPECTED:
        return f"{text}: it expected them alive, so that it runs too hot; give what the cot reads with --cot"
    return text


def _in_short(findings: Iterable[Finding]) -> list[str]:
    """Cautions of this night by their place and matter alone."""
    lines = []
    for it in findings:
        place = ", ".join(part for part in (it.where, it.when) if part)
        lines += paragraph(f"{place}: {it.what}" if place else it.what, first="CAUTION  ", rest=" " * 9)
    if lines:
        lines += ["         Found in this night; whole with: simtent night, the overlay by --with", ""]
    return lines


def _degrees(celsius: float, system: System) -> str:
    return show(celsius + ZERO_CELSIUS, "temperature", system, 0)

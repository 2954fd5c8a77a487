"""Pictures of what the public functions return, each a matplotlib `Figure`.

A night is simulated and drawn:

>>> import simtent
>>> scenario = simtent.load("scenarios/larch_bench.toml")
>>> night = simtent.simulate(scenario)
>>> figure = simtent.pictures.night(scenario, night)
>>> figure.savefig("night.svg")  # doctest: +SKIP

Every function takes what the matching public function returned, and the scenario that was given to it where the answer
does not hold it; `units` are "us" or "si", by default the scenario's. A figure belongs to no window and is kept by
nobody: it goes when its name goes. `savefig` writes .png, .svg and .pdf as the verbs do by `--picture`, with the
scenario's name in the file. A picture that was made for a phone is 3.9 in wide; standing cautions stand on it.
"""

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, get_args

from simtent.errors import Fault, InputError
from simtent.units import System

if TYPE_CHECKING:
    import xarray as xr
    from matplotlib.figure import Figure

    from simtent.calibrate.calibrated import Calibrated
    from simtent.calibrate.judge import Judgement
    from simtent.logbook.logged import Logged
    from simtent.planning.card import Card
    from simtent.planning.outcome import Plan
    from simtent.scenario.scenario import Scenario
    from simtent.sizing.answer import Answer
    from simtent.supply.supplied import Supply

__all__ = [
    "air",
    "card",
    "compare",
    "fit",
    "heights",
    "log",
    "night",
    "plan",
    "stove",
    "study",
    "vent",
    "wood",
]

SYSTEMS: tuple[System, ...] = get_args(System)
MOST_PROFILES = 3  # that stay legible beside each other


def night(scenario: "Scenario", dataset: "xr.Dataset", *, units: System | None = None) -> "Figure":
    """A night: temperatures at every level [degC or degF], heat release, wood and coals over the hours.

    Parameters
    ----------
    scenario : Scenario
        What was simulated.
    dataset : xarray.Dataset
        From `simtent.simulate`.
    units : "us" or "si", optional
        What is shown.

    Raises
    ------
    InputError
        Other units.

    Examples
    --------
    >>> import simtent
    >>> scenario = simtent.load("scenarios/larch_bench.toml")
    >>> figure = night(scenario, simtent.simulate(scenario), units="si")
    >>> [text.get_text() for text in figure.texts if "air temperature" in text.get_text()]
    ['night of 2031-02-14, air temperature in degC']
    """
    from simtent.tell import figure, frame  # noqa: PLC0415  (the drawing library waits until something is drawn)

    system = _system(scenario, units)
    return frame.picture(scenario, lambda: figure.draw(scenario, dataset, system))


def air(scenario: "Scenario", dataset: "xr.Dataset", at: str, *, units: System | None = None) -> "Figure":
    """How the air moves at one moment: the shelter cut open, layers, streams and openings [g/s].

    Parameters
    ----------
    scenario, dataset, units
        As for `night`.
    at : str
        Clock time of the night, "03:00"; the nearest in the Dataset is drawn.

    Raises
    ------
    InputError
        A stove in the open; a time that the night does not have; other units.

    Examples
    --------
    >>> import simtent
    >>> scenario = simtent.load("scenarios/larch_bench.toml")
    >>> figure = air(scenario, simtent.simulate(scenario), "03:00")
    """
    from simtent.tell import flows, frame  # noqa: PLC0415

    _refuse_the_open(scenario)
    system, seconds = _system(scenario, units), scenario.night.seconds_at(at)
    return frame.picture(scenario, lambda: flows.draw(scenario, dataset, system, seconds))


def heights(
    scenario: "Scenario", dataset: "xr.Dataset", at: Sequence[str] = (), *, units: System | None = None
) -> "Figure":
    """A night from floor to peak: air temperature by height over the hours, and profiles at some times.

    Parameters
    ----------
    scenario, dataset, units
        As for `night`. With [damp] in the scenario the profiles show dew points too.
    at : sequence of str
        Clock times of the profiles, three at most; without them when the head is hottest and the cot coldest in bed.

    Raises
    ------
    InputError
        A stove in the open; more than three times, or one that the night does not have; other units.

    Examples
    --------
    >>> import simtent
    >>> scenario = simtent.load("scenarios/larch_bench.toml")
    >>> figure = heights(scenario, simtent.simulate(scenario), ["22:00", "05:00"])
    """
    from simtent.tell import frame, heights_picture  # noqa: PLC0415
    from simtent.tell.heights import usual_moments  # noqa: PLC0415

    _refuse_the_open(scenario)
    if isinstance(at, str) or len(at) > MOST_PROFILES:
        todo = f'Give up to {MOST_PROFILES} times in a list, such as ["22:00", "05:00"]'
        raise InputError(
            Fault("so many profiles do not fit beside each other", "at", value=str(at), todo=todo)
        )
    system = _system(scenario, units)
    moments = [
        heights_picture.Shown(seconds) for seconds in sorted({scenario.night.seconds_at(it) for it in at})
    ]
    shown = moments or usual_moments(scenario, dataset)
    return frame.picture(scenario, lambda: heights_picture.draw(scenario, dataset, system, shown))


def vent(
    nights: "Mapping[float, tuple[Scenario, xr.Dataset]]", name: str = "vent", *, units: System | None = None
) -> "Figure":
    """What opening a vent does: felt temperature at the cot when coldest in bed, water on the skin in the morning [g].

    Parameters
    ----------
    nights : mapping
        By the share of the vent that is open [-], 0 to 1: a scenario with [damp], and its Dataset.
    name : str
        How the vent is called.
    units
        As for `night`, of the first scenario.

    Raises
    ------
    InputError
        Fewer than two nights, a share outside 0 to 1, a stove in the open; other units.

    Examples
    --------
    >>> import simtent
    >>> given = simtent.load("scenarios/larch_bench.toml").replace("damp", {})
    >>> both = {it: given.replace("shelter.openings.ridge_vent.open", f"{100 * it} %") for it in (0.25, 1.0)}
    >>> figure = vent({it: (one, simtent.simulate(one)) for it, one in both.items()}, "ridge vent")
    """
    from simtent.tell import frame, heights_vent  # noqa: PLC0415
    from simtent.tell.compared import Comparison, Other  # noqa: PLC0415

    todo = "Give two or more, by shares from 0 to 1"
    if len(nights) < 2:
        raise InputError(
            Fault(f"{len(nights)} nights cannot be held against each other", "nights", todo=todo)
        )
    if outside := [share for share in nights if not 0.0 <= share <= 1.0]:
        raise InputError(Fault("no such share of a vent", "nights", value=str(outside[0]), todo=todo))
    others = [Other(f"{100.0 * share:g} %", *nights[share], share) for share in sorted(nights)]
    scenario = others[0].scenario
    for it in others:
        _refuse_the_open(it.scenario)
    system = _system(scenario, units)
    return frame.picture(scenario, lambda: heights_vent.draw(Comparison(name, tuple(others)), system))


def log(scenario: "Scenario", logged: "Logged", *, units: System | None = None) -> "Figure":
    """A logged night: readings, stove and pipe, wood put on, the air. Nothing is simulated.

    Parameters
    ----------
    scenario : Scenario
        That names the log.
    logged : Logged
        From `simtent.read_log`.
    units
        As for `night`.

    Raises
    ------
    InputError
        The scenario of that night cannot be built; other units.

    Examples
    --------
    >>> import simtent
    >>> scenario = simtent.load("scenarios/alder_ford.toml")
    >>> figure = log(scenario, simtent.read_log(scenario, 1))
    """
    from simtent.tell import frame, logged_picture  # noqa: PLC0415
    from simtent.tell.evening import Evening  # noqa: PLC0415

    evening = Evening.of(scenario, logged, _system(scenario, units))
    return frame.picture(scenario, lambda: logged_picture.draw(evening))


def fit(
    found: "Calibrated", held_out: "Sequence[Judgement]" = (), *, units: System | None = None
) -> "Figure":
    """A fit: logged nights with their fitted lines and ranges, numbers with theirs, what is left over.

    Parameters
    ----------
    found : Calibrated
        From `simtent.calibrate`.
    held_out : sequence of Judgement
        Nights that were not fitted to, from `simtent.calibrate.judge.judge(found, evening)`.
    units
        As for `night`.

    Raises
    ------
    InputError
        Other units.

    Examples
    --------
    >>> import simtent
    >>> camp = simtent.load("scenarios/alder_ford.toml")
    >>> figure = fit(simtent.calibrate(camp))  # doctest: +SKIP
    """
    from simtent.tell import fit_picture, frame  # noqa: PLC0415

    system = _system(found.scenario, units)
    return frame.picture(found.scenario, lambda: fit_picture.draw(found, held_out, system))


def plan(scenario: "Scenario", planned: "Plan", *, units: System | None = None) -> "Figure":
    """A stoking plan: the planned night, its loads, and wake-ups against warmth and wood.

    Parameters
    ----------
    scenario : Scenario
        That was planned for.
    planned : Plan
        From `simtent.plan_stoking`.
    units
        As for `night`.

    Raises
    ------
    InputError
        Other units.

    Examples
    --------
    >>> import simtent
    >>> scenario = simtent.load("scenarios/alder_ford.toml")
    >>> figure = plan(scenario, simtent.plan_stoking(scenario))  # doctest: +SKIP
    """
    from simtent.tell import frame, stoke_picture  # noqa: PLC0415

    system = _system(scenario, units)
    return frame.picture(scenario, lambda: stoke_picture.draw(scenario, planned, system))


def card(made: "Card", *, paper: bool = False) -> "Figure":
    """A stoking card: white on black for a phone's screen, or on pocket paper between cut marks.

    Parameters
    ----------
    made : Card
        From `simtent.stoking_card`, which has its units.
    paper : bool
        A page to be printed at 100 % and cut.

    Examples
    --------
    >>> import simtent
    >>> made = simtent.stoking_card(simtent.load("scenarios/alder_ford.toml"))  # doctest: +SKIP
    >>> card(made, paper=True).savefig("card.pdf")  # doctest: +SKIP
    """
    from simtent.tell import card_picture, frame  # noqa: PLC0415

    draw = card_picture.on_paper if paper else card_picture.on_phone
    return frame.picture(made.scenario, lambda: draw(made))


def stove(scenario: "Scenario", found: "Answer", *, units: System | None = None) -> "Figure":
    """Is the stove big enough: heat needed [kW or 1000 Btu/h] over outdoor air, and what each firebox holds.

    Parameters
    ----------
    scenario : Scenario
        Whose shelter was asked about.
    found : Answer
        From `simtent.size_stove`.
    units
        As for `night`.

    Raises
    ------
    InputError
        Other units.

    Examples
    --------
    >>> import simtent
    >>> scenario = simtent.load("scenarios/alder_ford.toml")
    >>> figure = stove(scenario, simtent.size_stove(scenario, [255.0]))  # doctest: +SKIP
    """
    from simtent.tell import frame, stove_picture  # noqa: PLC0415

    system = _system(scenario, units)
    return frame.picture(scenario, lambda: stove_picture.draw(scenario, found, system))


def wood(supply: "Supply", *, units: System | None = None) -> "Figure":
    """The wood of a trip: a bar for each night, its pieces by kind, and what to take.

    Parameters
    ----------
    supply : Supply
        From `simtent.wood`.
    units
        As for `night`.

    Raises
    ------
    InputError
        Other units.

    Examples
    --------
    >>> import simtent
    >>> figure = wood(simtent.wood(simtent.load("scenarios/sedge_hollow.toml")))  # doctest: +SKIP
    """
    from simtent.tell import frame, wood_picture  # noqa: PLC0415

    system = _system(supply.scenario, units)
    return frame.picture(supply.scenario, lambda: wood_picture.draw(supply, system))


def compare(scenario: "Scenario", compared: "xr.Dataset", *, units: System | None = None) -> "Figure":
    """Variants held against a scenario: the cot's temperature of each, the base's in grey.

    Parameters
    ----------
    scenario : Scenario
        The base.
    compared : xarray.Dataset
        From `simtent.compare`, of fewer variants by `compared.sel(variant=["base", ...])`.
    units
        As for `night`.

    Raises
    ------
    InputError
        No variant beside the base; other units.

    Examples
    --------
    >>> import simtent
    >>> scenario = simtent.load("scenarios/larch_bench.toml")
    >>> figure = compare(scenario, simtent.compare(scenario, "calm: outdoors.wind=1 mph", draws=0))
    """
    from simtent.tell import compared_picture, frame  # noqa: PLC0415

    _refuse_the_open(scenario)
    if compared.sizes.get("variant", 0) < 2:
        todo = 'Keep the base and one variant at least: compared.sel(variant=["base", ...])'
        raise InputError(Fault("nothing to hold against the base", "compared", todo=todo))
    system = _system(scenario, units)
    return frame.picture(scenario, lambda: compared_picture.draw(scenario, compared, system))


def study(
    scenario: "Scenario", solved: "xr.Dataset", outputs: Sequence[str] = (), *, units: System | None = None
) -> "Figure":
    """A study by factor: for each output a bar for each factor, the longest on top.

    Parameters
    ----------
    scenario : Scenario
        That was varied; the first, where there were several.
    solved : xarray.Dataset
        From `simtent.survey`, or by `simtent.open_study` from a folder that a study file laid out.
    outputs : sequence of str
        Three at most are drawn, "lowest_in_bed at cot" without any.
    units
        As for `night`.

    Raises
    ------
    InputError
        Nothing says how the study was laid out, no night of it is solved, an output that its nights do not hold; other
        units.

    Examples
    --------
    >>> import simtent
    >>> scenario = simtent.load("scenarios/larch_bench.toml")
    >>> figure = study(scenario, simtent.survey("sweep.toml"), ["lowest_in_bed at cot"])  # doctest: +SKIP
    """
    from simtent.surveys.opened import opened  # noqa: PLC0415
    from simtent.surveys.outputs import output  # noqa: PLC0415
    from simtent.tell import frame, study_picture  # noqa: PLC0415
    from simtent.tell.study_answers import answers  # noqa: PLC0415

    found = opened(solved, [output(text) for text in outputs])
    if not solved.attrs.get("solved"):
        raise InputError(
            Fault("no night of this study is solved", "solved", todo="Solve it by simtent.survey")
        )
    system, told = _system(scenario, units), answers(found)
    return frame.picture(scenario, lambda: study_picture.draw(scenario, found, told, system))


def _system(scenario: "Scenario", units: System | None) -> System:
    if units is None:
        return scenario.units
    if units not in SYSTEMS:
        raise InputError(
            Fault("no such units", "units", value=str(units), allowed=", ".join(SYSTEMS), todo="Take one")
        )
    return units


def _refuse_the_open(scenario: "Scenario") -> None:
    if scenario.shelter is None:
        what = "a stove in the open has no room that could be drawn"
        raise InputError(
            Fault(what, str(scenario.path), key="shelter", todo="Draw it by simtent.pictures.night")
        )

"""A fit in words: the logs it took, the numbers it found, what stays open, what would help, how well it foretells."""

from collections.abc import Iterator, Mapping, Sequence

from simtent.calibrate.calibrated import Calibrated, Residuals
from simtent.calibrate.helpful import Help
from simtent.calibrate.judge import Judged, Judgement
from simtent.calibrate.left_open import left_open
from simtent.identify.profile import Profile
from simtent.tell.words import paragraph
from simtent.units import System, show

NAME, PLACE = 27, 16
MOST_HELPS = 3
FAR = 1.9  # deviations
WORTH = 0.97  # a measurement that narrows the prediction by less is not named
AS_GOOD = 0.05  # share of the misfit by which starts may differ and still have ended at the same numbers
COLDER = 0.5  # K beyond the logs, from which it is said


def told(
    found: Calibrated,
    profiled: Mapping[str, Profile],
    helps: Sequence[Help],
    judged: Sequence[Judgement],
    system: System,
) -> list[str]:
    """Everything that a fit has to say, in lines of at most 80 characters."""
    return [
        *logs(found, system),
        "",
        *numbers(found),
        "",
        *errors(found, system),
        "",
        *open_ends(found, helps),
        *profile_lines(found, profiled),
        *(line for judgement in judged for line in ("", *judgement_lines(judgement, system))),
        "",
        *trust(found, system),
    ]


def logs(found: Calibrated, system: System) -> list[str]:
    """Which nights were taken, what the reader mended, what was left out."""
    coldest, warmest = (show(kelvin, "temperature", system, 0) for kelvin in found.outdoors)
    nights = ", ".join(_named(night) for night in found.nights)
    lines = paragraph(
        f"FITTED TO {len(found.nights)} logs ({nights}): {found.readings} readings, outdoors {coldest} to {warmest}."
    )
    for night in found.nights:
        mended, doubtful = len(night.logged.repairs), len(night.logged.doubts)
        text = f"{night.label}: {mended} kinds of repairs, {doubtful} doubts; simtent log tells each with its count."
        lines += paragraph(text, first="  ", rest="    ")
    for sentence in found.told:
        lines += paragraph(sentence, first="  ", rest="    ")
    return lines


def _named(night: object) -> str:
    label = getattr(night, "label", "")
    return f"{label}, in the open" if getattr(night, "logged").in_the_open else f"{label}"  # noqa: B009


def numbers(found: Calibrated) -> list[str]:
    """A table of every number: what was believed, what was found, its range, what the log says of it."""
    lines = [f"{'NUMBERS':<{NAME}}{'believed':>16}{'found':>10}{'nine in ten':>21}", ""]
    for one in found.sought:
        low, high = found.posterior.interval(one.name)
        believed = f"{figure(one.median)} {one.before}"
        row = f"{one.name[: NAME - 1]:<{NAME}}{believed:>16}{figure(found.posterior.value(one.name)):>10}"
        row += f"{f'{figure(low)} to {figure(high)}':>21} {'' if one.unit == '1' else one.unit}"
        lines.append(row.rstrip() + ("" if found.posterior.narrowed(one.name) else "  *"))
        if len(one.name) >= NAME:
            lines += [f"  ({one.name})"]
    note = (
        "believed: before any log was read, and one standard deviation of it. * the log says next to nothing of it: it "
        "stays at what was believed. nine in ten: if the model were right but for errors like those below; what it "
        "lacks goes into these numbers too: they make this model tell your nights, and are not what a tape would show. "
        "Sources of the beliefs: simtent explain KEY."
    )
    return [*lines, "", *paragraph(note), *_far(found)]


def _far(found: Calibrated) -> list[str]:
    """Numbers of the scenario that ended far from what was believed."""
    names = [
        one.name
        for one, z in zip(found.sought, found.posterior.z, strict=True)
        if abs(z) > FAR and not one.sensor
    ]
    if not names:
        return []
    return paragraph(
        f"FAR FROM WHAT WAS BELIEVED: {', '.join(names)}. Something was not told (an opening, other wood), "
        "or the model makes up for what it lacks."
    )


def figure(value: float) -> str:
    """A number with three digits, and never with an exponent above a thousand."""
    if abs(value) >= 999.5:
        return f"{value:.0f}"
    return f"{value:.3g}" if abs(value) >= 0.01 or value == 0.0 else f"{value:.5f}"


def errors(found: Calibrated, system: System) -> list[str]:
    """How far each sensor's readings are from the fitted night, and how long an error lasts."""
    lines = [f"{'MISSES':<{NAME}}{'rms':>10}{'lasts':>12}"]
    for place in found.misfit.places:
        lines += [_miss(one, system) for one in found.residuals if one.place == place]
    note = (
        "rms: root of the mean squared difference of readings and fitted night. lasts: how long a difference keeps its "
        "sign; readings closer than that tell little more than one."
    )
    return [*lines, "", *paragraph(note)]


def _miss(one: Residuals, system: System) -> str:
    where = f"{one.place}, {one.night.label}"
    return f"{where:<{NAME}}{_kelvins(one.rmse, system):>10}{_minutes(one):>12}"


def _minutes(one: Residuals) -> str:
    return f"{one.memory / 60.0:.0f} min"


def open_ends(found: Calibrated, helps: Sequence[Help]) -> list[str]:
    """What the logs cannot tell, and which further measurement would help most."""
    lines = ["WHAT THE LOGS CANNOT TELL", ""]
    for sentence in left_open(found.posterior) or ("Nothing that is sought stays open by much.",):
        lines += paragraph(sentence, first="- ", rest="  ")
    worth = [it for it in helps if it.narrows < WORTH or it.most[1] < WORTH][:MOST_HELPS]
    if helps:
        lines += [
            "",
            *paragraph("MORE THAT COULD BE MEASURED, in one more night like the last, computed:"),
            "",
        ]
    for it in worth:
        lines += paragraph(_helps(it), first="- ", rest="  ")
    if helps and not worth:
        lines += paragraph(
            "none of those looked at would narrow the cot's temperature or a number by 3 %.", first="- "
        )
    return lines


def _helps(it: Help) -> str:
    name, ratio = it.most
    cot = _percent(1.0 - it.narrows)
    return f"{it.what}: the cot's mean temperature {cot} narrower, {name} {_percent(1.0 - ratio)}."


def profile_lines(found: Calibrated, profiled: Mapping[str, Profile]) -> list[str]:
    """How far numbers that trade with others may go, all others following; the bell curve is not trusted for them."""
    lines: list[str] = []
    for name, one in profiled.items():
        k = found.posterior.index(name)
        low, high = (found.sought[k].value(end) for end in one.interval())
        words = " ".join(one.words(name))
        text = f"{name}, all others following: {figure(low)} to {figure(high)} in nine cases of ten. {words}"
        lines += paragraph(text.strip(), first="- ", rest="  ")
    return ["", "HOW FAR THEY MAY GO", "", *lines] if lines else []


def judgement_lines(judged: Judgement, system: System) -> list[str]:
    """A night that the fit has not seen, against what was foretold, and against simple predictions."""
    night = judged.expected.night
    lines = [
        f"FORETOLD, NOT FITTED TO: {night.logged.evening}",
        "",
        f"{'':<{PLACE}}{'rms':>11}{'mean':>12}{'in range':>10}{'usual rise':>12}{'one resistor':>14}",
    ]
    lines += [_judged(one, system) for one in judged.sensors]
    lines += ["", *paragraph(
        "rms, mean: of the error. in range: share of readings in the range that nine in ten should lie in. usual rise: "
        "rms of the fitted nights' mean rise above outdoors; one resistor: of one resistor and capacitor fitted alike."
    )]  # fmt: skip
    for sentence in night.told:
        lines += paragraph(sentence, first="  ", rest="    ")
    for one in judged.sensors:
        for rival in one.beaten_by:
            lines += paragraph(
                f"NOT BEATEN at {one.foretold.place}: {rival} does as well as the model or better."
            )
    if judged.expected.outside > COLDER:
        gap = _kelvins(judged.expected.outside, system)
        lines += paragraph(
            f"This night leaves the logged outdoor temperatures by {gap}: the model extrapolates, and its range was "
            f"made {judged.expected.widened:.1f} times as wide for what it misses."
        )
    return lines


def _judged(one: Judged, system: System) -> str:
    it = one.foretold
    rivals = ["-" if rmse is None else _kelvins(rmse, system) for rmse in (one.persistence, one.one_resistor)]
    cells = f"{_kelvins(it.rmse, system):>11}{_kelvins(it.bias, system):>12}{_percent(it.inside):>10}"
    return f"{it.place:<{PLACE}}{cells}{rivals[0]:>12}{rivals[1]:>14}"


def trust(found: Calibrated, system: System) -> list[str]:
    """How the search ended, and how far to trust it."""
    return [line for sentence in trusted(found, system) for line in paragraph(sentence)]


def trusted(found: Calibrated, system: System) -> Iterator[str]:
    """The same, a sentence each."""
    costs = sorted(found.best.costs)
    if found.best.stopped:
        yield "STOPPED before its end: these are the best numbers so far, not the most likely ones."
    elif not found.best.settled:
        yield (
            "NOT SETTLED: where the search ended the misfit should fall a little more, and does not; "
            "the ranges are too narrow."
        )
    best = sum(cost <= costs[0] * (1.0 + AS_GOOD) for cost in costs)
    if best < len(costs):
        yield (
            f"{best} of {len(costs)} starts of the search ended near the best numbers, the others elsewhere or "
            "nowhere; more of them (--starts) may find better ones."
        )
    yield _ranges(found)
    coldest, _ = found.outdoors
    yield (
        "Ranges hold if the model is right up to errors like those above. Where it is not (air that no law here moves, "
        f"wood that burns otherwise), no range says so; and below {show(coldest, 'temperature', system, 0)} outdoors "
        "nothing was logged."
    )


def _ranges(found: Calibrated) -> str:
    """What the ranges rest on."""
    if found.drawn is None:
        return (
            "Ranges are those of a bell curve, which is too narrow where numbers trade along a curve; "
            "--sample weighs draws by the nights they make."
        )
    words = " ".join(found.drawn.words())
    if found.posterior.drawn:
        return f"Ranges rest on draws weighed by the nights they make. {words}"
    return f"Ranges are those of a bell curve. {words}"


def _kelvins(difference: float, system: System) -> str:
    return show(difference, "temperature_difference", system, 1)


def _percent(share: float) -> str:
    return f"{100.0 * share:.0f} %"

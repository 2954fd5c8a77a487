"""What `simtent fit` answers: numbers with their ranges, what is missed, what stays open, how well it foretells."""

from collections.abc import Iterator, Mapping, Sequence
from typing import Literal

from simtent.calibrate.calibrated import Calibrated, Residuals
from simtent.calibrate.helpful import Help
from simtent.calibrate.judge import Judged, Judgement
from simtent.calibrate.left_open import left_open
from simtent.calibrate.sought import Sought
from simtent.identify.profile import Profile
from simtent.tell import fit_words
from simtent.tell.answers.head import Around, Document
from simtent.tell.answers.quantities import Difference, Duration, Plain, Share, Temperature, rounded
from simtent.tell.answers.told import Told
from simtent.tell.page import fit as page
from simtent.units import System


class FittedNumber(Told):
    """One number that was sought, in its own unit whatever system is asked for."""

    name: str
    """dotted key of the scenario, or what it is"""
    believed: Plain
    """before any log was read"""
    before: str
    """one standard deviation of that, in words"""
    found: Plain
    """the likeliest"""
    low: Plain
    """low end of the range of nine in ten, if the model were right but for errors like those below"""
    high: Plain
    """high end of it"""
    narrowed: bool
    """whether the logs say anything of it; else it stays at what was believed"""
    profile_low: Plain | None
    """how low it may go with all others following, nine in ten; null where that was not looked at"""
    profile_high: Plain | None
    """how high"""
    source: str
    """of the belief"""


class Miss(Told):
    """How far a sensor's readings are from the fitted night."""

    place: str
    """where it hung"""
    night: str
    """which night"""
    rms: Difference
    """root of the mean squared difference"""
    lasts: Duration
    """how long a difference keeps its sign"""


class HelpTold(Told):
    """A further measurement, in one more night like the last."""

    what: str
    """the measurement"""
    cot_narrower: Share
    """by how much the range of the cot's mean temperature would narrow"""
    number: str
    """the number that it narrows most"""
    number_narrower: Share
    """by how much"""


class HeldOut(Told):
    """A sensor of a night that was foretold, not fitted to."""

    evening: str
    """which night"""
    place: str
    """where the sensor hung"""
    rms: Difference
    """of the error"""
    mean: Difference
    """of the error: foretold less shown"""
    in_range: Share
    """of the readings, in the range that nine in ten should lie in"""
    usual_rise: Difference | None
    """rms of a simple prediction, the fitted nights' mean rise; null where it cannot be made"""
    one_resistor: Difference | None
    """rms of another, one resistor and capacitor"""
    beaten_by: list[str]
    """simple predictions that do as well or better"""


class FitAnswer(Document):
    """What logged nights say of a shelter and its stove."""

    format: Literal["simtent.fit"] = "simtent.fit"
    version: Literal[1] = 1
    readings: int
    """how many were used"""
    nights: list[str]
    """the nights that were fitted to"""
    coldest: Temperature
    """coldest outdoor air of those nights; below it nothing was logged"""
    warmest: Temperature
    """warmest"""
    settled: bool
    """whether the search settled; else ranges are too narrow"""
    stopped: bool
    """whether it was ended before its end: then these are the best numbers so far"""
    weighed: bool
    """whether ranges rest on draws weighed by the nights they make; else on a bell curve"""
    misfits: list[float | None]
    """half the squared residuals with which each start of the search ended; null where one ended nowhere"""
    numbers: list[FittedNumber]
    """everything that was sought"""
    misses: list[Miss]
    """every sensor of every night"""
    left_open: list[str]
    """what the logs cannot tell"""
    helps: list[HelpTold]
    """what else could be measured, the most helpful first"""
    held_out: list[HeldOut]
    """how nights were foretold that were not fitted to"""


def answer(
    around: Around,
    found: Calibrated,
    profiled: Mapping[str, Profile],
    helps: Sequence[Help],
    judged: Sequence[Judgement],
) -> FitAnswer:
    """The document of a fit."""
    system, (coldest, warmest) = around.system, found.outdoors
    return FitAnswer(
        **around.head(_sentences(found, judged, system)),
        readings=int(found.readings),
        nights=[night.label for night in found.nights],
        coldest=Temperature.of_kelvin(coldest, system),
        warmest=Temperature.of_kelvin(warmest, system),
        settled=bool(found.best.settled),
        stopped=bool(found.best.stopped),
        weighed=bool(found.posterior.drawn),
        misfits=[rounded(float(cost)) for cost in found.best.costs],
        numbers=[_number(found, one, profiled.get(one.name)) for one in found.sought],
        misses=[_miss(one, system) for one in found.residuals],
        left_open=list(left_open(found.posterior)),
        helps=[_help(it, system) for it in helps],
        held_out=[_held(it, judgement, system) for judgement in judged for it in judgement.sensors],
    )


def _sentences(found: Calibrated, judged: Sequence[Judgement], system: System) -> Iterator[tuple[str, str]]:
    yield "", page.answer(found, judged, system)
    yield from (("", text) for text in fit_words.trusted(found, system))


def _number(found: Calibrated, one: Sought, profile: Profile | None) -> FittedNumber:
    low, high = found.posterior.interval(one.name)
    ends = [None, None] if profile is None else [one.value(end) for end in profile.interval()]

    def plain(value: float) -> Plain:
        return Plain.in_unit(float(value), one.unit)

    return FittedNumber(
        name=one.name,
        believed=plain(one.median),
        before=one.before,
        found=plain(found.posterior.value(one.name)),
        low=plain(low),
        high=plain(high),
        narrowed=bool(found.posterior.narrowed(one.name)),
        profile_low=None if ends[0] is None else plain(ends[0]),
        profile_high=None if ends[1] is None else plain(ends[1]),
        source=one.source,
    )


def _miss(one: Residuals, system: System) -> Miss:
    return Miss(
        place=one.place,
        night=one.night.label,
        rms=Difference.of(one.rmse, system),
        lasts=Duration.of(one.memory, system),
    )


def _help(it: Help, system: System) -> HelpTold:
    name, ratio = it.most
    return HelpTold(
        what=it.what,
        cot_narrower=Share.of(1.0 - float(it.narrows), system),
        number=name,
        number_narrower=Share.of(1.0 - float(ratio), system),
    )


def _held(it: Judged, judgement: Judgement, system: System) -> HeldOut:
    one = it.foretold
    return HeldOut(
        evening=f"{judgement.expected.night.logged.evening}",
        place=one.place,
        rms=Difference.of(one.rmse, system),
        mean=Difference.of(one.bias, system),
        in_range=Share.of(one.inside, system),
        usual_rise=Difference.maybe(it.persistence, system),
        one_resistor=Difference.maybe(it.one_resistor, system),
        beaten_by=list(it.beaten_by),
    )

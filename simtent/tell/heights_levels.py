"""What each named level meets in a night: coldest, hottest, at bed and at rise; and the head over the floor."""

from collections.abc import Iterator, Sequence

import xarray as xr

from simtent.assess.curves import Curve, curve
from simtent.assess.moments import clock
from simtent.scenario.scenario import Scenario
from simtent.tell.unsure import causes, name_of_range
from simtent.tell.wished import Wished
from simtent.tell.words import degree_number, degree_unit, paragraph, whole
from simtent.units import System, show

Pair = tuple[str, str]
KINDS = (("air", "level_temperature"), ("felt", "operative_temperature"))
NAME, HEIGHT = 9, 11  # widths of the first columns
CELLS = {"coldest": 9, "hottest": 8, "bed": 6, "rise": 7}  # the others, of air and of felt temperature
UNCHECKED = (
    "the size of this layering has not been checked against a stove-heated shelter: no measured profile of one was "
    "found, so take it as a sketch; three thermometers in your own would tell more"
)


def levels_table(scenario: Scenario, dataset: xr.Dataset, system: System) -> list[str]:
    """Lines of the table of levels, from the top, and what its columns mean."""
    wished, night = Wished.of(scenario), scenario.night
    begin, end = wished.in_bed
    bed, rise = clock(night, begin), clock(night, end)
    titles = "".join(f"  {f'{word} ':-<{sum(CELLS.values()) - 2}}" for word, _ in KINDS)
    names = _cells(list(CELLS)) * len(KINDS)
    lines = [f"{degree_unit(system):<{NAME + HEIGHT}}{titles}".rstrip(), f"{'':<{NAME + HEIGHT}}{names}"]
    pairs = zip(dataset["level"].values.tolist(), dataset["level_height"].values.tolist(), strict=True)
    for name, height in sorted(pairs, key=lambda pair: -pair[1]):
        cells = [
            _cells(cells_of(curve(dataset, variable, level=name), wished, system)) for _, variable in KINDS
        ]
        short = name if len(name) < NAME else f"{name[: NAME - 2]}."
        lines.append(f"{short:<{NAME}}{show(height, 'length', system):<{HEIGHT}}{''.join(cells)}")
    note = f"coldest: from {bed} to {rise}, in bed. hottest: through the night. felt: air and the radiation around."
    return [*lines, "", *paragraph(note)]


def head_over_floor(dataset: xr.Dataset) -> Curve:
    """How much warmer the air is at the head than at the floor [K]."""
    if "head_over_floor" in dataset:
        return curve(dataset, "head_over_floor")
    head, floor = (curve(dataset, "level_temperature", level=level) for level in ("head", "floor"))
    return Curve(head.seconds, head.values - floor.values)


def layering(scenario: Scenario, dataset: xr.Dataset, system: System) -> Iterator[Pair]:
    """Pairs of a label and a sentence on the head over the floor, and how far that can be trusted."""
    wished, night = Wished.of(scenario), scenario.night
    over = head_over_floor(dataset)
    moment, most = over.highest()
    bed, rise = (f"{kelvins(over.at(at), system)} at {clock(night, at)}" for at in wished.in_bed)
    yield "Head over floor", f"at most {kelvins(most, system)}, at {clock(night, moment)}; {bed}, {rise}"
    if "head_over_floor_low" in dataset:
        low, high = (
            kelvins(curve(dataset, f"head_over_floor_{side}").at(moment), system) for side in ("low", "high")
        )
        label = name_of_range(scenario) + (" at most" if scenario.fitted is None else "")
        yield label, f"{low} to {high}: two nights in three, {causes(scenario, dataset, ['head', 'floor'])}"
    yield "How far to trust it", UNCHECKED


def kelvins(difference: float, system: System) -> str:
    """A difference of temperatures [K] in whole degrees: "52 degF"."""
    return show(difference, "temperature_difference", system, 0)


def _cells(cells: Sequence[str]) -> str:
    return "".join(cell.rjust(width) for cell, width in zip(cells, CELLS.values(), strict=True))


def cells_of(given: Curve, wished: Wished, system: System) -> list[str]:
    """Coldest in bed, hottest, at bed, at rise, as whole degrees."""
    begin, end = wished.in_bed
    values = (given.between(begin, end).lowest()[1], given.highest()[1], given.at(begin), given.at(end))
    return [whole(degree_number(value, system)) for value in values]

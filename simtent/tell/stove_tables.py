"""Tables of the stove that a shelter needs: heat by outdoor air and wind, sizes, what each holds by interval."""

from collections.abc import Iterator, Sequence
from math import isfinite

from simtent.sizing.answer import Answer
from simtent.sizing.classes import Size
from simtent.sizing.likened import Likened
from simtent.sizing.need import MOST
from simtent.tell import stove_cells as cells
from simtent.tell.words import degree_unit, paragraph, wood_mass
from simtent.units import System, show


def needs(found: Answer, system: System) -> Iterator[str]:
    """A row for each outdoor temperature, a column for each wind; design nights marked."""
    unit = "1000 Btu/h" if system == "us" else "kW"
    yield from paragraph(
        f"Heat that holds {cells.temperature(found.wish, system)} at the cot [{unit}], constant, by outdoor air and "
        "wind:"
    )
    yield "outdoors".ljust(12) + "".join(
        show(wind, "speed", system, 0).rjust(10) for wind in found.asked.winds
    )
    rows = {air: [found.needs[wind][n] for wind in found.asked.winds] for n, air in enumerate(found.airs)}
    rows |= {air: [found.at_low[air, wind] for wind in found.asked.winds] for air in found.asked.lows}
    for air in sorted(rows, reverse=True):
        mark = "  design night" if air in found.asked.lows else ""
        row = "".join(_thousands(watts, system).rjust(10) for watts in rows[air])
        yield f"{cells.temperature(air, system):<12}{row}{mark}"


def _thousands(watts: float, system: System) -> str:
    if not isfinite(watts):
        return f"over {_thousands(MOST, system)}"
    return f"{watts / 1000.0 * (3.412142 if system == 'us' else 1.0):.1f}"


def sizes(those: Sequence[Size], system: System) -> Iterator[str]:
    """A row for each stove, in shop terms."""
    yield f"{'firebox':<17}{'pipe':>7}{'inlet':>9}{'body':>9}{'longest':>11}{'full load':>12}  sheet"
    for size in those:
        yield (
            f"{cells.label(size, system):<17}{cells.pipe(size, system):>7}{cells.inlet(size, system):>9}"
            f"{wood_mass(size.mass, system):>9}{cells.longest(size, system):>11}{cells.load(size, system):>12}"
            f"  {cells.sheet(size, system)}"
        )


def held(found: Answer, every: float, system: System) -> Iterator[str]:
    """A row for each stove filled at one interval."""
    unit = degree_unit(system)
    yield f"{f'full every {every:g} h':<17}{'air at':>8}{'load':>9}{'cot':>6}{'head':>6}{'coals':>7}  holds down to"
    yield f"{'':<17}{'mark':>8}{'each':>9}{unit:>6}{unit:>6}{'light':>7}  outdoors"
    for it in (it for it in found.found if it.judged.every == every):
        used = it.judged.used
        cot, head = cells.no_warmer(used.coldest, system), cells.no_colder(used.head, system)
        yield (
            f"{cells.label(it.judged.size, system):<17}{used.mark[:7]:>8}{wood_mass(used.put_on, system):>9}"
            f"{cot.split()[0]:>6}{head.split()[0]:>6}{cells.coals(used):>7}  {cells.down_to(it, system)}{_word(it)}"
        )


def _word(it: Likened) -> str:
    return f"  {it.judged.word}" if it.judged.word != "too small" else ""

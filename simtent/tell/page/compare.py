"""A comparison as a page: what the variants do at the cot, in a sentence; differences, cautions, heat, the picture."""

from collections.abc import Iterator, Sequence

from simtent.assess.findings import Finding
from simtent.comparing.asked import NUMBERS
from simtent.comparing.compared import Compared
from simtent.comparing.dataset import to_dataset
from simtent.comparing.nights import Night
from simtent.comparing.ranked import Bought
from simtent.tell import compared_picture, compared_words, usual_words
from simtent.tell.differences import ALIKE, ends, shown, unit_of
from simtent.tell.page import beside, copied, night
from simtent.tell.page.findings import findings
from simtent.tell.page.frame import Page, Part
from simtent.tell.page.markup import Markup, breakable, joined, pairs, paragraphs, tag
from simtent.tell.page.picture import picture
from simtent.tell.unsure import plural
from simtent.units import System, number, show, unit_name

WORDS = "Temperature at the cot over the night, a panel for each variant, the scenario as it is in grey"
ASKED = "What people ask, and by how much it differs"
CHANGED = "What each variant changes"
CAUTIONS = "Cautions that come and go: those above hold for every one"
MOST_TOLD = 4  # variants in the sentence; of more the best and the worst
COT, DIFFERENCE = NUMBERS[0], "temperature_difference"


def page(
    found: Compared,
    system: System,
    always: Sequence[Finding],
    rows: Sequence[Bought] = (),
    currency: str = "",
) -> Page:
    """Everything that the page holds; with `rows`, the usual changes by what they buy come first."""
    full = usual_words.best(found, rows) if rows else found
    drawn = to_dataset(found.only(it.name for it in rows) if rows else found)
    scenario = found.scenario
    return Page(
        scenario=scenario.name,
        about=night.about(scenario),
        answer=bought(rows, system) if rows else answer(found, system),
        found=(),
        always=always,
        parts=[
            *_ranking(rows, system, currency),
            Part("changes", CHANGED, _changed(full, system, usual=bool(rows))),
            Part("differences", ASKED, beside.differences(full, system)),
            Part("differing", CAUTIONS, cautions(found)),
            Part("picture", "The comparison as a picture",
                 picture("compared", WORDS, lambda: compared_picture.draw(scenario, drawn, system))),
            Part("energy", "Where the heat went", beside.energies(full, system)),
            *copied.parts(scenario),
        ],
    )  # fmt: skip


def answer(found: Compared, system: System) -> str:
    """What the variants do to the lowest temperature at the cot in bed, and how many of them add a caution."""
    base, unit = found.base.values[COT.name], unit_name(DIFFERENCE, system)
    many = len(found.variants) > MOST_TOLD
    those = _ends(found) if many else found.variants
    told = ", ".join(f"{it.name} {_moved(found, it, system)}" for it in those)
    within = any(ends(found.difference(it.name, COT.name), COT, system) for it in those)
    text = (
        f"In bed the cot is at {shown(base, COT, system, signed=False)} {unit_of(COT, system)} when it is lowest. "
        f"Variants change that, in {unit}: {told}{'; in brackets: eight draws in ten' if within else ''}."
    )
    if many:
        text += f" The other {len(found.variants) - len(those)} lie between."
    return f"{text}{_grave(sum(bool(found.added(it.name)) for it in found.variants))}"


def bought(rows: Sequence[Bought], system: System) -> str:
    """What buys most at the cot: without carrying anything, and by weight."""
    free = _first(it for it in rows if not it.carried)
    carried = _first(it for it in rows if it.carried)
    parts = []
    if free is not None:
        parts.append(f"{free.name} buys most of what needs no carrying, {_gain(free, system)}")
    if carried is not None and carried.mass:
        parts.append(
            f"{carried.name} buys most for its weight, {_gain(carried, system)} for "
            f"{show(carried.mass, 'mass', system, 1)}"
        )
    first = f"{plural(len(rows), 'change')} held against the scenario as it is."
    told = (
        f"At the cot in bed, in the mean, {' and '.join(parts)}." if parts else "None of them warms the cot."
    )
    return f"{first} {told}{_grave(sum(it.grave for it in rows))}"


def cautions(found: Compared) -> Markup:
    """The cautions that differ, by variant; that there are none is said too, and is no verdict."""
    parts = [
        part
        for it in found.variants
        for word, those in (("adds", found.added(it.name)), ("takes away", found.removed(it.name)))
        if those
        for part in (tag("h3", f"{it.name} {word}"), findings(those))
    ]
    return joined(parts) if parts else paragraphs([compared_words.NONE])


def _changed(found: Compared, system: System, *, usual: bool) -> Markup:
    """What each variant says otherwise, as the file would."""
    return tag("dl", *(part for it in found.variants for part in (
        tag("dt", breakable(it.name)), tag("dd", compared_words.changed(it, system, usual=usual)))))  # fmt: skip


def _ranking(rows: Sequence[Bought], system: System, currency: str) -> Iterator[Part]:
    if not rows:
        return
    yield Part("ranking", "The changes by what they buy", beside.ranking(rows, system, currency))
    told = [(breakable(name), words) for name, words in usual_words.changes(rows, system)]
    yield Part("usual", "What the usual changes are", pairs(told))
    if reasons := usual_words.why(rows):
        yield Part(
            "colder", "Why it can be colder", pairs((breakable(name), words) for name, words in reasons)
        )


def _ends(found: Compared) -> list[Night]:
    """The variant that makes the cot's lowest the warmest, and the one that makes it the coldest."""
    order = sorted(found.variants, key=lambda it: -found.difference(it.name, COT.name).amount)
    return [order[0], order[-1]]


def _moved(found: Compared, it: Night, system: System) -> str:
    difference = found.difference(it.name, COT.name)
    if not difference.apart:
        return ALIKE
    within = ends(difference, COT, system)
    amount = shown(difference.amount, COT, system, signed=True)
    return f"{amount} ({within})" if within else amount


def _grave(count: int) -> str:
    if not count:
        return ""
    return f" {'One adds' if count == 1 else f'{count} of them add'} a caution: see below."


def _first(rows: Iterator[Bought]) -> Bought | None:
    return next((it for it in rows if not it.grave and it.cot.apart and it.cot.amount > 0.0), None)


def _gain(it: Bought, system: System) -> str:
    return f"{number(it.cot.amount, DIFFERENCE, system):+.1f} {unit_name(DIFFERENCE, system)}"

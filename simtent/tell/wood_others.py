"""The trip's wood as another wood: every species, green against dry, and how far that simple rule can be trusted."""

from simtent.supply.checked import Checked
from simtent.supply.other_wood import DRYNESS, instead, woods
from simtent.supply.pile import Pile
from simtent.supply.supplied import Supply
from simtent.tell.words import degrees, paragraph, percent, wood_mass
from simtent.units import System, show

USUAL = "seasoned"
RULE = (
    "The rule is simple: heating value less the heat that its water takes along, the same share of it lost up the flue "
    "for every wood. Wet wood does worse than that: it lights badly, burns slowly, and leaves creosote and carbon "
    "monoxide. Green wood is for next year, not for this trip."
)


def others(supply: Supply, system: System) -> list[str]:
    """Tables of other woods, green against dry, and what simulated nights say of the rule."""
    return [
        *green_against_dry(supply, system),
        "",
        *species_table(supply, system),
        "",
        *paragraph(RULE),
        *(line for it in supply.checked for line in paragraph(_checked(it, supply, system))),
    ]


def green_against_dry(supply: Supply, system: System) -> list[str]:
    """The same wood dry and green: pieces of the same sizes, weight, and the water that is carried along."""
    pile = supply.to_bring
    lines = [f"GREEN AGAINST DRY, {pile.wood.species.name} of the same useful heat", ""]
    lines.append(f"{'':<20}{'weight':>10}{'of it water':>13}{'stacked':>11}  pieces")
    at_hand = instead(pile, pile.wood.species, pile.wood.moisture)
    rows = {"as at hand": at_hand} | {
        name: instead(pile, pile.wood.species, wet) for name, wet in DRYNESS.items()
    }
    for name, it in rows.items():
        head = f"{f'{name}, {percent(it.moisture)}':<20}{wood_mass(it.mass, system):>10}"
        head += f"{wood_mass(it.water, system):>13}{show(it.stacked, 'volume', system):>11}  "
        lines += paragraph(pieces_text(pile.times(it.pieces)), first=head, rest=" " * len(head))
    return lines


def pieces_text(pile: Pile) -> str:
    """A pile as counts of pieces, the thickest first: "24 split, 17 stick"."""
    thick = sorted(pile.counts, key=lambda name: -pile.wood.pieces[name].thick)
    return ", ".join(f"{pile.counts[name]} {name}" for name in thick)


def species_table(supply: Supply, system: System) -> list[str]:
    """Weight of every species at every dryness; the stack and the pieces where it is seasoned."""
    names = ", ".join(f"{percent(wet)} {name}" for name, wet in DRYNESS.items())
    what = (
        f"weight as carried by the water in it, of its wet weight ({names}); stack and pieces of the same sizes where "
        f"it is {USUAL}."
    )
    lines = [f"OTHER WOOD of the same useful heat, in place of {wood_mass(supply.to_bring.mass, system)}", ""]
    lines += [*paragraph(what[0].upper() + what[1:]), ""]
    lines.append(
        f"{'':<16}{''.join(f'{percent(wet):>11}' for wet in DRYNESS.values())}{'stacked':>10}{'pieces':>9}"
    )
    for row in woods(supply.to_bring):
        it = row[USUAL]
        masses = "".join(f"{wood_mass(other.mass, system):>11}" for other in row.values())
        lines.append(
            f"{it.species.name:<16}{masses}{show(it.stacked, 'volume', system):>10}{f'x{it.pieces:.2f}':>9}"
        )
    return lines


def _checked(it: Checked, supply: Supply, system: System) -> str:
    """A simulated night with another wood."""
    night = supply.coldest.evening
    wood = f"{it.species.name} with {percent(it.moisture)} water by wet weight"
    if it.unfit:
        return f"Not checked by a simulated night: loads of {wood} have no room in the firebox."
    return (
        f"Checked by simulating {night} with {wood}, every load {it.factor:.2f} times as heavy: coldest at the cot "
        f"{degrees(it.other, system)} in place of {degrees(it.own, system)}, in the mean "
        f"{degrees(it.other_mean, system)} in place of {degrees(it.own_mean, system)}."
    )

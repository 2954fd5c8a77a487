"""The standing cautions in short words, for paper and screens that have room for a line each."""

from simtent.assess import cautions
from simtent.assess.cautions import standing
from simtent.assess.findings import Finding
from simtent.scenario.scenario import Scenario

SHORT: dict[Finding, str] = {
    cautions.CARBON_MONOXIDE: "Carbon monoxide alarm on: rated for this cold, tested tonight.",
    cautions.VENTS: "A low and a high vent open; look for snow and frost on them.",
    cautions.DISTANCES: "Wood, bedding and cloth far from stove and pipe.",
    cautions.TENT_FIRE: "Someone awake while it burns; way out free, knife near.",
    cautions.GLOW: "Metal glows: air shut, door stays shut.",
    cautions.SMOKE: "Air and damper open before the door; damper never shut on coals.",
}
GIVEN = {told: it for it, told in cautions.IN_US.items()}
FIRST = "Makers' manuals and local codes come before this card."


def short(scenario: Scenario) -> tuple[str, ...]:
    """The cautions of a scenario that have short words, in their order, and what comes before them all."""
    found = [GIVEN.get(it, it) for it in standing(scenario)]
    return (*(SHORT[it] for it in found if it in SHORT), FIRST)

"""Look through a scenario file: faults, or else what is odd. Nothing is simulated, no numerical library loaded."""

from argparse import Namespace

from simtent.assess.cautions import standing
from simtent.scenario.load import load
from simtent.scenario.oddities import oddities
from simtent.scenario.varied import check_variants
from simtent.tell import screen
from simtent.tell.cautions import block
from simtent.tell.checked import checked
from simtent.verbs import afterwards
from simtent.verbs.outputs import settings


def run(options: Namespace) -> None:
    """Tell cautions and oddities of the file; InputError with every fault."""
    scenario = load(options.file, overlays=options.overlays, settings=settings(options))
    check_variants(scenario)
    found = oddities(scenario, options.units)
    screen.show([*block(standing(scenario)), "", *checked(scenario, found)])
    screen.tell(afterwards.next_line(afterwards.command(options, "night"), "the night hour by hour"))

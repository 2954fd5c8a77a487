"""Look through a scenario file: faults, or else what is odd. Nothing is simulated, no numerical library loaded."""

from argparse import Namespace

from simtent.assess.cautions import standing
from simtent.scenario.load import load
from simtent.scenario.oddities import oddities
from simtent.scenario.varied import check_variants
from simtent.tell.cautions import block
from simtent.tell.checked import checked
from simtent.verbs import outputs


def run(options: Namespace) -> None:
    """Tell cautions and oddities of the file; InputError with every fault."""
    scenario = load(options.file, overlays=options.overlays, settings=options.settings)
    check_variants(scenario)
    found = oddities(scenario, options.units)
    always = standing(scenario)
    outputs.answered(
        options,
        [*block(always), "", *checked(scenario, found)],
        lambda: outputs.teller("check").answer(outputs.around(options, scenario, always), found),
    )

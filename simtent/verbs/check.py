"""Look through a scenario file: faults, or else what is odd. Nothing is simulated, no numerical library loaded."""

from argparse import Namespace

from simtent.assess.cautions import standing
from simtent.scenario.load import load
from simtent.scenario.oddities import oddities
from simtent.scenario.varied import check_variants
from simtent.tell import screen
from simtent.tell.cautions import block
from simtent.tell.checked import checked
from simtent.verbs import afterwards, outputs


def run(options: Namespace) -> None:
    """Tell cautions and oddities of the file; InputError with every fault."""
    scenario = load(options.file, overlays=options.overlays, settings=outputs.settings(options))
    check_variants(scenario)
    found = oddities(scenario, options.units)
    always = standing(scenario)
    outputs.answered(
        options,
        [*block(always), "", *checked(scenario, found)],
        lambda: outputs.teller("check").answer(outputs.around(options, scenario, always), found),
    )
    if not options.json:
        screen.tell(afterwards.next_line(afterwards.command(options, "night"), "the night hour by hour"))

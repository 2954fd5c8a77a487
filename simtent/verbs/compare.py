"""Hold variants of a scenario against it: a table of differences, cautions that come and go, accounts, a picture."""

import argparse
from functools import partial

from simtent.errors import InputError
from simtent.verbs import compare_asked, outputs

DRAWS, OF_USUAL = 20, 10  # where --draws does not say; twenty changes take as many nights each


def run(options: argparse.Namespace) -> None:
    """Tell what variants change: cautions, differences, findings that come and go, energy accounts, a picture."""
    targets = outputs.targets(options, "compare", [options.picture, *outputs.page_ending(options)])
    scenario = outputs.ready(options, lambda given: compare_asked.faults(options, given), targets)
    asked = compare_asked.asked(options, scenario)
    from simtent.assess.cautions import DEFERS, standing  # noqa: PLC0415  (heavy imports wait until the input is good)
    from simtent.comparing.compare import compared  # noqa: PLC0415
    from simtent.comparing.dataset import to_dataset  # noqa: PLC0415
    from simtent.comparing.ranked import ranked  # noqa: PLC0415
    from simtent.tell import compared_picture, compared_words, summary  # noqa: PLC0415
    from simtent.tell.cautions import block  # noqa: PLC0415

    always = [*standing(scenario), DEFERS]
    outputs.opening(options, [*block(always), ""])
    outputs.starting(options, scenario.name)
    draws = (OF_USUAL if options.usual else DRAWS) if options.draws is None else options.draws
    told = partial(outputs.progress, options)
    found = compared(scenario, asked.variants, draws=draws, seed=options.seed, progress=told)
    rows = ranked(found, asked.usual, asked.prices) if options.usual else ()
    drawn = to_dataset(found.only(it.name for it in rows) if rows else found)
    system = options.units or scenario.units
    whole = {targets[0]: compared_picture.to_bytes(scenario, drawn, system, options.picture)}
    if options.page:
        from simtent.tell.page import compare, frame  # noqa: PLC0415

        page = compare.page(found, system, always, rows, asked.currency)
        whole[targets[1]] = frame.to_bytes(page)
    unwritten = outputs.written(whole)
    words = compared_words.told(found, system, rows, asked.currency)
    outputs.answered(
        options,
        [*summary.heading(scenario), "", *words],
        lambda: outputs.teller("compare").answer(
            outputs.around(options, scenario, always, (), whole, unwritten), found, rows, asked.currency
        ),
    )
    if unwritten:  # the answer is shown all the same
        raise InputError(unwritten)
    outputs.wrote(options, whole)

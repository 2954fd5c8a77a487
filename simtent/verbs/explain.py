"""Tell what a key of a scenario means and how it is written."""

from argparse import Namespace

from simtent.tell import screen
from simtent.tell.cautions import headline
from simtent.tell.explain import explained


def run(options: Namespace) -> None:
    """Tell it; InputError where no key is like it."""
    lines = explained(" ".join(options.field))
    screen.show([*headline(), "", *lines])

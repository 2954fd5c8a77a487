"""Arguments of the verbs that read logged nights."""

from pathlib import Path

from simtent.arguments.numbers import draws, starts
from simtent.arguments.shared import Verbs, a_verb, draws_a_picture, reads_a_scenario, writes_a_page


def log(verbs: Verbs) -> None:
    """`simtent log FILE`."""
    verb = a_verb(
        verbs, "log", "what did a logged night show",
        "Read the logger's files that a scenario names by [[log]], and the notes of those nights; print cautions, what "
        "had to be mended, sensors, loads and the night against the wish; write the readings and a picture of each "
        "night. Nothing is simulated.",
    )  # fmt: skip
    reads_a_scenario(verb)
    verb.add_argument(
        "night",
        nargs="*",
        metavar="NIGHT",
        help="number of a [[log]], or an evening, 2031-02-14 (default: all)",
    )
    verb.add_argument("--out", type=Path, metavar="DIR", help="folder for the files (default: beside FILE)")
    draws_a_picture(verb)
    writes_a_page(verb)
    verb.add_argument("--quiet", action="store_true", help="hide progress; cautions stay")


def fit(verbs: Verbs) -> None:
    """`simtent fit FILE`."""
    verb = a_verb(
        verbs, "fit", "what do logged nights say of shelter and stove",
        "Fit the model to the scenario's logged nights: the likeliest numbers with their ranges, what the logs cannot "
        "tell, what else would help, and how well a night that was held out is foretold; write the numbers as an "
        "overlay that every verb takes by --with, draws of them, and a picture. Ctrl-C keeps the best so far.",
    )  # fmt: skip
    reads_a_scenario(verb)
    verb.add_argument("--out", type=Path, metavar="DIR", help="folder for the files (default: beside FILE)")
    verb.add_argument(
        "--hold-out",
        action="append",
        default=[],
        metavar="EVENING",
        help="evening of a log to foretell instead of fitting to it; may be given more than once",
    )
    verb.add_argument(
        "--starts", type=starts, default=2, metavar="N", help="starts of the search (default: 2)"
    )
    verb.add_argument(
        "--sample", type=draws, default=100, metavar="N",
        help="let ranges rest on draws that count as N independent ones (default: 100; each takes some three runs "
        "of all logged nights); 0: on a bell curve",
    )  # fmt: skip
    verb.add_argument(
        "--no-help", action="store_true", help="do not calculate which further measurement would help"
    )
    draws_a_picture(verb)
    writes_a_page(verb)
    verb.add_argument("--quiet", action="store_true", help="hide progress; cautions stay")

"""Arguments of the verbs that hold nights against each other."""

from pathlib import Path

from simtent.arguments.numbers import few_draws, seed, workers
from simtent.arguments.shared import Verbs, a_verb, draws_a_picture, reads_a_scenario, writes_a_page


def compare(verbs: Verbs) -> None:
    """`simtent compare FILE`."""
    verb = a_verb(
        verbs, "compare", "what changes if",
        "Hold variants of a scenario against it on the same night: those of its [variants], or as --variant says, or "
        "other files. Print cautions, what people ask with every difference and how far it is known, cautions that a "
        "variant adds or takes away, where the heat went; write a picture.",
    )  # fmt: skip
    reads_a_scenario(verb)
    verb.add_argument(
        "others", type=Path, nargs="*", metavar="OTHER", help="other scenario files, each a variant of FILE"
    )
    verb.add_argument(
        "--variant", action="append", default=[], metavar="NAME[: KEY=VALUE; ...]",
        help='one of the file\'s variants, or one that is described: --variant "mat: shelter.floor.mat=20 mm '
        'closed-cell foam"; may be given more than once (default: all of the file)',
    )  # fmt: skip
    verb.add_argument(
        "--usual", action="store_true",
        help="the usual changes that apply, such as a mat, a liner or dry wood, ranked by what they buy at the cot and "
        "on the floor",
    )  # fmt: skip
    verb.add_argument(
        "--price", action="append", default=[], metavar="NAME=AMOUNT",
        help='what a variant costs, for the ranking: --price "liner=180 EUR"; may be given more than once',
    )  # fmt: skip
    verb.add_argument(
        "--draws", type=few_draws, metavar="N",
        help="draws of what nobody knows, for the range of each difference (default: 20, with --usual 10; 0: none)",
    )  # fmt: skip
    verb.add_argument("--seed", type=seed, default=0, metavar="N", help="of these draws (default: 0)")
    verb.add_argument("--out", type=Path, metavar="DIR", help="folder for the picture (default: beside FILE)")
    draws_a_picture(verb)
    writes_a_page(verb)
    verb.add_argument("--quiet", action="store_true", help="hide progress; cautions stay")


def study(verbs: Verbs) -> None:
    """`simtent study STUDY`."""
    verb = a_verb(
        verbs, "study", "what do many nights say, and what matters most",
        "Solve the nights of a study file: factors of a scenario with their levels, laid out by a method of the trade. "
        "Print cautions, each output by factor and, by the methods morris and saltelli, what matters most; keep the "
        "nights in a folder, and write a picture. Stopped, it goes on by the same command.",
    )  # fmt: skip
    verb.add_argument("file", type=Path, metavar="STUDY", help="study file (TOML)")
    verb.add_argument("--out", type=Path, metavar="DIR", help="folder for the study (default: beside STUDY)")
    verb.add_argument("--units", choices=("us", "si"), help="units to show (default: the scenario's)")
    verb.add_argument("--csv", action="store_true", help="also write a table of the cases")
    writes_a_page(verb)
    verb.add_argument("--yes", action="store_true", help="solve more than 20,000 nights too: they are meant")
    verb.add_argument("--retry-failed", action="store_true", help="solve nights that failed once more")
    verb.add_argument("--workers", type=workers, metavar="N", help="processes (default: one for each core)")
    verb.add_argument(
        "--cluster", metavar="ADDRESS", help="let the workers of a Dask cluster solve them: tcp://HOST:PORT"
    )
    draws_a_picture(verb)
    verb.add_argument("--quiet", action="store_true", help="hide progress; cautions stay")

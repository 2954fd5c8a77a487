"""The command line: one verb per question. Everything heavy is imported when a verb runs."""

import argparse
import sys
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TypeAlias

from simtent.errors import Fault, InputError, SolveError, StudyError
from simtent.tell import screen

Verbs: TypeAlias = "argparse._SubParsersAction[argparse.ArgumentParser]"
DONE, OURS, YOURS, INTERRUPTED = 0, 1, 2, 130

DESCRIPTION = """\
Thermal simulation of a stove-heated fabric shelter through a cold night.

Nothing printed here is a safety guarantee: use a carbon monoxide alarm rated
for the cold, keep vents open, follow the makers' manuals and local codes."""


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one verb; the exit code is 0 done, 2 the user's input, 1 a fault of ours, 130 interrupted."""
    given = list(sys.argv[1:] if arguments is None else arguments)
    if given and given[0].endswith(".toml"):
        todo = f"Write for example: simtent night {given[0]}"
        screen.complain([str(Fault("no verb before the file", file=given[0], todo=todo))])
        return YOURS
    options = _parser().parse_args(given)
    verb: Callable[[argparse.Namespace], None] = options.verb
    try:
        verb(options)
    except InputError as error:
        screen.complain(str(fault) for fault in error.faults)
        return YOURS
    except (SolveError, StudyError) as error:
        screen.complain([str(error)])
        return OURS
    except KeyboardInterrupt:
        screen.complain(["Interrupted. No file is half-written."])
        return INTERRUPTED
    except BrokenPipeError:
        screen.leave_quietly()  # the reader of our output has read enough
    except OSError as error:
        screen.complain([f"The output cannot be written: {error.strerror or error}"])
        screen.leave_quietly()
        return OURS
    return DONE


def night(options: argparse.Namespace) -> None:
    """What will the night be like."""
    from simtent.verbs.night import run  # noqa: PLC0415  (each verb loads what it needs, and no other)

    run(options)


def heights(options: argparse.Namespace) -> None:
    """How warm and damp is it from floor to peak."""
    from simtent.verbs.heights import run  # noqa: PLC0415

    run(options)


def log(options: argparse.Namespace) -> None:
    """What did a logged night show."""
    from simtent.verbs.log import run  # noqa: PLC0415

    run(options)


def fit(options: argparse.Namespace) -> None:
    """What do logged nights say of shelter and stove."""
    from simtent.verbs.fit import run  # noqa: PLC0415

    run(options)


def stove(options: argparse.Namespace) -> None:
    """How large a stove does a shelter need."""
    from simtent.verbs.stove import run  # noqa: PLC0415

    run(options)


def stoke(options: argparse.Namespace) -> None:
    """When to get up, how much to load."""
    from simtent.verbs.stoke import run  # noqa: PLC0415

    run(options)


def wood(options: argparse.Namespace) -> None:
    """How much wood a trip takes."""
    from simtent.verbs.wood import run  # noqa: PLC0415

    run(options)


def compare(options: argparse.Namespace) -> None:
    """What changes if."""
    from simtent.verbs.compare import run  # noqa: PLC0415

    run(options)


def study(options: argparse.Namespace) -> None:
    """What many nights say, and what matters most."""
    from simtent.verbs.study import run  # noqa: PLC0415

    run(options)


def check(options: argparse.Namespace) -> None:
    """What is wrong or odd in a file."""
    from simtent.verbs.check import run  # noqa: PLC0415

    run(options)


def explain(options: argparse.Namespace) -> None:
    """What a key means."""
    from simtent.verbs.explain import run  # noqa: PLC0415

    run(options)


def new(options: argparse.Namespace) -> None:
    """A first scenario file, or a form on paper."""
    from simtent.verbs.new import run  # noqa: PLC0415

    run(options)


def alone(_: argparse.Namespace) -> None:
    """What there is to ask."""
    from simtent.tell import welcome  # noqa: PLC0415

    screen.show(welcome.lines())


def _parser() -> argparse.ArgumentParser:
    raw = argparse.RawDescriptionHelpFormatter
    parser = argparse.ArgumentParser(
        prog="simtent", description=DESCRIPTION, formatter_class=raw, allow_abbrev=False
    )
    parser.add_argument("--version", action=_Version, nargs=0, help="show the version and exit")
    parser.set_defaults(verb=alone)
    verbs = parser.add_subparsers(metavar="VERB")
    _night_parser(verbs)
    _heights_parser(verbs)
    _log_parser(verbs)
    _fit_parser(verbs)
    _stoke_parser(verbs)
    _stove_parser(verbs)
    _wood_parser(verbs)
    _compare_parser(verbs)
    _study_parser(verbs)
    _check_parser(verbs)
    _explain_parser(verbs)
    _new_parser(verbs)
    return parser


def _night_parser(verbs: Verbs) -> None:
    verb = _verb(
        verbs, "night", night, "what will the night be like",
        "Simulate the night of a scenario file; print cautions, an hourly table and a summary; "
        "write the result and a picture.",
    )  # fmt: skip
    _reads_a_scenario(verb)
    verb.add_argument("--out", type=Path, metavar="DIR", help="folder for the files (default: beside FILE)")
    verb.add_argument(
        "--air-at",
        action="append",
        default=[],
        metavar="HH:MM",
        help="also draw how the air moves at that time of the night (the nearest in the result), once",
    )
    _writes_a_page(verb)
    verb.add_argument("--quiet", action="store_true", help="hide progress; cautions stay")


def _heights_parser(verbs: Verbs) -> None:
    verb = _verb(
        verbs, "heights", heights, "how warm and how damp is it from floor to peak",
        "Simulate the night with damp counted; print cautions, temperatures at every level, what keeps the floor "
        "cold, comfort and damp; compare nights that differ in one thing; write the result and pictures.",
    )  # fmt: skip
    _reads_a_scenario(verb)
    verb.add_argument("--out", type=Path, metavar="DIR", help="folder for the files (default: beside FILE)")
    for option, metavar, words in (
        (
            "--at",
            "HH:MM,...",
            "profiles at those times, three at most (default: head hottest, cot coldest in bed)",
        ),
        ("--flows-at", "HH:MM", "also draw how the air moves at that time, once"),
        (
            "--balance-at",
            "HH:MM",
            "what keeps the floor cold at that time, once (default: cot coldest in bed)",
        ),
    ):
        verb.add_argument(option, action="append", default=[], metavar=metavar, help=words)
    for option, metavar, words in (
        ("--cot", "HEIGHT,...", "compare heights of the cot: metres, or with units (10in,18in)"),
        ("--stove-at", "PLACE,...", "compare where the stove stands: free, wall, corner"),
        ("--fan", "on,off", "compare with and without the scenario's fan"),
        ("--vent", "[NAME=]SHARE,...", "compare shares of a vent's opening, in per cent; also as a picture"),
    ):
        verb.add_argument(option, action="append", metavar=metavar, help=words)
    _writes_a_page(verb)
    verb.add_argument("--quiet", action="store_true", help="hide progress; cautions stay")


def _log_parser(verbs: Verbs) -> None:
    verb = _verb(
        verbs, "log", log, "what did a logged night show",
        "Read the logger's files that a scenario names by [[log]], and the notes of those nights; print cautions, what "
        "had to be mended, sensors, loads and the night against the wish; write the readings and a picture of each "
        "night. Nothing is simulated.",
    )  # fmt: skip
    _reads_a_scenario(verb)
    verb.add_argument(
        "night",
        nargs="*",
        metavar="NIGHT",
        help="number of a [[log]], or an evening, 2031-02-14 (default: all)",
    )
    verb.add_argument("--out", type=Path, metavar="DIR", help="folder for the files (default: beside FILE)")
    _writes_a_page(verb)
    verb.add_argument("--quiet", action="store_true", help="hide progress; cautions stay")


def _fit_parser(verbs: Verbs) -> None:
    verb = _verb(
        verbs, "fit", fit, "what do logged nights say of shelter and stove",
        "Fit the model to the scenario's logged nights: the likeliest numbers with their ranges, what the logs cannot "
        "tell, what else would help, and how well a night that was held out is foretold; write the numbers as an "
        "overlay that every verb takes by --with, draws of them, and a picture. Ctrl-C keeps the best so far.",
    )  # fmt: skip
    _reads_a_scenario(verb)
    verb.add_argument("--out", type=Path, metavar="DIR", help="folder for the files (default: beside FILE)")
    verb.add_argument(
        "--hold-out",
        action="append",
        default=[],
        metavar="EVENING",
        help="evening of a log to foretell instead of fitting to it; may be given more than once",
    )
    verb.add_argument(
        "--starts", type=_starts, default=2, metavar="N", help="starts of the search (default: 2)"
    )
    verb.add_argument(
        "--sample", type=_draws, default=100, metavar="N",
        help="let ranges rest on draws that count as N independent ones (default: 100; each takes some three runs "
        "of all logged nights); 0: on a bell curve",
    )  # fmt: skip
    verb.add_argument(
        "--no-help", action="store_true", help="do not calculate which further measurement would help"
    )
    _writes_a_page(verb)
    verb.add_argument("--quiet", action="store_true", help="hide progress; cautions stay")


def _stoke_parser(verbs: Verbs) -> None:
    verb = _verb(
        verbs, "stoke", stoke, "when to get up, how much to load",
        "Plan the fire of a scenario's night by [wish]: the fewest wake-ups, then the least wood, then the most even "
        "warmth, with coals that still light every load. Print cautions, the plan, what it promises, what other "
        "numbers of wake-ups would buy; write the plan as an overlay that simtent night takes by --with, and a "
        "picture. With --card plan a band of nights, and write them as a card for a pocket (PDF) and for a phone "
        "(PNG). Ctrl-C keeps the best so far, or the rows that are finished.",
    )  # fmt: skip
    _reads_a_scenario(verb)
    verb.add_argument(
        "--card", action="store_true",
        help="a stoking card for a camp without a computer: a row every 5 K or 10 degF of the low, calm and windy",
    )  # fmt: skip
    for option, metavar, words in (
        (
            "--low",
            "TEMP,TEMP",
            "with --card: coldest and warmest low (default: [[trip]], else two rows each way)",
        ),
        (
            "--wind",
            "SPEED,SPEED",
            "with --card: a calm and a windy wind (default: the scenario's and one beside it)",
        ),
    ):
        verb.add_argument(option, action="append", default=[], metavar=metavar, help=words)
    verb.add_argument("--out", type=Path, metavar="DIR", help="folder for the files (default: beside FILE)")
    verb.add_argument(
        "--seed", type=_seed, default=0, metavar="N",
        help="of the nights drawn around the one foretold (default: 0); the search draws nothing",
    )  # fmt: skip
    _writes_a_page(verb)
    verb.add_argument("--quiet", action="store_true", help="hide progress; cautions stay")


def _wood_parser(verbs: Verbs) -> None:
    verb = _verb(
        verbs, "wood", wood, "how much wood does a trip take",
        "Count the wood of the nights of [[trip]]: a stoking plan is made for each, so that cold nights take more: "
        "some 20 s a night, and one more for colder air than foretold. Print cautions, what to take in pieces, weight, "
        "volume and ways, the nights, and other woods; write a picture. Ctrl-C keeps the nights that are done.",
    )  # fmt: skip
    _reads_a_scenario(verb)
    verb.add_argument(
        "--as-stoked", action="store_true",
        help="no plans: burn the loads and rules of [stoking] in every night (fast; loads by the clock burn the same "
        "whatever the weather)",
    )  # fmt: skip
    verb.add_argument("--out", type=Path, metavar="DIR", help="folder for the picture (default: beside FILE)")
    _writes_a_page(verb)
    verb.add_argument("--quiet", action="store_true", help="hide progress; cautions stay")


def _compare_parser(verbs: Verbs) -> None:
    verb = _verb(
        verbs, "compare", compare, "what changes if",
        "Hold variants of a scenario against it on the same night: those of its [variants], or as --variant says, or "
        "other files. Print cautions, what people ask with every difference and how far it is known, cautions that a "
        "variant adds or takes away, where the heat went; write a picture.",
    )  # fmt: skip
    _reads_a_scenario(verb)
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
        "--draws", type=_few_draws, metavar="N",
        help="draws of what nobody knows, for the range of each difference (default: 20, with --usual 10; 0: none)",
    )  # fmt: skip
    verb.add_argument("--seed", type=_seed, default=0, metavar="N", help="of these draws (default: 0)")
    verb.add_argument("--out", type=Path, metavar="DIR", help="folder for the picture (default: beside FILE)")
    verb.add_argument("--quiet", action="store_true", help="hide progress; cautions stay")


def _few_draws(text: str) -> int:
    """How many draws, 0 to 1000; fewer than 5 have no range."""
    if text.isdecimal() and (int(text) == 0 or 5 <= int(text) <= 1000):
        return int(text)
    raise argparse.ArgumentTypeError(f"{text!r} is no number of draws: give 5 to 1000, or 0 for none")


def _seed(text: str) -> int:
    """A whole number, 0 or more."""
    if text.isdecimal() and len(text) <= 9:
        return int(text)
    raise argparse.ArgumentTypeError(f"{text!r} is no seed: give a whole number, 0 to 999999999")


def _starts(text: str) -> int:
    """How many starts, 1 to 50."""
    if text.isdecimal() and 1 <= int(text) <= 50:
        return int(text)
    raise argparse.ArgumentTypeError(f"{text!r} is no number of starts: give 1 to 50")


def _draws(text: str) -> int:
    """How many draws, 50 to 10000, or none."""
    if text.isdecimal() and (int(text) == 0 or 50 <= int(text) <= 10_000):
        return int(text)
    raise argparse.ArgumentTypeError(
        f"{text!r} is no number of draws: give 50 to 10000, or 0 for a bell curve"
    )


def _stove_parser(verbs: Verbs) -> None:
    verb = _verb(
        verbs, "stove", stove, "is the stove big enough",
        "Tell what heat the shelter of a scenario needs to hold wish.cot_at_least in design nights, what stoves of "
        "several sizes hold that are filled every so often, and the smallest that does, in the terms of a shop; write "
        "a picture. For a stove that is at hand, and for one that is not bought yet.",
    )  # fmt: skip
    _reads_a_scenario(verb)
    for option, metavar, words in (
        (
            "--low",
            "TEMP,...",
            "outdoor temperatures of design nights, the coldest decides (default: the night's lowest)",
        ),
        (
            "--wind",
            "SPEED,...",
            "winds, the strongest decides (default: the scenario's; calm and windy are told too)",
        ),
        ("--every", "TIME,...", "time between full loads (default: 2 h,3 h,4 h)"),
        ("--volume", "VOLUME,...", "firebox volumes (default: seven from 5 L to 60 L)"),
    ):
        verb.add_argument(option, action="append", default=[], metavar=metavar, help=words)
    verb.add_argument(
        "--stove", action="append", default=[], metavar="KEY=VALUE",
        help='a key of [stove] that is the same for every size, for example --stove sheet="2 mm steel"; may be '
        "given more than once",
    )  # fmt: skip
    verb.add_argument("--out", type=Path, metavar="DIR", help="folder for the picture (default: beside FILE)")
    _writes_a_page(verb)
    verb.add_argument("--quiet", action="store_true", help="hide progress; cautions stay")


def _study_parser(verbs: Verbs) -> None:
    verb = _verb(
        verbs, "study", study, "what do many nights say, and what matters most",
        "Solve the nights of a study file: factors of a scenario with their levels, laid out by a method of the trade. "
        "Print cautions, each output by factor and, by the methods morris and saltelli, what matters most; keep the "
        "nights in a folder, and write a picture. Stopped, it goes on by the same command.",
    )  # fmt: skip
    verb.add_argument("file", type=Path, metavar="STUDY", help="study file (TOML)")
    verb.add_argument("--out", type=Path, metavar="DIR", help="folder for the study (default: beside STUDY)")
    verb.add_argument("--units", choices=("us", "si"), help="units to show (default: the scenario's)")
    verb.add_argument("--csv", action="store_true", help="also write a table of the cases")
    verb.add_argument("--yes", action="store_true", help="solve more than 20,000 nights too: they are meant")
    verb.add_argument("--retry-failed", action="store_true", help="solve nights that failed once more")
    verb.add_argument("--workers", type=_workers, metavar="N", help="processes (default: one for each core)")
    verb.add_argument(
        "--cluster", metavar="ADDRESS", help="let the workers of a Dask cluster solve them: tcp://HOST:PORT"
    )
    verb.add_argument("--quiet", action="store_true", help="hide progress; cautions stay")


def _workers(text: str) -> int:
    """How many processes, 1 to 1000."""
    if text.isdecimal() and 1 <= int(text) <= 1000:
        return int(text)
    raise argparse.ArgumentTypeError(f"{text!r} is no number of processes: give 1 to 1000")


def _check_parser(verbs: Verbs) -> None:
    verb = _verb(
        verbs, "check", check, "what is wrong or odd in a scenario file",
        "Read a scenario file and print every fault with its line; without faults, all that is odd: values outside "
        "their usual range, and what does not go together. Nothing is simulated.",
    )  # fmt: skip
    _reads_a_scenario(verb)


def _explain_parser(verbs: Verbs) -> None:
    verb = _verb(
        verbs, "explain", explain, "what does a key mean, and how is it written",
        "Tell what a key of a scenario file means, how it is written, what is allowed, usual and taken by default. "
        "Names of your own are understood; a part of a name lists what has it; a table lists its keys.",
    )  # fmt: skip
    verb.add_argument(
        "field",
        nargs="+",
        metavar="FIELD",
        help="for example shelter.window.area, stove, moisture; a trade word, as draught; words: all of those",
    )


def _new_parser(verbs: Verbs) -> None:
    verb = _verb(
        verbs, "new", new, "a first scenario file, or a form on paper",
        "Write a first scenario file for a shelter like one of the table; never over a file that is there. Or print a "
        "form to take along: --sheet for a test night, --burn-sheet for the first burn of a stove.",
    )  # fmt: skip
    verb.add_argument(
        "file", type=Path, nargs="?", metavar="FILE",
        help="the file to write (TOML); with --sheet a scenario whose heights the form takes",
    )  # fmt: skip
    verb.add_argument(
        "--like", metavar="NAME", help='a shelter of the table, as "large bell"; left away, all are listed'
    )
    verb.add_argument(
        "--stove", metavar="NAME", help="a stove of the table (default: one that goes with the floor)"
    )
    verb.add_argument(
        "--evening", metavar="YYYY-MM-DD", help="date on which the night begins (default: a placeholder)"
    )
    verb.add_argument("--units", choices=("us", "si"), help="units to write (default: si)")
    forms = verb.add_mutually_exclusive_group()
    forms.add_argument("--ask", action="store_true", help="answer six questions")
    forms.add_argument("--sheet", action="store_true", help="print the form of a test night")
    forms.add_argument("--burn-sheet", action="store_true", help="print the form of a stove's first burn")
    verb.add_argument(
        "--out", type=Path, metavar="FILE.txt", help="write the form there (default: to the screen)"
    )


def _verb(
    verbs: Verbs, name: str, run: Callable[[argparse.Namespace], None], question: str, description: str
) -> argparse.ArgumentParser:
    verb = verbs.add_parser(name, allow_abbrev=False, help=question, description=description)
    verb.set_defaults(verb=run)
    return verb


def _reads_a_scenario(verb: argparse.ArgumentParser) -> None:
    verb.add_argument("file", type=Path, metavar="FILE", help="scenario file (TOML)")
    verb.add_argument(
        "--with",
        dest="overlays",
        type=Path,
        action="append",
        default=[],
        metavar="OVERLAY",
        help="partial scenario file laid over FILE; may be given more than once",
    )
    verb.add_argument(
        "--set",
        dest="settings",
        action="append",
        default=[],
        metavar="KEY=VALUE",
        help='one value changed, for example --set outdoors.wind="8 mph"; may be given more than once',
    )
    verb.add_argument("--units", choices=("us", "si"), help="units to show (default: the scenario's)")


def _writes_a_page(verb: argparse.ArgumentParser) -> None:
    verb.add_argument(
        "--page", action="store_true",
        help="also write everything as one HTML file, for a phone and for paper; it needs no network",
    )  # fmt: skip


class _Version(argparse.Action):
    """Show the version; looks it up only when asked."""

    def __call__(self, parser: argparse.ArgumentParser, *_: object) -> None:
        from importlib.metadata import version  # noqa: PLC0415

        screen.say(f"simtent {version('simtent')}")
        parser.exit(DONE)

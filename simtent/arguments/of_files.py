"""Arguments of the verbs that simulate nothing."""

from pathlib import Path

from simtent.arguments.shared import Verbs, a_verb, reads_a_scenario


def check(verbs: Verbs) -> None:
    """`simtent check FILE`."""
    verb = a_verb(
        verbs, "check", "what is wrong or odd in a scenario file",
        "Read a scenario file and print every fault with its line; without faults, all that is odd: values outside "
        "their usual range, and what does not go together. Nothing is simulated.",
    )  # fmt: skip
    reads_a_scenario(verb)


def explain(verbs: Verbs) -> None:
    """`simtent explain FIELD`."""
    verb = a_verb(
        verbs, "explain", "what does a key mean, and how is it written",
        "Tell what a key of a scenario file means, how it is written, what is allowed, usual and taken by default. "
        "Names of your own are understood; a part of a name lists what has it; a table lists its keys.",
    )  # fmt: skip
    verb.add_argument(
        "field",
        nargs="+",
        metavar="FIELD",
        help="for example shelter.window.area, stove, moisture; a trade word, as draught; words: all of those",
    )


def new(verbs: Verbs) -> None:
    """`simtent new FILE`."""
    verb = a_verb(
        verbs, "new", "a first scenario file, or a form on paper",
        "Write a first scenario file for a shelter like one of the table; never over a file that is there. Or print a "
        "form to take along: --sheet for a test night, --burn-sheet for the first burn of a stove.",
    )  # fmt: skip
    verb.add_argument(
        "file", type=Path, nargs="?", metavar="FILE",
        help="the file to write (TOML); with --sheet a scenario whose heights the form takes",
    )  # fmt: skip
    verb.add_argument(
        "--like", metavar="NAME", help='a shelter of the table, as "large bell"; left out, all are listed'
    )
    verb.add_argument(
        "--stove", metavar="NAME", help="a stove of the table (default: one that goes with the floor)"
    )
    verb.add_argument(
        "--evening", metavar="YYYY-MM-DD", help="date on which the night begins (default: a placeholder)"
    )
    verb.add_argument("--units", choices=("us", "si"), help="units to write (default: si)")
    forms = verb.add_mutually_exclusive_group()
    forms.add_argument("--ask", action="store_true", help="answer seven questions")
    forms.add_argument("--sheet", action="store_true", help="print the form of a test night")
    forms.add_argument("--burn-sheet", action="store_true", help="print the form of a stove's first burn")
    verb.add_argument(
        "--out", type=Path, metavar="FILE.txt", help="write the form there (default: to the screen)"
    )


def schema(verbs: Verbs) -> None:
    """`simtent schema VERB`."""
    verb = a_verb(
        verbs, "schema", "what does --json print",
        "Print the JSON Schema (draft 2020-12) of the document that a verb prints with --json; without a name tell "
        "which documents there are, each with its version.",
    )  # fmt: skip
    verb.add_argument("document", nargs="?", metavar="DOCUMENT", help="a verb, or card, list, faults")

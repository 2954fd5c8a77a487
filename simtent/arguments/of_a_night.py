"""Arguments of the verbs that tell one night."""

from pathlib import Path

from simtent.arguments.shared import Verbs, a_verb, draws_a_picture, reads_a_scenario, writes_a_page


def night(verbs: Verbs) -> None:
    """`simtent night FILE`."""
    verb = a_verb(
        verbs, "night", "what will the night be like",
        "Simulate the night of a scenario file; print cautions, an hourly table and a summary; "
        "write the result and a picture.",
    )  # fmt: skip
    reads_a_scenario(verb)
    verb.add_argument("--out", type=Path, metavar="DIR", help="folder for the files (default: beside FILE)")
    verb.add_argument(
        "--air-at",
        action="append",
        default=[],
        metavar="HH:MM",
        help="also draw how the air moves at that time of the night (the nearest in the result), once",
    )
    draws_a_picture(verb)
    writes_a_page(verb)
    verb.add_argument("--quiet", action="store_true", help="hide progress; cautions stay")


def heights(verbs: Verbs) -> None:
    """`simtent heights FILE`."""
    verb = a_verb(
        verbs, "heights", "how warm and how damp is it from floor to peak",
        "Simulate the night with damp counted; print cautions, temperatures at every level, what keeps the floor "
        "cold, comfort and damp; compare nights that differ in one thing; write the result and pictures.",
    )  # fmt: skip
    reads_a_scenario(verb)
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
        ("--cot", "HEIGHT,...", "compare heights of the cot, with units (25cm,45cm or 10in,18in)"),
        ("--stove-at", "PLACE,...", "compare where the stove stands: free, wall, corner"),
        ("--fan", "on,off", "compare with and without the scenario's fan"),
        ("--vent", "[NAME=]SHARE,...", "compare shares of a vent's opening, in per cent; also as a picture"),
    ):
        verb.add_argument(option, action="append", metavar=metavar, help=words)
    draws_a_picture(verb)
    writes_a_page(verb)
    verb.add_argument("--quiet", action="store_true", help="hide progress; cautions stay")

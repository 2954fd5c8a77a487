"""Arguments of the verbs about the fire: its plan, its stove, its wood."""

import argparse
from pathlib import Path

from simtent.arguments.numbers import seed
from simtent.arguments.shared import Verbs, a_verb, draws_a_picture, reads_a_scenario, writes_a_page


def stoke(verbs: Verbs) -> None:
    """`simtent stoke FILE`."""
    verb = a_verb(
        verbs, "stoke", "when to get up, how much to load",
        "Plan the fire of a scenario's night by [wish]: the fewest wake-ups, then the least wood, then the most even "
        "warmth, with coals that still light every load. Print cautions, the plan, what it promises, what other "
        "numbers of wake-ups would buy; write the plan as an overlay that simtent night takes by --with, and a "
        "picture. With --card plan a band of nights, and write them as a card for a pocket (PDF) and for a phone "
        "(PNG). Ctrl-C keeps the best so far, or the rows that are finished.",
    )  # fmt: skip
    reads_a_scenario(verb)
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
    _at_night(verb)
    verb.add_argument("--out", type=Path, metavar="DIR", help="folder for the files (default: beside FILE)")
    verb.add_argument(
        "--seed", type=seed, default=0, metavar="N",
        help="of the nights drawn around the one foretold (default: 0); the search draws nothing",
    )  # fmt: skip
    draws_a_picture(verb)
    writes_a_page(verb)
    verb.add_argument("--quiet", action="store_true", help="hide progress; cautions stay")


def _at_night(verb: argparse.ArgumentParser) -> None:
    """What somebody knows who is awake at night."""
    verb.add_argument(
        "--now", action="store_true",
        help="awake at night: load now or sleep on, and the rest of the night anew; give --with the evening's plan",
    )  # fmt: skip
    for option, metavar, words in (
        ("--at", "HH:MM", "with --now: the time (default: this computer's clock, at the camp's zone)"),
        ("--last-load", "HH:MM", "with --now: when wood was last put on (default: as the file has it)"),
        ("--load", "PIECES", 'with --now: what was put on then, "3 split" (default: as the file has it)'),
        ("--cot", "TEMP", "with --now: what a thermometer at the cot reads"),
        ("--wood", "PIECES", 'with --now: pieces left, "9", or by kind "6 split, 2 stick"'),
    ):
        verb.add_argument(option, metavar=metavar, help=words)
    verb.add_argument("--coals", choices=("glowing", "dead"), help="with --now: whether coals glow")


def stove(verbs: Verbs) -> None:
    """`simtent stove FILE`."""
    verb = a_verb(
        verbs, "stove", "is the stove big enough",
        "Tell what heat the shelter of a scenario needs to hold wish.cot_at_least in design nights, what stoves of "
        "several sizes hold that are filled every so often, and the smallest that does, in the terms of a shop; write "
        "a picture. For a stove that is at hand, and for one that is not bought yet.",
    )  # fmt: skip
    reads_a_scenario(verb)
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
    draws_a_picture(verb)
    writes_a_page(verb)
    verb.add_argument("--quiet", action="store_true", help="hide progress; cautions stay")


def wood(verbs: Verbs) -> None:
    """`simtent wood FILE`."""
    verb = a_verb(
        verbs, "wood", "how much wood does a trip take",
        "Count the wood of the nights of [[trip]]: a stoking plan is made for each, so that cold nights take more: "
        "some 20 s a night, and one more for colder air than foretold. Print cautions, what to take in pieces, weight, "
        "volume and ways, the nights, and other woods; write a picture. Ctrl-C keeps the nights that are done.",
    )  # fmt: skip
    reads_a_scenario(verb)
    verb.add_argument(
        "--as-stoked", action="store_true",
        help="no plans: burn the loads and rules of [stoking] in every night (fast; loads by the clock burn the same "
        "whatever the weather)",
    )  # fmt: skip
    verb.add_argument("--out", type=Path, metavar="DIR", help="folder for the picture (default: beside FILE)")
    draws_a_picture(verb)
    writes_a_page(verb)
    verb.add_argument("--quiet", action="store_true", help="hide progress; cautions stay")

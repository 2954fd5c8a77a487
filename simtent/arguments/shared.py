"""Arguments that many verbs share."""

import argparse
from pathlib import Path
from typing import TypeAlias

from simtent.errors import read_as_utf8

Verbs: TypeAlias = "argparse._SubParsersAction[argparse.ArgumentParser]"


def a_verb(verbs: Verbs, name: str, question: str, description: str) -> argparse.ArgumentParser:
    """A verb: its run is that of the module of this name in `simtent.verbs`."""
    verb = verbs.add_parser(name, allow_abbrev=False, help=question, description=description)
    verb.set_defaults(verb=name, told=False)
    verb.add_argument(
        "--json", action="store_true",
        help="print the answer as one JSON document in place of words; simtent schema tells what it holds",
    )  # fmt: skip
    return verb


def reads_a_scenario(verb: argparse.ArgumentParser) -> None:
    """FILE, and what is laid over it."""
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
        type=read_as_utf8,
        action="append",
        default=[],
        metavar="KEY=VALUE",
        help='one value changed, for example --set outdoors.wind="8 mph"; may be given more than once',
    )
    verb.add_argument("--units", choices=("us", "si"), help="units to show (default: the scenario's)")


def draws_a_picture(verb: argparse.ArgumentParser) -> None:
    """The form of the pictures that a verb writes."""
    verb.add_argument(
        "--picture", choices=("png", "svg", "pdf"), default="png",
        help="form of pictures (default: png); svg and pdf stay sharp at any size, their text stays text",
    )  # fmt: skip


def writes_a_page(verb: argparse.ArgumentParser) -> None:
    """The answer as one HTML file."""
    verb.add_argument(
        "--page", action="store_true",
        help="also write everything as one HTML file, for a phone and for paper; it needs no network",
    )  # fmt: skip

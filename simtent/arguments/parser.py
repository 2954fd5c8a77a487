"""The whole command line: every verb with its arguments."""

import argparse

from simtent.arguments import completion, of_a_night, of_files, of_fire, of_logs, of_variants
from simtent.tell import screen

DESCRIPTION = """\
Thermal simulation of a stove-heated fabric shelter through a cold night.

Nothing printed here is a safety guarantee: use a carbon monoxide alarm rated
for the cold, keep vents open, follow the makers' manuals and local codes."""

IN_ORDER = (
    of_a_night.night, of_a_night.heights, of_logs.log, of_logs.fit, of_fire.stoke, of_fire.stove, of_fire.wood,
    of_variants.compare, of_variants.study, of_files.check, of_files.explain, of_files.new,
    of_files.schema,
)  # fmt: skip


def parser() -> argparse.ArgumentParser:
    """A parser whose answer names a verb, or none: then `verb` is None."""
    whole = argparse.ArgumentParser(
        prog="simtent",
        description=DESCRIPTION,
        epilog=completion.EPILOG,
        formatter_class=_Paragraphs,
        allow_abbrev=False,
    )
    whole.add_argument("--version", action=_Version, nargs=0, help="show the version and exit")
    whole.add_argument(
        "--completion", choices=completion.SHELLS, help="print what completes commands in a shell, and exit"
    )
    whole.set_defaults(verb=None)
    verbs = whole.add_subparsers(metavar="VERB")
    for add in IN_ORDER:
        add(verbs)
    return whole


class _Paragraphs(argparse.HelpFormatter):
    """Keeps what a blank line parts apart, and lines that begin with a blank as they are."""

    def _fill_text(self, text: str, width: int, indent: str) -> str:
        parts = text.split("\n\n")
        fill = super()._fill_text
        return "\n\n".join(it if it.startswith(" ") else fill(it, width, indent) for it in parts)


class _Version(argparse.Action):
    """Show the version; looks it up only when asked."""

    def __call__(self, parser: argparse.ArgumentParser, *_: object) -> None:
        from importlib.metadata import version  # noqa: PLC0415

        screen.say(f"simtent {version('simtent')}")
        parser.exit(0)

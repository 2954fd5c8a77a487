"""The command line: one verb per question. Everything heavy is imported when a verb runs."""

import argparse
import importlib
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import Final, Literal

from simtent.arguments import completion
from simtent.arguments.below_zero import joined
from simtent.arguments.parser import parser
from simtent.errors import Fault, InputError, SolveError, StudyError
from simtent.tell import screen
from simtent.tell.command import command

UTF8 = "Set PYTHONUTF8=1, or a locale with UTF-8, and ask again"
DONE: Final = 0
OURS: Final = 1
YOURS: Final = 2
INTERRUPTED: Final = 130


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one verb; the exit code is 0 done, 2 the user's input, 1 a fault of ours, 130 interrupted."""
    given = list(sys.argv[1:] if arguments is None else arguments)
    if given and given[0].endswith(".toml"):
        todo = f"Write for example: {command('night', Path(given[0]))}"
        screen.complain([str(Fault("no verb before the file", file=given[0], todo=todo))])
        return YOURS
    options = parser().parse_args(joined(given))
    try:
        _run(options)
    except InputError as error:
        return _complained(options, error.faults, YOURS)
    except (SolveError, StudyError) as error:
        return _complained(options, [Fault(str(error))], OURS)
    except KeyboardInterrupt:
        screen.complain(["Interrupted. No file is half-written."])
        return INTERRUPTED
    except BrokenPipeError:
        screen.leave_quietly()  # the reader of our output has read enough
    except OSError as error:
        todo = "Make room, or send the output somewhere else."
        screen.complain([f"The output cannot be written: {error.strerror or error}. {todo}"])
        screen.leave_quietly()
        return OURS
    return DONE


def _complained(options: argparse.Namespace, faults: Sequence[Fault], code: Literal[1, 2]) -> int:
    """Say what is wrong, with --json as a document too, unless the answer was told already; the exit code."""
    screen.complain(fault.what if code == OURS else str(fault) for fault in faults)
    if getattr(options, "json", False) and not options.told:
        from simtent.tell.answers import faults as answer  # noqa: PLC0415
        from simtent.tell.answers.text import say  # noqa: PLC0415

        say(answer.faults(faults, code))
    return code


def _run(options: argparse.Namespace) -> None:
    """Run the verb's module; without a verb, tell what there is to ask."""
    if options.completion:
        screen.say(completion.script(parser(), options.completion))
    elif options.verb is None:
        from simtent.tell import welcome  # noqa: PLC0415  (each verb loads what it needs, and no other)

        screen.show(welcome.lines())
    else:
        try:
            importlib.import_module(f"simtent.verbs.{options.verb}").run(options)
        except UnicodeEncodeError as error:  # of a file's name: what is told has only signs that can be shown
            what = "the name of a file has signs that this machine's locale cannot name"
            lacking = error.object[error.start : error.end]
            raise InputError(Fault(what, value=lacking, todo=UTF8)) from None

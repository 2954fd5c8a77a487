"""The command line: one verb per question. Everything heavy is imported when a verb runs."""

import argparse
import importlib
import sys
from collections.abc import Sequence
from pathlib import Path

from simtent.arguments import completion
from simtent.arguments.parser import parser
from simtent.errors import Fault, InputError, SolveError, StudyError
from simtent.tell import screen
from simtent.tell.command import command

UTF8 = "Set PYTHONUTF8=1, or a locale with UTF-8, and ask again"
DONE, OURS, YOURS, INTERRUPTED = 0, 1, 2, 130


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one verb; the exit code is 0 done, 2 the user's input, 1 a fault of ours, 130 interrupted."""
    given = list(sys.argv[1:] if arguments is None else arguments)
    if given and given[0].endswith(".toml"):
        todo = f"Write for example: {command('night', Path(given[0]))}"
        screen.complain([str(Fault("no verb before the file", file=given[0], todo=todo))])
        return YOURS
    options = parser().parse_args(given)
    try:
        _run(options)
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
        todo = "Make room, or send the output somewhere else."
        screen.complain([f"The output cannot be written: {error.strerror or error}. {todo}"])
        screen.leave_quietly()
        return OURS
    return DONE


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

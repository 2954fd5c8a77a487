"""The command line: one verb per question. Everything heavy is imported when a verb runs."""

import argparse
import importlib
import sys
from collections.abc import Sequence

from simtent.arguments.below_zero import joined
from simtent.arguments.parser import parser
from simtent.errors import Fault, InputError, SolveError, StudyError
from simtent.tell import screen

DONE, OURS, YOURS, INTERRUPTED = 0, 1, 2, 130


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one verb; the exit code is 0 done, 2 the user's input, 1 a fault of ours, 130 interrupted."""
    given = list(sys.argv[1:] if arguments is None else arguments)
    if given and given[0].endswith(".toml"):
        todo = f"Write for example: simtent night {given[0]}"
        screen.complain([str(Fault("no verb before the file", file=given[0], todo=todo))])
        return YOURS
    options = parser().parse_args(joined(given))
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
        screen.complain([f"The output cannot be written: {error.strerror or error}"])
        screen.leave_quietly()
        return OURS
    return DONE


def _run(options: argparse.Namespace) -> None:
    """Run the verb's module; without a verb, tell what there is to ask."""
    if options.verb is None:
        from simtent.tell import welcome  # noqa: PLC0415  (each verb loads what it needs, and no other)

        screen.show(welcome.lines())
    else:
        importlib.import_module(f"simtent.verbs.{options.verb}").run(options)

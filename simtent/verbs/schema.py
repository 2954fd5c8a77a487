"""Print the JSON Schema of what a verb answers with --json, or which there are."""

import json
from argparse import Namespace

from simtent.tell import screen
from simtent.tell.answers.documents import DOCUMENTS, schema, version_of


def run(options: Namespace) -> None:
    """Print it; without a name one line for each document."""
    if options.document:
        screen.say(json.dumps(schema(options.document), indent=2))
    elif options.json:
        screen.say(json.dumps({f"simtent.{name}": schema(name) for name in DOCUMENTS}))
    else:
        for name in DOCUMENTS:
            screen.say(f"{name:<10}simtent.{name}, version {version_of(name)}")

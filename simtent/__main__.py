"""Run the command line: ``python -m simtent``."""

import sys

from simtent.cli import main

if __name__ == "__main__":
    sys.exit(main())

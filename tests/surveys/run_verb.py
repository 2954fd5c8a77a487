"""The command line in a process of its own, with nights made of a formula; a test may kill it.

python -m tests.surveys.run_verb FORMULA ARGUMENTS...
"""

import sys

from simtent import cli
from simtent.studies import batch

if __name__ == "__main__":
    batch.ONE_NIGHT = f"tests.surveys.formulas:{sys.argv[1]}"
    sys.exit(cli.main(sys.argv[2:]))

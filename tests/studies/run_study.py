"""Solve a study from a process of its own, which a test may kill or starve.

python -m tests.studies.run_study FOLDER NIGHT COUNT CHUNK [WORKERS [LARGEST FILE in bytes]]
"""

import resource
import sys

import simtent
from simtent.errors import SimtentError
from tests.studies import cheap

# Files may not grow beyond a size, as if the disk were full: the system refuses to write.


def main(folder, night, count, chunk, workers="2", largest=None):
    if largest:
        resource.setrlimit(resource.RLIMIT_FSIZE, (int(largest), resource.RLIM_INFINITY))
    function = None if night == "one_night" else getattr(cheap, night)
    variations = cheap.shifts(int(count))
    try:
        simtent.study(
            cheap.base(),
            folder,
            variations,
            night=function,
            chunk=int(chunk),
            workers=int(workers),
        )
    except SimtentError as error:
        sys.exit(str(error))
    own, children = (
        resource.getrusage(who).ru_maxrss / 1024.0 for who in (resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN)
    )
    print(f"{own:.0f} {children:.0f}")


if __name__ == "__main__":
    main(*sys.argv[1:])

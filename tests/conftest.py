"""Profiles of the property tests: speedy by default, more examples on demand or in CI; options that tell what ran."""

import os

# Before NumPy is there: threads of linear algebra that wait for each other and for other workers cost more than work.
for threads in ("OPENBLAS_NUM_THREADS", "OMP_NUM_THREADS", "MKL_NUM_THREADS"):
    os.environ.setdefault(threads, "1")

import matplotlib  # noqa: E402
from hypothesis import HealthCheck, settings  # noqa: E402

from tests import spent  # noqa: E402
from tests.checked_page import axe, chromium  # noqa: E402, F401  (fixtures of all that opens pages)

matplotlib.use("Agg")

for name, examples in (("speedy", 25), ("default", 200), ("thorough", 2000)):
    settings.register_profile(
        name,
        max_examples=examples,
        deadline=None,
        derandomize=name == "speedy",
        suppress_health_check=[HealthCheck.too_slow],
        print_blob=True,
    )
settings.load_profile(os.environ.get("HYPOTHESIS_PROFILE", "speedy"))


pytest_addoption = spent.add_options
pytest_configure = spent.configure

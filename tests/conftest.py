"""Profiles of the property tests: speedy by default, more examples on demand or in CI."""

import os

import matplotlib
from hypothesis import HealthCheck, settings

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

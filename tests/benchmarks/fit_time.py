"""How long the demo's fit takes, and how many numbers it seeks: `python tests/benchmarks/fit_time.py`."""

import time

import simtent


def main() -> None:
    """Fit once to compile, once to measure; print a line."""
    scenario = simtent.load("scenarios/alder_ford.toml")
    simtent.calibrate(scenario, starts=1)
    wall, processor = time.perf_counter(), time.process_time()
    found = simtent.calibrate(scenario)
    wall, processor = time.perf_counter() - wall, time.process_time() - processor
    simulated = {k for outlook in found.misfit.outlooks for k in outlook.moving()}
    print(
        f"{len(found.nights)} nights, {found.readings} readings, {len(found.sought)} numbers, {len(simulated)} of them "
        f"simulated: {wall:.0f} s, {processor:.0f} s of processor time, settled: {found.best.settled}"
    )


if __name__ == "__main__":
    main()

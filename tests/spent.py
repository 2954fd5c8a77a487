"""What tests spend, and which ones ran: `pytest --spent` tells CPU seconds, `pytest --ran=FILE` writes names down.

CPU seconds of a test are those of its process and of the processes it started, with its fixtures' (a shared fixture's
fall to the first test that asks for it): they say the same on a busy machine as on a quiet one, which durations do not.
"""

import os
from collections import Counter
from pathlib import Path
from typing import Any

import pytest

DEAREST = 40


def spent() -> float:
    """CPU seconds of this process and of its ended children."""
    times = os.times()
    return times.user + times.system + times.children_user + times.children_system


class Spent:
    """Counts in every worker, adds up where the workers' reports arrive."""

    def __init__(self) -> None:
        self.before = spent()
        self.by_file: Counter[str] = Counter()
        self.by_test: Counter[str] = Counter()
        self.tests: Counter[str] = Counter()

    @pytest.hookimpl(wrapper=True)
    def pytest_runtest_protocol(self) -> Any:
        self.before = spent()
        return (yield)

    @pytest.hookimpl(wrapper=True)
    def pytest_runtest_makereport(self) -> Any:
        report = yield
        now = spent()
        report.user_properties = [*report.user_properties, ("cpu", now - self.before)]
        self.before = now
        return report

    def pytest_runtest_logreport(self, report: pytest.TestReport) -> None:
        file, seconds = report.nodeid.partition("::")[0], dict(report.user_properties).get("cpu", 0.0)
        self.by_file[file] += seconds
        self.by_test[report.nodeid] += seconds
        self.tests[file] += report.when == "call"

    def pytest_terminal_summary(self, terminalreporter: Any) -> None:
        told = terminalreporter
        told.section(f"CPU seconds of tests: {sum(self.by_file.values()):.0f}, without start and collection")
        for file, seconds in self.by_file.most_common(DEAREST):
            told.write_line(f"{seconds:8.1f} s {self.tests[file]:5d} tests  {file}")
        for test, seconds in self.by_test.most_common(DEAREST):
            told.write_line(f"{seconds:8.1f} s  {test}")


class Ran:
    """Appends what became of every test that was selected, and its name, to a file."""

    def __init__(self, file: Path) -> None:
        self.file = file

    def pytest_runtest_logreport(self, report: pytest.TestReport) -> None:
        if report.when == "call" or (report.when == "setup" and not report.passed):
            with self.file.open("a", encoding="utf-8") as file:
                file.write(f"{report.outcome} {report.nodeid}\n")


def add_options(parser: pytest.Parser) -> None:
    """The two options."""
    group = parser.getgroup("simtent")
    group.addoption("--spent", action="store_true", help="tell the CPU seconds of files and tests")
    group.addoption("--ran", type=Path, help="append the names of selected tests to a file")


def configure(config: pytest.Config) -> None:
    """Do what the options ask for."""
    if config.getoption("--spent"):
        config.pluginmanager.register(Spent())
    if (file := config.getoption("--ran")) and not hasattr(config, "workerinput"):
        config.pluginmanager.register(Ran(file))

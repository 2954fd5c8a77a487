"""The docstrings of laws and engine, read by machine: names as in the signature, units, sources."""

import doctest
import importlib
import inspect
import pkgutil
import re

import pytest

import simtent.identify
import simtent.network
import simtent.physics
from tests.reference import other_laws

UNIT = re.compile(r"\[[^\]\s][^\]]*\]")
HEADING = re.compile(r"^(\w[\w ]*)\n-+$", re.MULTILINE)


def modules(package):
    return [
        importlib.import_module(f"{package.__name__}.{info.name}")
        for info in pkgutil.iter_modules(package.__path__)
    ]


def public_functions(*modules):
    """Plain Python of every public function that the modules define, compiled or not."""
    found = []
    for module in modules:
        for name, value in vars(module).items():
            plain = getattr(value, "py_func", value)
            if inspect.isfunction(plain) and plain.__module__ == module.__name__ and not name.startswith("_"):
                found.append(pytest.param(plain, id=f"{module.__name__}.{name}"))
    return found


def sections(function):
    """Split a docstring at its headings: the summary under "", then each section's text by its heading."""
    text = inspect.getdoc(function) or ""
    parts = HEADING.split(text)
    return {"": parts[0], **dict(zip(parts[1::2], parts[2::2], strict=True))}


def entries(section):
    """Read the entries of a Parameters or Returns section: name or type, then the indented text."""
    found = {}
    for block in re.split(r"\n(?=\S)", section.strip()):
        head, _, text = block.partition("\n")
        found[head.split(" : ")[0]] = (head, text)
    return found


def mismatches(function, doc):
    """Say what the Parameters section and the signature do not agree on."""
    names = list(inspect.signature(function).parameters)
    described = list(entries(doc.get("Parameters", "")))
    return [] if described == names else [f"parameters {described} described, {names} in the signature"]


def without_unit(doc, heading):
    return [name for name, (_, text) in entries(doc.get(heading, "")).items() if not UNIT.search(text)]


LAWS = public_functions(*modules(simtent.physics), other_laws)
ENGINE = public_functions(*modules(simtent.network))


def test_functions_are_found():
    assert len(LAWS) > 20
    assert len(ENGINE) > 10


@pytest.mark.parametrize("function", LAWS)
def test_law(function):
    doc = sections(function)
    assert doc[""].strip().split("\n")[0].endswith("."), "a summary sentence on the first line"
    assert mismatches(function, doc) == []
    assert without_unit(doc, "Parameters") == [], "a unit in brackets for each argument"
    assert "Returns" in doc and without_unit(doc, "Returns") == [], "a unit in brackets for what is returned"
    assert doc.get("Source", "").strip(), "a source"
    order = ["", "Parameters", "Returns", "Raises", "Source", "Notes", "Examples"]
    assert [heading for heading in order if heading in doc] == list(doc), "numpydoc sections in their order"


@pytest.mark.parametrize("function", ENGINE)
def test_engine(function):
    """The engine has no published source; what it says about its arguments must be true."""
    doc = sections(function)
    assert doc[""].strip().split("\n")[0].endswith("."), "a summary sentence on the first line"
    if "Parameters" in doc:
        assert mismatches(function, doc) == []


@pytest.mark.parametrize(
    "module", [*modules(simtent.physics), simtent.identify], ids=lambda module: module.__name__
)
def test_examples(module):
    assert doctest.testmod(module, raise_on_error=False).failed == 0


def test_the_reader_itself():
    """It must see a wrong name, a missing unit and a missing source."""

    def law(one, two):
        """Say something.

        Parameters
        ----------
        one : float
            First [m].
        three : float
            Second.

        Returns
        -------
        float
            Sum [m].
        """
        return one + two

    doc = sections(law)
    assert mismatches(law, doc)
    assert without_unit(doc, "Parameters") == ["three"]
    assert without_unit(doc, "Returns") == []
    assert "Source" not in doc

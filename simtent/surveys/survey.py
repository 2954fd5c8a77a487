"""A study file: which cases of which scenario are solved, and what is asked of them."""

import os
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

from simtent.errors import Fault, InputError
from simtent.scenario.load import load
from simtent.scenario.nearest import nearest
from simtent.scenario.scenario import Scenario, build
from simtent.scenario.tree import merge
from simtent.studies.wanted import SUMMARY, check_wanted, dims_of, is_declared
from simtent.surveys.choices import choices_of
from simtent.surveys.designs import INDICES, METHODS, MORRIS_PLACES, Design, design_of, laid_out
from simtent.surveys.factors import Choice, Factor, Level
from simtent.surveys.given import Given, given, raise_faults
from simtent.surveys.levels import factors_of
from simtent.surveys.nights import nights_of
from simtent.surveys.outputs import USUAL, Output, output

if TYPE_CHECKING:
    import xarray as xr

    from simtent.studies.wanted import Night

MANY = 20_000  # cases, above which somebody may have counted wrong: an hour or more of work
MOST_CASES = 100_000_000
LARGEST_SEED = 2**31 - 1
KEPT = ("case", "begin", "changes", "state", "reason", "elapsed")  # names that every study has
SCENARIO = "scenario"  # the factor, where a study has several


@dataclass(frozen=True)
class Survey:
    """A study as its file asks for it.

    name     of the study
    path     of its file
    bases    scenarios, with what is fixed for all cases
    factors  what is changed from case to case
    design   which cases, and how many
    seed     from which a method draws
    outputs  what is asked of each night
    keep     variables kept of each night
    """

    name: str
    path: Path
    bases: tuple[Scenario, ...]
    factors: tuple[Factor, ...]
    design: Design
    seed: int
    outputs: tuple[Output, ...]
    keep: tuple[str, ...]

    def cases(self) -> Iterator[tuple[Level, ...]]:
        """The levels of every case, a level for each factor; made anew, since there may be many."""
        return laid_out(self.design, self.factors, self.seed)

    def told(self) -> dict[str, Any]:
        """How the study is laid out, as it is kept with it."""
        return {
            "study": self.name,
            "method": self.design.method,
            "blocks": self.design.blocks,
            "seed": self.seed,
            "factors": [factor.told() for factor in self.factors],
        }

    def labels(self) -> list[dict[str, str]]:
        """What each case is called by its factors."""
        names = [factor.name for factor in self.factors]
        return [dict(zip(names, (level.label for level in case), strict=True)) for case in self.cases()]

    def variations(self) -> list[dict[str, Any]]:
        """What each case changes in the scenario."""
        return [_joined(case) for case in self.cases()]


def _joined(case: Sequence[Level]) -> dict[str, Any]:
    changes: dict[str, Any] = {}
    for level in case:
        changes |= level.changes
    return changes


def load_survey(path: str | Path) -> Survey:
    """A study file, read and checked: every level of every factor with the scenario; InputError with every fault."""
    found = given(path)
    bases = _bases(found)
    method = _method(found)
    cases = found.whole("cases", 1, MOST_CASES)
    seed = found.whole("seed", 0, LARGEST_SEED) or 0
    outputs = _outputs(found, bases)
    keep = _keep(found, outputs)
    factors: list[Factor] = []
    if bases:
        factors = [*factors_of(found, bases, grid=method == "grid"), *choices_of(found, bases)]
        nights = nights_of(found, bases)
        factors += [nights] if nights else []
        factors += [_scenarios(bases)] if len(bases) > 1 else []
        _refuse_shared(found, factors)
        if not factors and not found.faults:
            found.refuse(
                ("factors",), "a study without a factor", todo="Add [factors] with a key and its levels"
            )
    if method == "grid" and cases is not None:
        found.refuse(("cases",), "a grid has as many cases as its levels make", todo="Leave cases out")
    if method == "morris":
        _refuse_many_levels(found, factors)
    raise_faults(found)
    try:
        design = design_of(method, factors, cases)
    except InputError as error:
        found.at(("cases",), error.faults)
        raise_faults(found)
        raise
    name = found.text("name", found.path.stem)
    return Survey(name, found.path, tuple(bases), tuple(factors), design, seed, outputs, keep)


def _bases(found: Given) -> list[Scenario]:
    """The scenarios with [fixed] laid over them; none where one cannot be read, its faults noted."""
    names, fixed = found.texts("scenario"), found.table("fixed")
    if not names and "scenario" not in found.tree.nodes:
        found.refuse(("scenario",), "a study without a scenario", todo='Add scenario = "camp.toml"')
    bases = []
    for name in names:
        try:
            base = load(Path(os.path.normpath(found.path.parent / name)))
            bases.append(build(merge(base.tree, fixed), base.path) if fixed.nodes else base)
        except InputError as error:
            found.at(("scenario",), (_fixed(fault, found) for fault in error.faults))
    if len({base.name for base in bases}) < len(bases):
        found.refuse(("scenario",), "two scenarios of the same name", todo="Give each a name of its own")
    return bases if len(bases) == len(names) else []


def _fixed(fault: Fault, found: Given) -> Fault:
    """A fault, with the table where it stands if it is of [fixed]."""
    return replace(fault, key=f"fixed.{fault.key}") if fault.file == str(found.path) else fault


def _method(found: Given) -> str:
    method = found.text("method")
    if method in METHODS:
        return method
    allowed = ", ".join(f'"{name}"' for name in METHODS)
    what = "no such method" if method else "how cases are laid out is not said"
    todo = nearest(method, METHODS) if method else 'Add method = "grid"'
    if "method" not in found.tree.nodes or method:
        found.refuse(("method",), what, allowed, todo or 'Write for example method = "grid"')
    return ""


def _refuse_shared(found: Given, factors: Sequence[Factor]) -> None:
    """Note factors with the name of another or of what a study keeps, and keys that two factors change."""
    keys: dict[str, str] = {}
    names: set[str] = set()
    for it in factors:
        if it.name in names or it.name in KEPT or is_declared(it.name):
            todo = "Give the choice another name"
            found.refuse(("choices", it.name), f'the name "{it.name}" is taken', todo=todo)
        names.add(it.name)
        changed = (
            {key for level in it.levels for key in level.changes} if isinstance(it, Choice) else {it.name}
        )
        for key, other in ((key, other) for key in sorted(changed) for other in keys):
            if f"{key}.".startswith(f"{other}.") or f"{other}.".startswith(f"{key}."):
                what = f"{keys[other]} and {it.name} both change {key}: one would hide the other"
                found.refuse((), what, todo="Take it out of one of them")
        keys |= dict.fromkeys(changed, it.name)


def _refuse_many_levels(found: Given, factors: Sequence[Factor]) -> None:
    """Note every factor of more levels than Morris' paths have places."""
    for it in factors:
        if isinstance(it, Choice) and len(it.levels) > MORRIS_PLACES:
            what = f"{it.name} has {len(it.levels)} levels, of which morris would leave some out"
            todo = "Take another method, or fewer levels"
            found.refuse(("method",), what, f"up to {MORRIS_PLACES} levels", todo)


def _outputs(found: Given, bases: Sequence[Scenario]) -> tuple[Output, ...]:
    read, levels = [], list(dict.fromkeys(name for base in bases for name in base.levels))
    for text in found.texts("outputs", (USUAL,)):
        try:
            read.append(one := output(text))
            if levels and "level" in dims_of(one.name) and one.label not in levels:
                what, todo = f'"{one}": there is no such level', nearest(one.label, levels)
                raise InputError(Fault(what, None, None, None, one.label, ", ".join(levels), todo))
        except InputError as error:
            found.at(("outputs",), error.faults)
    return tuple(read)


def _keep(found: Given, outputs: Sequence[Output]) -> tuple[str, ...]:
    more = found.texts("keep") if "keep" in found.tree.nodes else ()
    try:
        return check_wanted([*SUMMARY, *(it.name for it in outputs), *more], "float32")
    except InputError as error:
        found.at(("keep",), error.faults)
        return ()


def _scenarios(bases: Sequence[Scenario]) -> Choice:
    return Choice(SCENARIO, tuple(Level(base.name, {}) for base in bases))


def refuse_many(it: Survey) -> None:
    """InputError for more cases than anyone is likely to mean."""
    if it.design.size > MANY:
        what = f"{it.design.size:,} cases: somebody may have counted wrong"
        todo = f"Take fewer levels or cases, or say that they are meant: --yes (above {MANY:,})"
        raise InputError(Fault(what, file=str(it.path), todo=todo))


def survey(
    path: str | Path,
    folder: str | os.PathLike[str] | None = None,
    *,
    many: bool = False,
    night: "Night | None" = None,
    **how: Any,
) -> "xr.Dataset":
    """Solve the study of a study file in a folder; called again, go on where it was stopped.

    Parameters
    ----------
    path : path
        The study file (TOML).
    folder : path, optional
        By default `<study file>.study` beside it.
    many : bool
        Solve more than 20,000 cases too.
    night, **how
        As `simtent.study` takes them: workers, cluster, retry_failed, quiet, chunk, precision.

    Returns
    -------
    xarray.Dataset
        As `simtent.open_study` gives it, with the label of every factor along `case`.

    Raises
    ------
    InputError
        Every fault of the study file; more cases than anyone is likely to mean; else as `simtent.study`.
    StudyError
        As `simtent.study`.
    """
    it = load_survey(path)
    if not many:
        refuse_many(it)
    return solve(it, it.path.with_suffix(".study") if folder is None else Path(folder), night=night, **how)


def solve(it: Survey, folder: Path, **how: Any) -> "xr.Dataset":
    """Solve the cases of a study in a folder, see `survey`."""
    from simtent.studies.batch import study  # noqa: PLC0415  (a study file is read without the numerical libraries)
    from simtent.studies.manifest import LaidOut  # noqa: PLC0415

    variations: Sequence[Mapping[str, Any]] = it.variations()
    how |= {"keep": it.keep, "laid_out": LaidOut(it.labels(), it.told())}
    if len(it.bases) == 1:
        return study(it.bases[0], folder, variations, **how)
    by_name = {base.name: base for base in it.bases}
    scenarios = [
        by_name[case[-1].label].replace(changes) if changes else by_name[case[-1].label]
        for case, changes in zip(it.cases(), variations, strict=True)
    ]
    return study(scenarios, folder, **how)


def gives_indices(it: Survey) -> bool:
    """Whether indices follow from the study's cases."""
    return it.design.method in INDICES

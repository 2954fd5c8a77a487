"""The manifest of a study: what is solved, how, and with what, so that a study is only ever continued as it began."""

import hashlib
import json
import platform
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import asdict, dataclass, field, replace
from functools import cached_property
from importlib.metadata import version
from pathlib import Path
from typing import Any

from simtent import compiled
from simtent.errors import Fault, InputError, StudyError
from simtent.files import write_all
from simtent.studies.cases import Cases
from simtent.studies.wanted import PRECISIONS, is_declared

FORMAT = 3
NAME = "study.json"
LIBRARIES = ("simtent", "numpy", "scipy", "xarray", "h5netcdf", "h5py")
NOT_A_NIGHT = (
    "surveys",
    "tell",
    "verbs",
    "cli.py",
    "__main__.py",
)  # parts of the package that no night depends on
SHOWN = 12  # differences told, at most
LONGER = (
    "A study keeps its number of cases: solve further ones in a folder of their own, and join the two with "
    'xarray.concat([open_study(one), open_study(other)], "case")'
)


@dataclass(frozen=True)
class LaidOut:
    """What the one who laid out a study says of it.

    labels  of each case, factor -> text; none, or all of the same factors
    design  how it was laid out, texts and numbers
    """

    labels: Sequence[dict[str, str]] = ()
    design: Mapping[str, Any] = field(default_factory=dict)


@dataclass(frozen=True)
class Manifest:
    """What a study is; two are equal if the same study would come of them.

    name, invented, zone, given  of the base: whether it is invented (1) or not, time zone, TOML text
    night      the function that solves one night, as module:name
    accuracy   to which it solves, as text
    keep       variables kept, and at which precision
    chunk      nights in one file
    versions   of simtent and what it stands on; `sources` is a digest of the package
    base       every value of the base by its dotted key
    changes    what each case changes in it
    labels     what each case is called by those who laid out the study, if they did: factor -> text
    design     how they laid it out
    """

    format: int
    name: str
    invented: int
    zone: str
    night: str
    accuracy: str
    keep: tuple[str, ...]
    precision: str
    chunk: int
    versions: dict[str, str]
    base: dict[str, str]
    changes: tuple[dict[str, str], ...]
    given: str
    labels: tuple[dict[str, str], ...] = ()
    design: dict[str, Any] = field(default_factory=dict)

    @property
    def chunks(self) -> int:
        """Number of chunk files."""
        return -(-len(self.changes) // self.chunk)

    def cases_in(self, number: int) -> range:
        """Case numbers of a chunk."""
        return range(number * self.chunk, min((number + 1) * self.chunk, len(self.changes)))

    @cached_property
    def text(self) -> str:
        """The manifest as JSON text, a case a line."""
        told = asdict(self)
        lists = "".join(f',\n "{name}": {_a_case_a_line(told.pop(name))}' for name in ("labels", "changes"))
        head = json.dumps(told, ensure_ascii=False, indent=1)
        return f"{head.removesuffix('}').rstrip()}{lists}\n}}\n"

    @cached_property
    def digest(self) -> str:
        """By which a chunk file knows its study."""
        return hashlib.sha256(self.text.encode()).hexdigest()[:32]


def _a_case_a_line(cases: Sequence[dict[str, str]]) -> str:
    lines = ",\n".join(f"  {json.dumps(case, ensure_ascii=False)}" for case in cases)
    return f"[\n{lines}\n ]" if cases else "[]"


def manifest_of(
    cases: Cases,
    night: str,
    accuracy: str,
    keep: Sequence[str],
    precision: str,
    chunk: int,
    laid_out: LaidOut,
) -> Manifest:
    """The manifest of a study that is to be solved now."""
    base = cases.base
    return Manifest(
        format=FORMAT,
        name=base.name,
        invented=int(base.invented),
        zone=str(base.night.zone).removeprefix("UTC") or "UTC",
        night=night,
        accuracy=accuracy,
        keep=tuple(keep),
        precision=precision,
        chunk=chunk,
        versions=versions(),
        base=cases.told(),
        changes=tuple(cases.changes()),
        given=base.given,
        labels=tuple(laid_out.labels),
        design=dict(laid_out.design),
    )


def read(folder: Path) -> Manifest:
    """The manifest of the study in a folder.

    StudyError where there is none that can be read, InputError where it has another format, older or newer.
    """
    path = folder / NAME
    try:
        told: dict[str, Any] = json.loads(path.read_text(encoding="utf-8"))
        if told["format"] != FORMAT:
            what = f"the study has format {told['format']!r}, and this version of simtent reads {FORMAT}"
            todo = (
                f"Read it with the version that wrote it ({_writer(told)}), or solve the study anew elsewhere"
            )
            raise InputError(Fault(what, file=str(path), todo=todo))
        told |= {name: tuple(told[name]) for name in ("keep", "changes", "labels")}
        found = Manifest(**told)
        _check(found)
    except (FileNotFoundError, NotADirectoryError):
        raise StudyError(_no_study(folder)) from None
    except OSError as error:
        raise StudyError(f"{path} cannot be read: {error.strerror or error}.") from None
    except (ValueError, KeyError, TypeError, AttributeError) as error:
        raise StudyError(f"{path} is damaged ({error}). Remove the folder and begin anew.") from None
    return found


def _no_study(folder: Path) -> str:
    if folder.is_dir() and any(folder.glob("chunk-*.nc")):
        return f"{folder} holds nights of a study, but its {NAME} is missing. Bring it back, or solve the study anew."
    return f"There is no study in {folder}. Name the folder that `study` was given."


def _writer(told: Mapping[str, Any]) -> str:
    versions = told.get("versions")
    return f"simtent {versions.get('simtent', '?') if isinstance(versions, dict) else '?'}"


def _check(found: Manifest) -> None:
    """ValueError for what no study writes."""
    if type(found.chunk) is not int or found.chunk < 1 or not found.changes:
        raise ValueError("its nights cannot be counted")
    if unknown := [name for name in found.keep if not is_declared(name)]:
        raise ValueError(f"unknown variable {unknown[0]!r}")
    if found.precision not in PRECISIONS:
        raise ValueError(f"unknown precision {found.precision!r}")
    tables = (found.base, found.versions, found.design, *found.changes, *found.labels)
    if not all(isinstance(case, dict) for case in tables):
        raise ValueError("a case is no table")

    if found.labels and len(found.labels) != len(found.changes):
        raise ValueError("its cases are not all named")


def begin(folder: Path, manifest: Manifest) -> None:
    """Write the manifest of a new study, or see that the one in the folder is the same.

    InputError shows every difference; or says that the folder holds something else.
    """
    path = folder / NAME
    if path.exists():
        _refuse_another(folder, read(folder), manifest)
        return
    strangers = sorted(found.name for found in folder.iterdir() if not found.name.startswith("."))
    if strangers:
        what = f"the folder holds other files, {strangers[0]} for one"
        raise InputError(
            Fault(what, file=str(folder), todo="Choose an empty folder, or a name for a new one")
        )
    write_all({path: manifest.text.encode()})


def _refuse_another(folder: Path, old: Manifest, new: Manifest) -> None:
    found = list(_differences(old, new))
    if not found:
        return
    head = Fault(
        f"the study in this folder is another one: {len(found)} difference{'s' if len(found) > 1 else ''}",
        file=str(folder),
        todo="Choose another folder, or go back to what the study was begun with",
    )
    more = [Fault(f"and {len(found) - SHOWN} more")] if len(found) > SHOWN else []
    raise InputError([head, *found[:SHOWN], *more])


def _differences(old: Manifest, new: Manifest) -> Iterator[Fault]:
    """Everything in which two studies differ: a key, the old value, the new."""
    yield from _between(old.base, new.base)
    for number, (before, after) in enumerate(zip(old.changes, new.changes, strict=False)):
        yield from _between(before, after, f"case {number}, ")
    if len(old.changes) != len(new.changes):
        told = _difference("number of cases", str(len(old.changes)), str(len(new.changes)))
        yield replace(told, todo=LONGER)
    for key in ("night", "accuracy", "keep", "precision", "chunk"):
        if key == "chunk" and len(old.changes) != len(new.changes):
            continue  # it follows from the number of cases
        one, other = _plain(getattr(old, key)), _plain(getattr(new, key))
        if one != other:
            yield _difference(key, one, other)
    before, after = ({key: _plain(it) for key, it in one.design.items()} for one in (old, new))
    yield from _between(before, after, "design: ")
    yield from _between(old.versions, new.versions, "version of ")


def _between(old: dict[str, str], new: dict[str, str], prefix: str = "") -> Iterator[Fault]:
    for key in dict.fromkeys((*old, *new)):
        before, after = old.get(key, "not there"), new.get(key, "not there")
        if before != after:
            yield _difference(prefix + key, before, after)


def _difference(key: str, old: str, new: str) -> Fault:
    return Fault(f"was {old}, is {new}", key=key)


def _plain(value: object) -> str:
    return ", ".join(value) if isinstance(value, tuple) else str(value)


def versions() -> dict[str, str]:
    """Of simtent and what it stands on: nights of other versions are not joined."""
    found = {"python": platform.python_version()} | {name: version(name) for name in LIBRARIES}
    found["numba"] = str(compiled.NUMBA.__version__) if compiled.NUMBA else "none: plain Python"
    return found | {"sources": _sources_digest()}


def _sources_digest() -> str:
    """Digest of all code and tables that a night depends on."""
    package = Path(compiled.__file__).parent
    digest = hashlib.sha256()
    for path in sorted(package.rglob("*")):
        inside = path.relative_to(package)
        if path.suffix in (".py", ".toml") and inside.parts[0] not in NOT_A_NIGHT:
            digest.update(inside.as_posix().encode())
            digest.update(path.read_bytes())
    return digest.hexdigest()[:32]

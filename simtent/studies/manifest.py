"""The manifest of a study: what is solved, how, and with what, so that a study is only ever continued as it began."""

import hashlib
import json
import platform
from collections.abc import Iterator, Sequence
from dataclasses import asdict, dataclass
from functools import cached_property
from importlib.metadata import version
from pathlib import Path
from typing import Any

from simtent import compiled
from simtent.errors import Fault, InputError, StudyError
from simtent.files import write_all
from simtent.studies.cases import Cases

FORMAT = 1
NAME = "study.json"
LIBRARIES = ("simtent", "numpy", "scipy", "xarray", "h5netcdf", "h5py")
NOT_A_NIGHT = ("tell", "verbs", "cli.py", "__main__.py")  # parts of the package that no night depends on
SHOWN = 12  # differences told, at most


@dataclass(frozen=True)
class Manifest:
    """What a study is; two are equal if the same study would come of them.

    name, invented, zone, given  of the base: whether it is invented (1) or not, time zone, TOML text
    night      the function that solves one night, as module:name
    keep       variables kept, and at which precision
    chunk      nights in one file
    versions   of simtent and what it stands on; `sources` is a digest of the package
    base       every value of the base by its dotted key
    changes    what each case changes in it
    """

    format: int
    name: str
    invented: int
    zone: str
    night: str
    keep: tuple[str, ...]
    precision: str
    chunk: int
    versions: dict[str, str]
    base: dict[str, str]
    changes: tuple[dict[str, str], ...]
    given: str

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
        cases = ",\n".join(f"  {json.dumps(case, ensure_ascii=False)}" for case in told.pop("changes"))
        head = json.dumps(told, ensure_ascii=False, indent=1)
        return f'{head.removesuffix("}").rstrip()},\n "changes": [\n{cases}\n ]\n}}\n'

    @cached_property
    def digest(self) -> str:
        """By which a chunk file knows its study."""
        return hashlib.sha256(self.text.encode()).hexdigest()[:32]


def manifest_of(cases: Cases, night: str, keep: Sequence[str], precision: str, chunk: int) -> Manifest:
    """The manifest of a study that is to be solved now."""
    base = cases.base
    return Manifest(
        format=FORMAT,
        name=base.name,
        invented=int(base.invented),
        zone=str(base.night.zone).removeprefix("UTC") or "UTC",
        night=night,
        keep=tuple(keep),
        precision=precision,
        chunk=chunk,
        versions=_versions(),
        base=cases.told(),
        changes=tuple(cases.changes()),
        given=base.given,
    )


def read(folder: Path) -> Manifest:
    """The manifest of the study in a folder; InputError where there is none, StudyError for a damaged one."""
    path = folder / NAME
    try:
        told: dict[str, Any] = json.loads(path.read_text(encoding="utf-8"))
        told["keep"], told["changes"] = tuple(told["keep"]), tuple(told["changes"])
        if told["format"] != FORMAT:
            raise InputError(
                Fault(f"format {told['format']} where this version reads {FORMAT}", file=str(path))
            )
        return Manifest(**told)
    except (FileNotFoundError, NotADirectoryError):
        todo = "Name the folder that `study` was given"
        raise InputError(Fault("there is no study in this folder", file=str(folder), todo=todo)) from None
    except (ValueError, KeyError, TypeError, AttributeError) as error:
        raise StudyError(f"{path} is damaged ({error}). Remove the folder and begin anew.") from None


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
        yield _difference("number of cases", str(len(old.changes)), str(len(new.changes)))
    for key in ("night", "keep", "precision", "chunk"):
        one, other = _plain(getattr(old, key)), _plain(getattr(new, key))
        if one != other:
            yield _difference(key, one, other)
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


def _versions() -> dict[str, str]:
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

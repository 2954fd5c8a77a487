"""The switch between compiled and plain Python, the cache folder, the compiler's options.

A module of laws or kernels ends with `compiled.compile_module(globals())`. With SIMTENT_PURE=1 in the environment, or
where Numba cannot be imported, the same source runs as plain Python.
"""

import hashlib
import os
import shutil
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from inspect import isfunction
from pathlib import Path
from typing import Any

KERNEL_FOLDERS = ("physics", "network", "assembly")
KEPT_CACHES = 4


def _numba() -> Any:
    if os.environ.get("SIMTENT_PURE") == "1":
        return None
    try:
        import numba  # noqa: PLC0415  (slow to import, and absent on some machines)
    except ImportError:
        return None
    return numba


def _sources_digest() -> str:
    """Digest of every source a kernel can call: Numba itself does not notice a changed callee."""
    package = Path(__file__).parent
    digest = hashlib.sha256(sys.version.encode())
    for name in ("compiled.py", "handle.py", "handle_type.py"):
        digest.update((package / name).read_bytes())
    for folder in KERNEL_FOLDERS:
        for source in sorted((package / folder).glob("*.py")):
            digest.update(source.read_bytes())
    return digest.hexdigest()[:16]


def _cache_root() -> Path:
    given = os.environ.get("SIMTENT_CACHE")
    if given:
        return Path(given)
    if sys.platform == "win32":
        base = Path(os.environ.get("LOCALAPPDATA", Path.home() / "AppData" / "Local"))
    elif sys.platform == "darwin":
        base = Path.home() / "Library" / "Caches"
    else:
        base = Path(os.environ.get("XDG_CACHE_HOME", Path.home() / ".cache"))
    return base / "simtent"


def _writable(folder: Path) -> bool:
    try:
        folder.mkdir(parents=True, exist_ok=True)
        probe = folder / f".probe-{os.getpid()}"
        probe.touch()
        probe.unlink()
    except OSError:
        return False
    return True


def _prune(root: Path, keep: Path) -> None:
    """Remove the caches of older sources, all but the newest few."""
    others = [folder for folder in root.iterdir() if folder.is_dir() and folder != keep]
    others.sort(key=lambda folder: folder.stat().st_mtime, reverse=True)
    for folder in others[KEPT_CACHES - 1 :]:
        shutil.rmtree(folder, ignore_errors=True)


def _cache_folder() -> Path | None:
    """Folder for compiled code, or None where none can be written (then nothing is cached)."""
    if NUMBA is None:
        return None
    try:
        root = _cache_root()
        folder = root / _sources_digest()
        fresh = not folder.exists()
        if not _writable(folder):
            return None
        if fresh:
            _prune(root, folder)
        os.utime(folder)  # a cache in use is not the oldest
    except (OSError, RuntimeError):  # no home folder, or another process prunes at the same time
        return None
    return folder


NUMBA = _numba()
FOLDER = _cache_folder()
OPTIONS: dict[str, Any] = {
    "nopython": True,
    "cache": FOLDER is not None,
    "nogil": True,
    "error_model": "numpy",
    "no_cfunc_wrapper": True,  # nothing calls a kernel from C
}


@contextmanager
def cache() -> Iterator[None]:
    """Point Numba at our folder while functions are declared, and leave the caller's setting as it was."""
    if NUMBA is None or FOLDER is None:
        yield
        return
    before = NUMBA.config.CACHE_DIR
    NUMBA.config.CACHE_DIR = str(FOLDER)
    try:
        yield
    finally:
        NUMBA.config.CACHE_DIR = before


def compile_module(names: dict[str, Any]) -> None:
    """Compile the functions that a module defines, each when it is first called; nothing in plain Python.

    Numba's own `jit_module` reads the sources of all frames above it to find its caller: half of all imports' time.
    """
    if NUMBA is None:
        return
    with cache():
        for name, value in list(names.items()):
            if isfunction(value) and value.__module__ == names["__name__"]:
                names[name] = NUMBA.jit(value, **OPTIONS)


def cold(*kernels: str) -> bool:
    """Tell whether any of some kernels (module and function, as "rhs.observe") still has to be compiled.

    Name those that are compiled last: what they call is in the cache before they are.
    """
    if NUMBA is None:
        return False
    return FOLDER is None or any(next(FOLDER.rglob(f"{kernel}-*.nbi"), None) is None for kernel in kernels)

"""Scripts by which a shell completes verbs, options, files and keys of a scenario; made once, and read by the shell.

The scripts are static: nothing of simtent runs while somebody types.
"""

import argparse
from collections.abc import Iterator
from typing import Any

from simtent.errors import Fault, InputError

SHELLS = ("bash", "zsh", "fish")
EPILOG = """\
To complete verbs, options and keys in a shell: pip install "simtent[completion]"; then write what --completion prints
into a file that your shell reads.

  bash: simtent --completion bash > ~/.simtent.bash
        and in ~/.bashrc the line: source ~/.simtent.bash
  zsh:  simtent --completion zsh > _simtent
        in a folder of your fpath
  fish: simtent --completion fish \\
        > ~/.config/fish/completions/simtent.fish"""

FOLDERS, TABLES = (
    ("out",),
    ("file", "overlays", "others"),
)  # dest of arguments: folders; scenario and study files
NO_BLANK_AFTER_A_KEY = """
_simtent() {
  _shtab_simtent
  if [[ ${#COMPREPLY[@]} = 1 && ${COMPREPLY[0]} == *= ]]; then
    compopt -o nospace 2>/dev/null || :
  fi
}
complete -o bashdefault -F _simtent simtent"""


def script(whole: argparse.ArgumentParser, shell: str) -> str:
    """The script of a shell for a parser; InputError where the library that writes it is not installed."""
    try:
        import shtab  # noqa: PLC0415  (an extra dependency, and only for this)
    except ImportError:
        todo = "Install it: pip install 'simtent[completion]'"
        raise InputError(Fault("this needs the library shtab, which is not installed", todo=todo)) from None
    for action in _actions(whole):
        if completed := _completed(action, shtab):
            action.complete = completed  # type: ignore[attr-defined]
    text = str(shtab.complete(whole, shell=shell))
    return text + NO_BLANK_AFTER_A_KEY if shell == "bash" else text


def _actions(whole: argparse.ArgumentParser) -> Iterator[argparse.Action]:
    """Every argument of a parser, and of its verbs."""
    for action in whole._actions:  # the standard library tells them in no other way
        if isinstance(action, argparse._SubParsersAction):
            for verb in action.choices.values():
                yield from _actions(verb)
        else:
            yield action


def _completed(action: argparse.Action, shtab: Any) -> Any:
    """What is offered for an argument beside its choices, as the library takes it."""
    if action.dest in FOLDERS and action.metavar == "DIR":
        return shtab.DIRECTORY
    if action.dest in TABLES:
        return shtab.glob("*.toml")
    if action.dest == "settings":
        return _words("keys_to_set", [f"{key}=" for key in _keys()], glued=True)
    if action.dest == "field":
        return _words("keys", [*_sections(), *_keys()])
    return None


def _words(name: str, words: list[str], *, glued: bool = False) -> dict[str, Any]:
    """A function of each shell that offers words.

    glued  whether what follows a word stands against it
    """
    text, against = " ".join(words), "-S '' " if glued else ""
    return {
        "bash": f"_simtent_{name}",
        "zsh": f"_simtent_{name}",
        "fish": f"(_simtent_{name})",
        "preamble": {
            "bash": f'_simtent_{name}() {{\n  compgen -W "{text}" -- "$1"\n}}\n',
            "zsh": f"_simtent_{name}() {{\n  compadd {against}-- {text}\n}}\n",
            "fish": f"function _simtent_{name}\n  string split ' ' '{text}'\nend\n",
        },
    }


def _keys() -> list[str]:
    """The keys of a scenario that have no name of somebody's own in them, and stand in no list."""
    from simtent.scenario.fields import ENTRY, NAME, fields  # noqa: PLC0415  (slow to import)

    return sorted({field.key for field in fields() if not {ENTRY, NAME} & set(field.path)})


def _sections() -> list[str]:
    from simtent.scenario.fields import LISTS, SECTIONS  # noqa: PLC0415

    return sorted([*SECTIONS, *LISTS])

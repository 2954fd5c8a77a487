"""Write a first scenario file, or print the paper forms of a test night and of a stove's first burn."""

from argparse import Namespace
from dataclasses import replace
from pathlib import Path
from tempfile import TemporaryDirectory

from pydantic import ValidationError

from simtent import files
from simtent.errors import Fault, InputError, read_as_utf8
from simtent.scenario.clock import read_date
from simtent.scenario.load import load
from simtent.scenario.materials import shelter_names, stove_names
from simtent.scenario.site import USUAL_LEVELS
from simtent.tell import screen
from simtent.tell.asking import Talk, asked, one_of
from simtent.tell.cautions import headline
from simtent.tell.command import command
from simtent.tell.draft import Wanted, draft
from simtent.tell.sheets import PAGE_END, burn_sheet, night_sheet
from simtent.units import System, to_si
from simtent.verbs import outputs

ENDING = ".toml"


def run(options: Namespace) -> None:
    """Write the file or the form; InputError where something stands in the way, and nothing is written."""
    talks = {"--ask": options.ask, "--sheet": options.sheet, "--burn-sheet": options.burn_sheet}
    if options.json and any(talks.values()):
        option = next(it for it in talks if talks[it])
        raise InputError(
            Fault("what it prints is for people, and no document", option, todo="Leave --json out")
        )
    if options.json and options.file is None and options.like is None:
        outputs.answered(options, [], lambda: outputs.teller("new").answer(None, None))
    elif options.sheet or options.burn_sheet:
        _form(options)
    else:
        _scenario(options)


def _scenario(options: Namespace) -> None:
    wanted = _wanted(options)
    outputs.opening(options, [*headline(), ""])
    if options.ask:
        wanted = asked(wanted, Talk(screen.say, screen.hear))
    text = _checked(wanted, options.file)
    _write_new(options.file, text)
    outputs.answered(
        options,
        [
            f"Wrote {options.file}, like {wanted.shelter}.",
            "Every number in it is from a table or a guess: replace each by your own.",
            *([] if wanted.evening else ["Its date is a placeholder: write the evening of your night."]),
            f"Then: {command('check', options.file)}",
        ],
        lambda: outputs.teller("new").answer(options.file, wanted),
    )


def _wanted(options: Namespace) -> Wanted:
    """What the options ask for; InputError with everything that is wrong with them."""
    faults = _file_faults(options.file)
    like, stove = options.like, options.stove
    if like is None and not options.ask:
        allowed = ", ".join(shelter_names())
        todo = "Name a shelter that looks like yours, or answer questions with --ask"
        faults.append(Fault("no shelter to begin with", file="--like", allowed=allowed, todo=todo))
    faults += _name_faults("--like", like, shelter_names()) + _name_faults("--stove", stove, stove_names())
    faults += _date_faults(options.evening)
    if options.out is not None:
        faults.append(
            Fault(
                "only a form goes there", file="--out", todo="Name the scenario's file first: new FILE.toml"
            )
        )
    if faults:
        raise InputError(faults)
    return Wanted(
        name=read_as_utf8(options.file.stem).replace("_", " ").strip().capitalize()[:100] or "Camp",
        shelter=one_of(like, shelter_names()) if like else shelter_names()[0],
        stove=one_of(stove, stove_names()) if stove else None,
        units=options.units or "si",
        evening=options.evening,
    )


def _file_faults(file: Path | None) -> list[Fault]:
    if file is None:
        return [Fault("no name for the new file", todo="Write for example: simtent new my_camp.toml --ask")]
    if file.suffix != ENDING:
        return [
            Fault(
                "a scenario's file ends in .toml", file=str(file), todo=f"Write {file.stem or 'camp'}{ENDING}"
            )
        ]
    if file.exists() or file.is_symlink():
        todo = "Choose another name, or move it away: nothing is ever written over it"
        return [Fault("there is such a file already", file=str(file), todo=todo)]
    if not file.parent.is_dir():
        return [Fault(f"there is no folder {file.parent}", file=str(file), todo="Make it, or choose another")]
    return []


def _name_faults(option: str, name: str | None, names: list[str]) -> list[Fault]:
    try:
        if name is not None:
            one_of(name, names)
    except InputError as error:
        return [
            replace(fault, file=option, allowed=", ".join(names), todo=fault.todo) for fault in error.faults
        ]
    return []


def _date_faults(evening: str | None) -> list[Fault]:
    try:
        if evening is not None:
            read_date(evening)
    except InputError as error:
        return [replace(fault, file="--evening") for fault in error.faults]
    return []


def _checked(wanted: Wanted, file: Path) -> str:
    """The draft, read by the reader of scenarios; InputError where the answers make none."""
    what = "the answers do not make a scenario together"
    try:
        text = draft(wanted)
        with TemporaryDirectory() as room:
            trial = Path(room) / file.name
            trial.write_text(text, encoding="utf-8")
            load(trial)
    except ValidationError:
        raise InputError(
            Fault(f"{what}; nothing is written", todo="Check the sizes of the shelter")
        ) from None
    except InputError as error:
        raise InputError(
            replace(fault, what=f"{what}; nothing is written: {fault.what}", file=None, line=None)
            for fault in error.faults
        ) from None
    return text


def _form(options: Namespace) -> None:
    """A form to be filled in by hand, on the screen or in a new file."""
    name, levels, units = _heights(options.file, options.units)
    form = burn_sheet(units) if options.burn_sheet else night_sheet(name, levels, units)
    if options.out is None:
        for line in form:  # as it is: narrower lines would spoil its columns
            if line != PAGE_END:
                screen.say(line)
        return
    if options.out.exists():
        todo = "Choose another name: nothing is ever written over it"
        raise InputError(Fault("there is such a file already", file=str(options.out), todo=todo))
    _write_new(options.out, "\n".join(form) + "\n")
    screen.show([*headline(), "", f"Wrote {options.out}; print it, and take a pencil: ink freezes."])


def _heights(file: Path | None, units: System | None) -> tuple[str, dict[str, float], System]:
    """Name, heights [m] and units of a scenario; without one the usual heights."""
    if file is None:
        return "", {level: to_si(height, "length") for level, height in USUAL_LEVELS.items()}, units or "si"
    scenario = load(file)
    return scenario.name, dict(scenario.levels), units or scenario.units


def _write_new(file: Path, text: str) -> None:
    try:
        files.write_new(file, text.encode("utf-8"))
    except FileExistsError:
        todo = "Choose another name: nothing is ever written over it"
        raise InputError(Fault("there is such a file already", file=str(file), todo=todo)) from None
    except OSError as error:
        what = f"it cannot be written: {error.strerror or error}"
        raise InputError(Fault(what, file=str(file), todo="Choose a folder that you may write to")) from None

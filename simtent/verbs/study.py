"""Solve the study of a study file: how many nights, each output by factor, what matters most, a picture, a table."""

import argparse
from pathlib import Path

from simtent.errors import Fault, InputError, StudyError
from simtent.surveys.survey import Survey, gives_indices, load_survey, refuse_many
from simtent.verbs import outputs


def run(options: argparse.Namespace) -> None:
    """Solve a study: cautions, how many nights, progress, outputs by factor, what matters most."""
    it = load_survey(options.file)
    text = options.file.read_text(
        encoding="utf-8"
    )  # as it was when it was asked, however long the nights take
    targets = _targets(options, it)
    if not options.yes:
        refuse_many(it)
    if gives_indices(it):
        from simtent.surveys.designs import salib  # noqa: PLC0415

        salib()
    from simtent.assess.cautions import standing  # noqa: PLC0415  (heavy imports wait until the input is good)
    from simtent.surveys.opened import opened  # noqa: PLC0415
    from simtent.surveys.survey import solve  # noqa: PLC0415
    from simtent.tell import study_answers, study_table, study_words  # noqa: PLC0415
    from simtent.tell.cautions import block  # noqa: PLC0415

    names = " and ".join(base.name for base in it.bases)
    always = list(dict.fromkeys(one for base in it.bases for one in standing(base)))
    outputs.opening(options, [*block(always), ""])
    outputs.progress(options, study_words.counted(it.design.size, len(it.factors), it.design.method, names))
    how = {name: getattr(options, name) for name in ("workers", "cluster", "retry_failed", "quiet")}
    found = opened(solve(it, _folder(options), **how), it.outputs)
    if not found.dataset.attrs["solved"]:
        reason = found.dataset["reason"].values[0]
        raise StudyError(f"All nights failed, the first for this reason: {reason}")
    answers = study_answers.answers(found)
    system = options.units or it.bases[0].units
    from simtent.tell import study_picture  # noqa: PLC0415

    whole = {targets[0]: study_picture.to_bytes(it.bases[0], found, answers, system, options.picture)}
    if options.page:
        from simtent.tell.page import frame, study  # noqa: PLC0415

        whole[targets[1]] = frame.to_bytes(study.page(it.bases, found, answers, text, system, always))
    whole |= {path: study_table.to_bytes(found) for path in targets if path.suffix == ".csv"}
    unwritten = outputs.written(whole)
    outputs.answered(
        options,
        study_words.told(found, answers, names, system),
        lambda: outputs.teller("study").answer(
            outputs.around(options, it.bases[0], always, (), [_folder(options), *whole], unwritten),
            found,
            answers,
            it.bases,
        ),
    )
    if unwritten:  # the answer is shown all the same
        raise InputError(unwritten)
    outputs.wrote(options, {_folder(options): b"", **whole})


def _folder(options: argparse.Namespace) -> Path:
    """Where the study is kept."""
    folder: Path = options.out or options.file.parent
    return folder / f"{options.file.stem}.study"


def _targets(options: argparse.Namespace, it: Survey) -> list[Path]:
    """Picture, page and table; InputError where they cannot be written, or something else is in the way."""
    paths = outputs.targets(
        options, "study", [options.picture, *outputs.page_ending(options), *(["csv"] if options.csv else [])]
    )
    own = [path for path in paths if path.suffix != ".csv"]
    faults = outputs.folder_faults(paths) or outputs.foreign_faults(own, it.bases[0].name)
    from simtent.tell import study_table  # noqa: PLC0415

    names = [factor.name for factor in it.factors]
    faults += [
        Fault(f"{path} is in the way: simtent did not write it", todo="Move it away, or choose --out")
        for path in paths[len(own) :]
        if path.exists() and not study_table.is_of(path, names)
    ]
    if faults:
        raise InputError(faults)
    return paths

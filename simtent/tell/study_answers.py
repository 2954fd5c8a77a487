"""What a solved study says of each of its outputs, for words and picture."""

from simtent.surveys.designs import INDICES
from simtent.surveys.effects import effects
from simtent.surveys.indices import sensitivity
from simtent.surveys.opened import Opened
from simtent.tell.study_words import Answer


def answers(found: Opened) -> list[Answer]:
    """Means by factor of each output, with indices where the study's cases give them."""
    indices = found.design["method"] in INDICES
    return [
        Answer(one, effects(found, one), sensitivity(found.dataset, str(one)) if indices else None)
        for one in found.outputs
    ]

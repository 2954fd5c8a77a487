"""Every document by its name, and the JSON Schema of each, made from its model."""

import importlib
from typing import Any

from simtent.errors import Fault, InputError
from simtent.scenario.nearest import nearest
from simtent.tell.answers.told import Told

DIALECT = "https://json-schema.org/draft/2020-12/schema"
# name -> module here, model; a document's format is "simtent." and its name
DOCUMENTS = {
    "night": ("night", "NightAnswer"),
    "heights": ("heights", "HeightsAnswer"),
    "stoke": ("stoke", "StokeAnswer"),
    "stove": ("stove", "StoveAnswer"),
    "wood": ("wood", "WoodAnswer"),
    "compare": ("compare", "CompareAnswer"),
    "log": ("log", "LogAnswer"),
    "fit": ("fit", "FitAnswer"),
    "study": ("study", "StudyAnswer"),
    "card": ("card", "CardAnswer"),
    "explain": ("explain", "ExplainAnswer"),
    "new": ("new", "NewAnswer"),
    "check": ("check", "CheckAnswer"),
    "faults": ("faults", "FaultsAnswer"),
}


def model(name: str) -> type[Told]:
    """The model of a document; InputError for a name that is none."""
    if name not in DOCUMENTS:
        allowed, todo = ", ".join(DOCUMENTS), nearest(name, list(DOCUMENTS)) or "Name one of these"
        raise InputError(Fault("there is no such document", "schema", value=name, allowed=allowed, todo=todo))
    module, found = DOCUMENTS[name]
    answer: type[Told] = getattr(importlib.import_module(f"simtent.tell.answers.{module}"), found)
    return answer


def version_of(name: str) -> int:
    """The version that a document is told in."""
    return int(model(name).model_fields["version"].default)


def schema(name: str) -> dict[str, Any]:
    """The JSON Schema of a document, draft 2020-12; InputError for a name that is none."""
    made = model(name).model_json_schema(mode="serialization")
    title = f"simtent.{name}, version {version_of(name)}"
    return {"$schema": DIALECT, **made, "title": title}

"""The base of all that a document is made of."""

from typing import Any

from pydantic import BaseModel, ConfigDict


def _open(schema: dict[str, Any], model: type[Any]) -> None:
    """A schema that takes more keys, each with its description, if need be that of what the model is built on.

    A later simtent may tell more under the same version: a reader leaves keys alone that it does not know.
    """
    schema.pop("additionalProperties", None)
    for name, told in schema["properties"].items():
        above = (getattr(base, "model_fields", {}).get(name) for base in model.__mro__)
        if words := next((field.description for field in above if field and field.description), None):
            told.setdefault("description", words)
        told.pop("title", None)


class Told(BaseModel):
    """A part of a document; what stands below a field says what it means."""

    model_config = ConfigDict(
        frozen=True,
        extra="forbid",
        use_attribute_docstrings=True,
        json_schema_extra=_open,
        json_schema_serialization_defaults_required=True,
    )

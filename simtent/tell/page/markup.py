"""HTML made of elements: whatever was not made here is escaped, so that no name can be taken for a tag."""

import re
from collections.abc import Iterable
from html import escape

from simtent.tell.words import sentence

VOID = frozenset({"br", "input", "meta", "wbr"})  # elements that hold nothing and are not closed


class Markup(str):
    """Text that is HTML already."""

    __slots__ = ()


def tag(name: str, /, *children: str, **attributes: object) -> Markup:
    """An element with what it holds; plain text is escaped, `Markup` stands as it is.

    Attributes are written as keywords: ``class_`` and ``for_`` lose their underscore, ``aria_label`` becomes
    aria-label. True is an attribute without a value; None and False leave it out.
    """
    head = "".join(
        _attribute(key, value)
        for key, value in attributes.items()
        if value is not None and value is not False
    )
    if name in VOID:
        return Markup(f"<{name}{head}>")
    return Markup(f"<{name}{head}>{joined(children)}</{name}>")


def joined(parts: Iterable[str], between: str = "") -> Markup:
    """Several parts as one; plain text among them is escaped."""
    return Markup(
        between.join(part if isinstance(part, Markup) else escape(part, quote=False) for part in parts)
    )


def listed(items: Iterable[str], **attributes: object) -> Markup:
    """A list of items."""
    return tag("ul", *(tag("li", item) for item in items), **attributes)


def breakable(name: str) -> Markup:
    """A name that may go on in the next line behind each of its underscores and dots."""
    parts = [part for part in re.split(r"(?<=[_.])", name) if part]
    return joined(parts, tag("wbr"))


def paragraphs(texts: Iterable[str]) -> Markup:
    """A paragraph for every text that is not empty."""
    return joined(tag("p", text) for text in texts if text)


def pairs(told: Iterable[tuple[str, str]]) -> Markup:
    """Labels, each with its sentence."""
    return tag(
        "dl", *(part for label, text in told for part in (tag("dt", label), tag("dd", sentence(text))))
    )


def _attribute(key: str, value: object) -> str:
    name = key.rstrip("_").replace("_", "-")
    return f" {name}" if value is True else f' {name}="{escape(str(value), quote=True)}"'

"""A drawn picture as part of a page: inline SVG whose names meet no other picture's, with words for who cannot see."""

import re
from collections.abc import Callable

from matplotlib.figure import Figure

from simtent.tell import frame
from simtent.tell.page.markup import Markup, tag

NAMES = re.compile(r'( id="|href="#|url\(#)')
FRACTION = re.compile(r"(\d+\.\d{4})\d+")  # finer than any screen shows, and than letters are scaled
HEAD = re.compile(r'<svg[^>]*viewBox="([^"]*)"[^>]*>')


def picture(name: str, words: str, draw: Callable[[], Figure], caption: str = "") -> Markup:
    """A figure with what was drawn.

    name   unique in its page: what the picture's own names begin with
    words  what the picture shows, read aloud in its place
    """
    return inline(name, words, frame.as_svg(draw), caption)


def inline(name: str, words: str, text: str, caption: str = "") -> Markup:
    """The same of a picture that is drawn: `text` of an SVG file."""
    drawn = NAMES.sub(rf"\g<1>{name}-", _bare(text))
    head = tag("title", words, id=f"{name}-title")
    svg = HEAD.sub(
        rf'<svg viewBox="\1" role="img" aria-labelledby="{name}-title" class="drawn">', drawn, count=1
    ).replace(">", f">{head}", 1)
    return tag("figure", Markup(svg), *([tag("figcaption", caption)] if caption else []))


def _bare(text: str) -> str:
    """The element itself, without what only a file of its own needs."""
    text = text[text.index("<svg") :]
    text = re.sub(r"<metadata>.*?</metadata>", "", text, flags=re.DOTALL)
    text = text.replace("xlink:href", "href")
    text = re.sub(r"\s+", " ", text).replace("> <", "><")
    return FRACTION.sub(r"\1", text)

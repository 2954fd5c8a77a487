"""The frame of every page: what stands at its top, its parts, and the file that it becomes."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from html.parser import HTMLParser
from importlib.resources import files
from pathlib import Path

from simtent.assess.cautions import HEADLINE
from simtent.assess.findings import Finding
from simtent.tell.frame import MAKER
from simtent.tell.page.findings import findings
from simtent.tell.page.markup import Markup, listed, paragraphs, tag

# Nothing may be fetched, whatever stands in the page.
NO_NETWORK = "default-src 'none'; style-src 'unsafe-inline'; script-src 'unsafe-inline'; img-src data:"
MARK = "scenario"  # the meta element that says whose page it is


@dataclass(frozen=True, slots=True)
class Part:
    """A part of a page: its heading, what it holds, and the name by which the page leads to it."""

    name: str
    title: str
    body: Markup


@dataclass(frozen=True, slots=True)
class Page:
    """What a verb hands over.

    scenario  name of the scenario
    about     sentences on what this is: which night, what was changed, invented or not
    answer    the answer in a sentence
    found     findings of this answer, the gravest first
    always    the standing cautions
    parts     all else, in order
    style     what its style sheet has beside that of all pages
    hidden    names of parts that a screen does not show, so that nothing leads to them
    """

    scenario: str
    about: Sequence[str]
    answer: str
    found: Sequence[Finding]
    always: Sequence[Finding]
    parts: Sequence[Part]
    style: str = ""
    hidden: Sequence[str] = ()


def to_bytes(page: Page) -> bytes:
    """The page as an HTML file that says whose it is."""
    parts = [*_cautions(page), *page.parts]
    body = tag(
        "body",
        tag("header", tag("h1", page.scenario), paragraphs(page.about)),
        tag(
            "main",
            tag("p", *joined_lines(HEADLINE), class_="headline", role="note"),
            tag("section", tag("h2", "In short"), tag("p", page.answer, class_="answer"), id="short"),
            _contents([part for part in parts if part.name not in page.hidden]),
            *(
                tag("section", tag("h2", part.title, id=f"{part.name}-head"), part.body, id=part.name,
                    aria_labelledby=f"{part.name}-head")
                for part in parts
            ),
        ),
        tag("script", Markup(_data("page.js"))),
    )  # fmt: skip
    document = tag("html", _head(page), body, lang="en")
    return f"<!DOCTYPE html>\n{document}\n".encode()


def joined_lines(lines: Sequence[str]) -> list[str]:
    """Lines under each other."""
    return [part for line in lines for part in (line, tag("br"))][:-1]


def scenario_of(path: Path) -> str | None:
    """Name of the scenario whose page stands in the file; None for any other file."""
    reader = _Marks()
    try:
        with path.open(encoding="utf-8") as file:
            reader.feed(file.read(4096))
    except UnicodeDecodeError:
        return None
    return reader.found.get(MARK) if reader.found.get("generator") == MAKER else None


def _cautions(page: Page) -> list[Part]:
    found = [Part("found", "Found, beside the cautions below", findings(page.found))] if page.found else []
    title = "Cautions: nothing on this page takes any of them back"
    return [*found, Part("cautions", title, findings(page.always))]


def _contents(parts: Sequence[Part]) -> Markup:
    links = (tag("a", part.title.split(":")[0].split(",")[0], href=f"#{part.name}") for part in parts)
    return tag("nav", listed(links), aria_label="On this page")


def _head(page: Page) -> Markup:
    return tag(
        "head",
        tag("meta", charset="utf-8"),
        tag("meta", name="generator", content=MAKER),
        tag("meta", name=MARK, content=page.scenario),
        tag("meta", name="viewport", content="width=device-width, initial-scale=1"),
        tag("meta", name="color-scheme", content="light dark"),
        tag("meta", http_equiv="Content-Security-Policy", content=NO_NETWORK),
        tag("title", f"{page.scenario} - {MAKER}"),
        tag("style", Markup(_data("page.css") + page.style)),
    )


@cache
def _data(name: str) -> str:
    return (files("simtent.tell.page") / name).read_text(encoding="utf-8")


class _Marks(HTMLParser):
    """Reads what the meta elements at the top of a page say."""

    def __init__(self) -> None:
        super().__init__()
        self.found: dict[str, str] = {}

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Remember a name with its content."""
        given = dict(attrs)
        if tag == "meta" and given.get("name"):
            self.found[str(given["name"])] = given.get("content") or ""

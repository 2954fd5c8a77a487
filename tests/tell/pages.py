"""A page's HTML taken apart again by the standard library, for tests of what stands in it."""

from dataclasses import dataclass, field
from html.parser import HTMLParser

VOID = {"br", "input", "meta", "link", "img", "hr", "source", "wbr"}


@dataclass
class Element:
    """An element with what it holds, in order."""

    name: str
    attributes: dict[str, str]
    children: list["Element | str"] = field(default_factory=list)

    def every(self, *names: str) -> list["Element"]:
        """All elements below it with one of those names, or all."""
        found = []
        for child in self.children:
            if isinstance(child, Element):
                found += [child] if child.name in names or not names else []
                found += child.every(*names)
        return found

    @property
    def text(self) -> str:
        """What it says, with single spaces."""
        parts = [child if isinstance(child, str) else child.text for child in self.children]
        return " ".join(" ".join(parts).split())

    @property
    def exact(self) -> str:
        """What it says, as it stands."""
        return "".join(child if isinstance(child, str) else child.exact for child in self.children)


class _Reader(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.open = [Element("document", {})]

    def handle_starttag(self, tag, attrs):
        names = [name for name, _ in attrs]
        assert len(names) == len(set(names)), f"an attribute twice in {tag}"
        element = Element(tag, {name: value or "" for name, value in attrs})
        self.open[-1].children.append(element)
        if tag not in VOID:
            self.open.append(element)

    def handle_startendtag(self, tag, attrs):
        self.handle_starttag(tag, attrs)
        if tag not in VOID:
            self.open.pop()

    def handle_endtag(self, tag):
        assert self.open[-1].name == tag, f"</{tag}> closes <{self.open[-1].name}>"
        self.open.pop()

    def handle_data(self, data):
        self.open[-1].children.append(data)


def read(page: bytes) -> Element:
    """The document; AssertionError where an element is not closed, or closed in the wrong order."""
    reader = _Reader()
    reader.feed(page.decode("utf-8"))
    reader.close()
    assert [element.name for element in reader.open] == ["document"]
    return reader.open[0]


def by_id(document: Element, name: str) -> Element:
    """The one element of that id."""
    (found,) = [it for it in document.every() if it.attributes.get("id") == name]
    return found


def said(document: Element, lines: list[str]) -> None:
    """Every word of the lines stands in the element, whatever became of its capitals."""
    text = document.text.lower()
    for word in {it.lower() for line in lines for it in line.split()}:
        assert word in text, word

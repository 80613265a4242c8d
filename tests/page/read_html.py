"""What a work page's document holds, read by the parser of the standard library."""

from __future__ import annotations

from dataclasses import dataclass, field
from html.parser import HTMLParser

VOID = {"meta", "link", "input", "img", "br", "hr"}
# In drawings these stand alone, as the document writes them.
DRAWN = {"use", "path", "circle", "line", "rect", "ellipse"}


@dataclass
class Element:
    """One element: its tag, attributes, text within, and the elements around it."""

    tag: str
    attributes: dict[str, str | None]
    # Told in full in a fault, an element and all around it would take minutes.
    around: list[Element] = field(repr=False)
    text: str = field(default="", repr=False)


@dataclass
class Document:
    """All elements in order, and all text that is shown."""

    elements: list[Element] = field(default_factory=list, repr=False)
    text: str = field(default="", repr=False)

    def all(self, *tags: str) -> list[Element]:
        return [e for e in self.elements if e.tag in tags]

    def with_id(self, key: str) -> Element:
        (found,) = [e for e in self.elements if e.attributes.get("id") == key]
        return found


class _Reader(HTMLParser):
    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.document = Document()
        self.open: list[Element] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        names = [name for name, _ in attrs]
        assert len(names) == len(set(names)), f"<{tag}> has an attribute twice: {names}"
        element = Element(tag, dict(attrs), [*self.open])
        self.document.elements.append(element)
        if tag not in VOID | DRAWN:
            self.open.append(element)

    def handle_endtag(self, tag: str) -> None:
        if tag in DRAWN:
            return
        assert self.open, f"</{tag}> closes nothing"
        assert self.open[-1].tag == tag, f"</{tag}> closes <{self.open[-1].tag}>"
        self.open.pop()

    def handle_data(self, data: str) -> None:
        for element in self.open:
            element.text += data
        if not any(e.tag in {"script", "style"} for e in self.open):
            self.document.text += data


def read_html(data: bytes) -> Document:
    """Return a document; fails where elements are not closed in order."""
    reader = _Reader()
    reader.feed(data.decode())
    reader.close()
    assert not reader.open, [e.tag for e in reader.open]
    return reader.document

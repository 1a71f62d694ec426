"""The structure tree of a tagged PDF: what each piece of a page is, in reading order.

An `Element` is made while the letter is composed and enters the tree when something of it is
drawn, so what is composed and then left out leaves no trace. Terms are ISO 32000-1, 14.7.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from enum import StrEnum
from xml.sax.saxutils import escape


class Role(StrEnum):
    """Standard structure types that the letter uses."""

    DOCUMENT = "Document"
    TITLE = "H1"
    HEADING = "H2"
    SUBHEADING = "H3"
    PARAGRAPH = "P"
    LIST = "L"
    ITEM = "LI"
    ITEM_BODY = "LBody"
    TABLE = "Table"
    ROW = "TR"
    HEADER = "TH"
    CELL = "TD"
    FIGURE = "Figure"


@dataclass(frozen=True, slots=True)
class Mark:
    """A stretch of marked content: its page's index, and its number on that page."""

    page: int
    number: int


@dataclass(slots=True, eq=False)
class Element:
    """A node of the tree. `attributes` is the body of its attribute dictionary, or ""."""

    role: Role
    parent: Element | None
    attributes: str = ""
    alt: str = ""
    kids: list[Element | Mark] = field(default_factory=list)
    reference: int = 0

    def mark(self, mark: Mark) -> None:
        """Note that marked content belongs to this element; the first one puts it in the tree."""
        self._enter()
        self.kids.append(mark)

    def _enter(self) -> None:
        if not self.kids and self.parent is not None:
            self.parent._enter()
            self.parent.kids.append(self)

    def walk(self) -> Iterator[Element]:
        """This element and all below it, in reading order."""
        yield self
        for kid in self.kids:
            if isinstance(kid, Element):
                yield from kid.walk()

    def body(self, parent: int, pages: list[int]) -> str:
        """The element as a PDF object; `pages` are the page objects' numbers."""
        home = next((kid.page for kid in self.kids if isinstance(kid, Mark)), None)
        parts = [f"<< /S /{self.role} /P {parent} 0 R"]
        if home is not None:
            parts.append(f"/Pg {pages[home]} 0 R")
        if self.attributes:
            parts.append(f"/A << {self.attributes} >>")
        if self.alt:
            parts.append(f"/Alt {text_string(self.alt)}")
        kids = " ".join(_kid(kid, home, pages) for kid in self.kids)
        return f"{' '.join(parts)} /K [{kids}] >>"


def _kid(kid: Element | Mark, home: int | None, pages: list[int]) -> str:
    if isinstance(kid, Element):
        return f"{kid.reference} 0 R"
    if kid.page == home:
        return str(kid.number)
    return f"<< /Type /MCR /Pg {pages[kid.page]} 0 R /MCID {kid.number} >>"


def text_string(text: str) -> str:
    """A PDF text string: Latin letters as they are, everything else in UTF-16."""
    if text.isascii() and text.isprintable():
        return "(" + text.replace("\\", "\\\\").replace("(", "\\(").replace(")", "\\)") + ")"
    return "<FEFF" + text.encode("utf-16-be", "replace").hex() + ">"


def metadata(*, title: str, author: str, language: str, issued: str) -> bytes:
    """The XMP packet that names the letter and declares PDF/UA-1 (ISO 14289-1, clause 5)."""
    packet = f"""<?xpacket begin="\ufeff" id="W5M0MpCehiHzreSzNTczkc9d"?>
<x:xmpmeta xmlns:x="adobe:ns:meta/">
<rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#">
<rdf:Description rdf:about="" xmlns:dc="http://purl.org/dc/elements/1.1/"
 xmlns:xmp="http://ns.adobe.com/xap/1.0/" xmlns:pdfuaid="http://www.aiim.org/pdfua/ns/id/">
<dc:title><rdf:Alt><rdf:li xml:lang="x-default">{_escaped(title)}</rdf:li></rdf:Alt></dc:title>
<dc:creator><rdf:Seq><rdf:li>{_escaped(author)}</rdf:li></rdf:Seq></dc:creator>
<dc:language><rdf:Bag><rdf:li>{_escaped(language)}</rdf:li></rdf:Bag></dc:language>
<xmp:CreateDate>{_escaped(issued)}</xmp:CreateDate>
<xmp:ModifyDate>{_escaped(issued)}</xmp:ModifyDate>
<pdfuaid:part>1</pdfuaid:part>
</rdf:Description>
</rdf:RDF>
</x:xmpmeta>
<?xpacket end="w"?>"""
    return packet.encode()


def _escaped(text: str) -> str:
    """The text as XML. The stream is not compressed, and some readers look for its end by word."""
    return escape(text).replace("endstream", "&#101;ndstream")

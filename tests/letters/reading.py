"""Reading a finished letter back: its text, its structure tree, a fingerprint."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from hashlib import sha256
from io import BytesIO
from typing import Any

from pypdf import PdfReader
from pypdf.generic import DictionaryObject, IndirectObject, StreamObject

from evaluations.core.letter import LetterContent


def reader(pdf: bytes) -> PdfReader:
    return PdfReader(BytesIO(pdf))


def spaced(text: str) -> str:
    """The text with single spaces."""
    return " ".join(text.split())


def squeezed(text: str) -> str:
    """The text without any space."""
    return "".join(text.split())


def pages(pdf: bytes) -> list[str]:
    """The text of each page, with single spaces."""
    return [spaced(page.extract_text()) for page in reader(pdf).pages]


def body(pdf: bytes, content: LetterContent) -> str:
    """The text of all pages without their feet."""
    texts = pages(pdf)
    bodies = []
    for number, text in enumerate(texts, 1):
        label = content.page_label % {"page": number, "pages": len(texts)}
        foot = spaced(f"{content.footer} {label}")
        assert text.endswith(foot)
        bodies.append(text.removesuffix(foot))
    return spaced(" ".join(bodies))


@dataclass(frozen=True)
class Node:
    """An element of the structure tree."""

    role: str
    alt: str
    attributes: dict[str, Any]
    kids: tuple[Node, ...]

    def walk(self) -> Iterator[Node]:
        yield self
        for kid in self.kids:
            yield from kid.walk()

    def named(self, *roles: str) -> list[Node]:
        """All elements below with one of these roles, in reading order."""
        return [node for node in self.walk() if node.role in roles]


def structure(pdf: bytes) -> Node:
    """The document element of the structure tree."""
    root: Any = reader(pdf).trailer["/Root"]
    return _node(root["/StructTreeRoot"]["/K"].get_object())


def _node(element: DictionaryObject) -> Node:
    kids = [kid.get_object() for kid in element.get("/K", [])]
    return Node(
        role=str(element["/S"]).removeprefix("/"),
        alt=str(element.get("/Alt", "")),
        attributes=dict(element.get("/A", {})),
        kids=tuple(_node(kid) for kid in kids if isinstance(kid, DictionaryObject) and "/S" in kid),
    )


def fingerprint(pdf: bytes) -> str:
    """A digest of every object, streams unpacked: machines may pack the same bytes differently."""
    file = reader(pdf)
    digest = sha256()
    trailer: Any = file.trailer
    for number in range(1, int(trailer["/Size"])):
        thing = IndirectObject(number, 0, file).get_object()
        if isinstance(thing, StreamObject):
            digest.update(thing.get_data())
        else:
            written = BytesIO()
            assert thing is not None
            thing.write_to_stream(written)
            digest.update(written.getvalue())
    return digest.hexdigest()

"""A tagged PDF file, written page by page.

ReportLab keeps the file: object numbers, cross-references, trailer, document information, fonts.
Pages and the structure tree are written here, since ReportLab's canvas has no notion of tags and
opens every page with a font of its own. Nothing here knows what a letter is.

No clock and no chance: the date is the letter's, and the file's identifier is a digest of it.
"""

from __future__ import annotations

from hashlib import sha256

from reportlab.pdfbase.pdfdoc import PDFCatalog, PDFDocument, PDFObject, PDFPages

from evaluations.letters.fonts import Face, stream
from evaluations.letters.ink import Ink
from evaluations.letters.structure import Element, metadata


class _Body(PDFObject):
    """An indirect object whose bytes are ready when the file is written."""

    __RefOnly__ = 1

    def __init__(self, body: bytes = b"") -> None:
        self.body = body

    def format(self, document: PDFDocument) -> bytes:
        return self.body


class _Catalog(PDFCatalog):
    """Entries of the catalogue that ReportLab writes when they are set."""

    Metadata: str
    MarkInfo: str
    ViewerPreferences: str
    StructTreeRoot: str


class _Document(PDFDocument):
    """Attributes of ReportLab's document that its types leave out."""

    Catalog: _Catalog
    Pages: PDFPages
    _ID: bytes

    def register(self, body: PDFObject) -> int:
        """Add an object and return its number."""
        PDFDocument.Reference(self, body)
        return self.objectcounter


class PdfFile:
    """One file. `root` is the structure tree's document element; `issued` is an ISO date."""

    def __init__(
        self, *, title: str, author: str, language: str, issued: str, root: Element
    ) -> None:
        self.root = root
        self._inks: list[Ink] = []
        self._document = _Document(invariant=1, lang=language, pdfVersion=(1, 7))
        self._document.setTitle(title)
        self._document.setAuthor(author)
        self._document.setSubject("")
        self._document.setCreator("Crewmark")
        day = issued.replace("-", "")
        self._document.setDateFormatter(lambda *_now: f"D:{day}000000+00'00'")
        packet = metadata(title=title, author=author, language=language, issued=issued)
        head = f"<< /Type /Metadata /Subtype /XML /Length {len(packet)} >>\nstream\n"
        self._metadata = self._add(head.encode("ascii") + packet + b"\nendstream\n")

    def page(self, width: float, height: float) -> Ink:
        """The next page."""
        ink = Ink(len(self._inks), width, height)
        self._inks.append(ink)
        return ink

    def save(self) -> bytes:
        """The finished file; call it once."""
        contents = [ink.content() for ink in self._inks]
        pages = self._write_pages(contents)
        self._write_structure(pages)
        digest = sha256(b"".join(contents)).hexdigest()[:32]
        self._document._ID = f"[<{digest}> <{digest}>]".encode("ascii")
        catalog = self._document.Catalog
        catalog.Metadata = f"{self._metadata} 0 R"
        catalog.MarkInfo = "<< /Marked true >>"
        catalog.ViewerPreferences = "<< /DisplayDocTitle true >>"
        data: bytes = self._document.GetPDFData(None)
        return data

    def _add(self, body: bytes | str) -> int:
        ready = body if isinstance(body, bytes) else body.encode("ascii")
        return self._document.register(_Body(ready))

    def _write_pages(self, contents: list[bytes]) -> list[int]:
        """The page objects' numbers."""
        fonts = self._add(self._fonts())
        tree = self._document.register(self._document.Pages)
        numbers = []
        for ink, content in zip(self._inks, contents, strict=True):
            written = self._add(stream(content))
            page = (
                f"<< /Type /Page /Parent {tree} 0 R /MediaBox [0 0 {ink.width:g} {ink.height:g}]"
                f" /Resources << /Font {fonts} 0 R >> /Contents {written} 0 R"
                f" /StructParents {ink.page} /Tabs /S >>"
            )
            self._document.addPage(_Body(page.encode("ascii")))
            numbers.append(self._document.objectcounter)
        return numbers

    def _fonts(self) -> str:
        """The dictionary of all fonts that a page uses, in a fixed order."""
        used = {font for ink in self._inks for font in ink.fonts}
        ordered = sorted(used, key=lambda font: (font[0].key, font[1]))
        entries = [f"/{face.key}{plane} {self._embed(face, plane)} 0 R" for face, plane in ordered]
        return f"<< {' '.join(entries)} >>"

    def _embed(self, face: Face, plane: int) -> int:
        program = face.program(plane)
        font_file = self._add(program.font_file)
        to_unicode = self._add(program.to_unicode)
        descriptor = self._add(f"<< {program.descriptor} /FontFile2 {font_file} 0 R >>")
        references = f"/FontDescriptor {descriptor} 0 R /ToUnicode {to_unicode} 0 R"
        return self._add(f"<< {program.font} {references} >>")

    def _write_structure(self, pages: list[int]) -> None:
        """The tree from its root down, and the way back from marks to elements (14.7.4.4)."""
        head = _Body()
        root = self._document.register(head)
        elements = list(self.root.walk())
        bodies = [_Body() for _ in elements]
        for element, body in zip(elements, bodies, strict=True):
            element.reference = self._document.register(body)
        for element, body in zip(elements, bodies, strict=True):
            parent = element.parent.reference if element.parent else root
            body.body = element.body(parent, pages).encode("ascii")
        parents = " ".join(
            f"{ink.page} [{' '.join(f'{owner.reference} 0 R' for owner in ink.owners)}]"
            for ink in self._inks
        )
        parent_tree = self._add(f"<< /Nums [{parents}] >>")
        head.body = (
            f"<< /Type /StructTreeRoot /K {self.root.reference} 0 R"
            f" /ParentTree {parent_tree} 0 R /ParentTreeNextKey {len(self._inks)} >>"
        ).encode("ascii")
        self._document.Catalog.StructTreeRoot = f"{root} 0 R"

"""Tagged PDF: what is a heading, a table cell, a figure, and what is only furniture of the page.

Source: ISO 32000-1, 14.7 and 14.8 (from memory). reportlab has no tags of its own; a canvas that
brackets what is drawn, and writes the tree of what it means, is enough.
"""

from __future__ import annotations

from typing import Any
from xml.sax.saxutils import escape

from reportlab.pdfbase.pdfdoc import (
    XMP,
    PDFArray,
    PDFDictionary,
    PDFName,
    PDFObject,
    PDFPage,
    PDFText,
)
from reportlab.pdfgen import canvas

from shared.documents.typefaces import TEXT

XMP_TEXT = (
    '<?xpacket begin="\ufeff" id="W5M0MpCehiHzreSzNTczkc9d"?>'
    '<x:xmpmeta xmlns:x="adobe:ns:meta/">'
    '<rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#">'
    '<rdf:Description rdf:about="" xmlns:dc="http://purl.org/dc/elements/1.1/"><dc:title><rdf:Alt>'
    '<rdf:li xml:lang="x-default">{title}</rdf:li></rdf:Alt></dc:title></rdf:Description>'
    '</rdf:RDF></x:xmpmeta><?xpacket end="w"?>'
)
VERSION = (1, 7)


class _True(PDFObject):
    """A boolean, which reportlab lacks."""

    def format(self, _document: Any) -> bytes:
        return b"true"


class _Page(PDFPage):
    """A page that may carry the two keys which tags need."""

    __NoDefault__ = [*PDFPage.__NoDefault__, "StructParents", "Tabs"]


class Node:
    """One element of the tree: its role, such as H1, P, Table, TR, TH, TD, Figure, and its parts.

    A part is another node, or a piece of a page as (page, number of its mark there).
    """

    def __init__(self, role: str, parent: Node | None = None, **attrs: str) -> None:
        self.role, self.attrs = role, attrs
        self.kids: list[Node | tuple[int, int]] = []
        if parent is not None:
            parent.kids.append(self)


class TaggedCanvas(canvas.Canvas):
    """A canvas that writes down what each thing it draws is; `stack` ends with the open element."""

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs | {"pdfVersion": VERSION, "initialFontName": TEXT})
        self.root = Node("Document")
        self.stack = [self.root]
        self._marks: list[Node] = []
        self._page_marks: list[list[Node]] = []
        self._depth = 0

    @property
    def inside(self) -> bool:
        """Whether brackets are open."""
        return self._depth > 0

    def begin(self, node: Node) -> None:
        """Open the brackets of an element; inside open ones, what follows belongs to those."""
        self._depth += 1
        if self._depth == 1:
            number = len(self._marks)
            self._marks.append(node)
            node.kids.append((len(self._page_marks), number))
            self._code.append(f"/{node.role} <</MCID {number}>> BDC")

    def artifact(self) -> None:
        """Open the brackets of what isn't read aloud: rules, grounds, heads and feet of pages."""
        self._depth += 1
        if self._depth == 1:
            self._code.append("/Artifact BMC")

    def end(self) -> None:
        """Close the brackets opened last."""
        self._depth -= 1
        if self._depth == 0:
            self._code.append("EMC")

    def showPage(self) -> None:  # noqa: N802  # reportlab's name
        """Close the page, which gets its own row of marks."""
        plain, canvas.pdfdoc.PDFPage = canvas.pdfdoc.PDFPage, _Page
        try:
            super().showPage()
        finally:
            canvas.pdfdoc.PDFPage = plain
        self._page_marks.append(self._marks)
        self._marks = []

    def save(self) -> None:
        """Write the tree, then the file."""
        if len(self._code):
            self.showPage()
        document = self._doc
        tree = _Tree(document).written(self.root, self._page_marks)
        catalog = document.Catalog
        catalog.StructTreeRoot = tree
        catalog.MarkInfo = PDFDictionary({"Marked": _True()})
        catalog.ViewerPreferences = PDFDictionary({"DisplayDocTitle": _True()})
        text = XMP_TEXT.format(title=escape(document.info.title or "")).encode()
        stream = XMP(creator=lambda _document: text)
        stream.filters = []
        catalog.Metadata = document.Reference(stream, "XMP")
        super().save()


class _Tree:
    """Turns nodes into the objects of the file."""

    def __init__(self, document: Any) -> None:
        self.document = document
        self.pages = list(document.Pages.pages)
        self.refs = [document.Reference(page) for page in self.pages]
        self.owners: dict[tuple[int, int], Any] = {}
        self.count = 0

    def written(self, root: Node, page_marks: list[list[Node]]) -> Any:
        """Return the root of the tree; each page learns which element owns each of its marks."""
        tree = PDFDictionary({"Type": PDFName("StructTreeRoot")})
        reference = self.document.Reference(tree, "StructRoot")
        tree["K"] = PDFArray([self._element(root, reference)])
        numbers: list[Any] = []
        for index, marks in enumerate(page_marks):
            owners = [self.owners[index, number] for number in range(len(marks))]
            numbers += [index, PDFArray(owners)]
            self.pages[index].StructParents = index
            self.pages[index].Tabs = PDFName("S")
        tree["ParentTree"] = PDFDictionary({"Nums": PDFArray(numbers)})
        tree["ParentTreeNextKey"] = len(self.pages)
        return reference

    def _element(self, node: Node, parent: Any) -> Any:
        self.count += 1
        element = PDFDictionary(
            {"Type": PDFName("StructElem"), "S": PDFName(node.role), "P": parent}
        )
        reference = self.document.Reference(element, f"SE{self.count}")
        for key, value in node.attrs.items():
            if key == "Scope":
                element["A"] = PDFDictionary({"O": PDFName("Table"), "Scope": PDFName(value)})
            else:
                element[key] = PDFText(value)
        element["K"] = PDFArray([self._kid(kid, reference) for kid in node.kids])
        return reference

    def _kid(self, kid: Node | tuple[int, int], owner: Any) -> Any:
        if isinstance(kid, Node):
            return self._element(kid, owner)
        page, mark = kid
        self.owners[page, mark] = owner
        return PDFDictionary({"Type": PDFName("MCR"), "Pg": self.refs[page], "MCID": mark})

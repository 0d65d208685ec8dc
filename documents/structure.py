"""The structure of a PDF: what a screen reader reads, and in which order.

Whatever is drawn is decoration unless it is text said within an element. So a page is one
artifact from its first mark to its last, broken where an element's text is drawn; nothing on it
can be left unmarked. Text outside any element belongs to a paragraph of its block.

reportlab has no such thing, so this writes the marks into its page stream and the tree into its
document by hand (ISO 32000-1, 14.7 and 14.8).
"""

from collections.abc import Generator
from contextlib import contextmanager
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any, Final

if TYPE_CHECKING:
    from reportlab.pdfgen.canvas import Canvas

_ARTIFACT: Final = "/Artifact BMC"
_END: Final = "EMC"


@dataclass(slots=True)
class Element:
    """A structure element: its standard type, its elements and pieces of text in reading order.

    A piece of text is the number of its page, from 0, and its number on that page.
    """

    kind: str
    kids: list["Element | tuple[int, int]"] = field(default_factory=list)


class Structure:
    """The structure tree of one PDF, built while its pages are drawn."""

    def __init__(self, canvas: "Canvas") -> None:
        """Begin the tree of a canvas; `begin_page` comes next."""
        self._canvas: Any = canvas  # the types know nothing of what is used here
        self._root = Element("Document")
        self._open = [self._root]
        self._loose: Element | None = None
        self._pages: list[list[Element]] = []
        self._decorating = False
        self._headings = 0

    def begin_page(self) -> None:
        """Begin a page; it holds nothing but decoration so far."""
        self._pages.append([])
        self._mark(_ARTIFACT)
        self.apart()

    def end_page(self) -> None:
        """End a page and have it drawn."""
        self._mark(_END)
        self._canvas.showPage()
        page = self._canvas._doc.Pages.pages[-1]  # noqa: SLF001 - no public way to a page
        page.__NoDefault__ = [*page.__NoDefault__, "StructParents"]
        page.StructParents = len(self._pages) - 1

    def apart(self) -> None:
        """End the paragraph of the text that stands in no element."""
        self._loose = None

    @contextmanager
    def decoration(self) -> Generator[None]:
        """Leave what is written here out of the reading order."""
        self._decorating = True
        yield
        self._decorating = False

    @contextmanager
    def element(self, kind: str) -> Generator[None]:
        """Put the text that is drawn here into an element of a standard type."""
        self.apart()
        made = Element(kind)
        self._open[-1].kids.append(made)
        self._open.append(made)
        yield
        self._open.pop()

    @contextmanager
    def item(self, *, first: bool) -> Generator[None]:
        """Put the text that is drawn here into an item; the first one begins a list."""
        kids = self._open[-1].kids
        last = kids[-1] if kids else None
        if first or not isinstance(last, Element) or last.kind != "L":
            last = Element("L")
            kids.append(last)
        self._open.append(last)
        with self.element("LI"), self.element("LBody"):
            yield
        self._open.pop()

    def bookmark(self, title: str, level: int, top: float) -> None:
        """Add a heading to the outline; level 1 is the paper's own."""
        key = f"heading-{self._headings}"
        self._canvas.bookmarkHorizontal(key, 0, top)
        self._canvas.addOutlineEntry(title, key, min(level - 1, self._headings))
        self._headings += 1

    @contextmanager
    def said(self) -> Generator[None]:
        """Mark the text that is drawn here as a piece of the open element."""
        if self._decorating:
            yield
            return
        element = self._element()
        here = self._pages[-1]
        element.kids.append((len(self._pages) - 1, len(here)))
        self._mark(f"{_END} /{element.kind} <</MCID {len(here)}>> BDC")
        here.append(element)
        yield
        self._mark(f"{_END} {_ARTIFACT}")

    def finish(self) -> None:
        """Write the tree into the document."""
        from reportlab.pdfbase import pdfdoc  # noqa: PLC0415 - drawing alone needs it

        document = self._canvas._doc  # noqa: SLF001 - no public way to the document
        references: dict[int, Any] = {}
        tree = pdfdoc.PDFDictionary({"Type": pdfdoc.PDFName("StructTreeRoot")})
        pages = [document.Reference(page) for page in document.Pages.pages]
        root = self._written(self._root, document.Reference(tree), pages, references)
        parents: list[Any] = []
        for number, elements in enumerate(self._pages):
            listed = pdfdoc.PDFArray([references[id(element)] for element in elements])
            parents += [number, document.Reference(listed)]
        tree["K"] = root
        tree["ParentTree"] = document.Reference(
            pdfdoc.PDFDictionary({"Nums": pdfdoc.PDFArray(parents)})
        )
        tree["ParentTreeNextKey"] = len(self._pages)
        document.Catalog.StructTreeRoot = tree
        document.Catalog.MarkInfo = pdfdoc.PDFDictionary({"Marked": "true"})

    def _element(self) -> Element:
        if len(self._open) > 1:
            return self._open[-1]
        if self._loose is None:
            self._loose = Element("P")
            self._root.kids.append(self._loose)
        return self._loose

    def _mark(self, operators: str) -> None:
        self._canvas._code.append(operators)  # noqa: SLF001 - no public way into the stream

    def _written(
        self, element: Element, parent: object, pages: list[Any], references: dict[int, Any]
    ) -> object:
        """Return the reference of an element's dictionary; all below it is written too."""
        from reportlab.pdfbase import pdfdoc  # noqa: PLC0415 - as above

        own = pdfdoc.PDFDictionary({"S": pdfdoc.PDFName(element.kind), "P": parent})
        own.multiline = False
        reference = self._canvas._doc.Reference(own)  # noqa: SLF001 - as above
        references[id(element)] = reference
        texts = [kid for kid in element.kids if not isinstance(kid, Element)]
        kids: list[Any] = []
        for kid in element.kids:
            if isinstance(kid, Element):
                kids.append(self._written(kid, reference, pages, references))
            elif kid[0] == texts[0][0]:
                kids.append(kid[1])
            else:  # a piece on another page than the first one says so
                other = {"Type": pdfdoc.PDFName("MCR"), "Pg": pages[kid[0]], "MCID": kid[1]}
                kids.append(pdfdoc.PDFDictionary(other))
        if texts:
            own["Pg"] = pages[texts[0][0]]
        own["K"] = pdfdoc.PDFArray(kids)
        return reference

"""The structure tree of a PDF, read back: the tree by one reader, the marked text by another."""

from collections.abc import Iterator
from dataclasses import dataclass, field
from io import BytesIO
from typing import Any

import pdfplumber
from pypdf import PdfReader

Piece = tuple[int, int]
"""The number of a page, from 0, and that of a piece of text on it."""


@dataclass
class Node:
    """A structure element: its type, its own text, the elements in it."""

    kind: str
    text: str = ""
    kids: list["Node"] = field(default_factory=list)

    def walk(self) -> Iterator["Node"]:
        """Yield the element and all below it, in reading order."""
        yield self
        for kid in self.kids:
            yield from kid.walk()


@dataclass
class Tagged:
    """A PDF with its structure.

    Attributes:
        pieces: the text of each marked piece.
        stray: letters that are neither in an element nor decoration.
        aside: the text that is decoration.
    """

    reader: PdfReader
    pieces: dict[Piece, str]
    stray: str
    aside: str
    root: Node
    found: list[Piece]


def _pieces(pdf: bytes) -> tuple[dict[Piece, str], str, str]:
    pieces: dict[Piece, str] = {}
    stray, aside = "", ""
    with pdfplumber.open(BytesIO(pdf)) as opened:
        for number, page in enumerate(opened.pages):
            for char in page.chars:
                if char["mcid"] is not None:
                    key = (number, char["mcid"])
                    pieces[key] = pieces.get(key, "") + char["text"]
                elif char["tag"] == "Artifact":
                    aside += char["text"]
                else:
                    stray += char["text"]
    return pieces, stray, aside


def read_tree(pdf: bytes) -> Tagged:
    """Return the structure of a PDF; an element that names no parent or page fails here."""
    reader = PdfReader(BytesIO(pdf))
    pieces, stray, aside = _pieces(pdf)
    pages = {page.indirect_reference: number for number, page in enumerate(reader.pages)}
    catalogue: Any = reader.trailer["/Root"]
    tree = catalogue["/StructTreeRoot"]
    found: list[Piece] = []

    def node(reference: Any, parent: Any) -> Node:  # noqa: ANN401 - pypdf's own types are broad
        element = reference.get_object()
        assert element.raw_get("/P") == parent
        made = Node(element["/S"][1:])
        kids = element["/K"]
        for kid in kids if isinstance(kids, list) else [kids]:
            whole = kid.get_object()
            if isinstance(whole, int):
                piece = (pages[element.raw_get("/Pg")], int(whole))
            elif whole.get("/Type") == "/MCR":
                piece = (pages[whole.raw_get("/Pg")], int(whole["/MCID"]))
            else:
                made.kids.append(node(kid, reference))
                continue
            assert parents(piece) == reference
            found.append(piece)
            made.text += pieces[piece]
        return made

    def parents(piece: Piece) -> Any:  # noqa: ANN401 - as above
        page: Any = reader.pages[piece[0]]
        numbers = tree["/ParentTree"]["/Nums"]
        listed = dict(zip(numbers[::2], numbers[1::2], strict=True))
        return listed[page["/StructParents"]].get_object()[piece[1]]

    root = node(tree.raw_get("/K"), catalogue.raw_get("/StructTreeRoot"))
    return Tagged(reader, pieces, stray, aside, root, found)

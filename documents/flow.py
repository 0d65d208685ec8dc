"""Blocks of a page, set one under the other and broken into pages."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from documents.page import HEIGHT, Label, Paper, bind_pdf
from documents.pen import Pen


@dataclass(frozen=True, slots=True)
class Block:
    """A piece of a page that is never broken.

    Attributes:
        height: in points.
        draw: draws it, given the pen, its upper edge and its height.
        keep: it stays on the page of the next block, as a heading does.
        grows: on the last page it takes all the room that is left.
        again: what is set once more above it where a page begins with it.
    """

    height: float
    draw: Callable[[Pen, float, float], None]
    keep: bool = False
    grows: bool = False
    again: "Block | None" = None


Page = tuple[Block, ...]


def space(height: float) -> Block:
    """Return an empty block."""
    return Block(height, lambda _pen, _top, _height: None, keep=True)


def beside(left: Sequence[Block], right: Sequence[Block], shift: float) -> Block:
    """Return two columns as one block; the right one begins `shift` points further right."""

    def draw(pen: Pen, top: float, _height: float) -> None:
        _stack(pen, left, top)
        pen.canvas.saveState()
        pen.canvas.translate(shift, 0)
        _stack(pen, right, top)
        pen.canvas.restoreState()

    return Block(max(_tall(left), _tall(right)), draw)


def stacked(*blocks: Block) -> Block:
    """Return blocks as one, the first on top."""
    return Block(_tall(blocks), lambda pen, top, _height: _stack(pen, blocks, top))


def _stack(pen: Pen, blocks: Sequence[Block], top: float) -> None:
    for block in blocks:
        pen.structure.apart()
        block.draw(pen, top, block.height)
        top -= block.height


def _chains(blocks: Sequence[Block]) -> Iterator[Page]:
    """Yield the blocks that must stay together."""
    chain: list[Block] = []
    for block in blocks:
        chain.append(block)
        if not block.keep:
            yield tuple(chain)
            chain = []
    if chain:
        yield tuple(chain)


def _tall(blocks: Sequence[Block]) -> float:
    return sum(block.height for block in blocks)


def paginate(blocks: Sequence[Block], room: float) -> tuple[Page, ...]:
    """Break blocks into pages of `room` points.

    A chain too tall for a page is set block by block, so that nothing is ever lost.
    """
    pages: list[list[Block]] = [[]]
    for chain in _chains(blocks):
        parts = [chain] if _tall(chain) <= room else [(block,) for block in chain]
        for part in parts:
            if pages[-1] and _tall(pages[-1]) + _tall(part) > room:
                again = part[0].again
                pages.append([again] if again else [])
            pages[-1].extend(part)
    return tuple(tuple(page) for page in pages)


def drawer(page: Page, room: float) -> Callable[[Pen], None]:
    """Return the function that draws a page from the top of the type area."""

    def draw(pen: Pen) -> None:
        left = room - _tall(page)
        top = HEIGHT
        for block in page:
            pen.structure.apart()
            height = block.height + (left if block.grows else 0)
            block.draw(pen, top, height)
            top -= height

    return draw


def flowed(paper: Paper, label: Label, pages: Sequence[Page]) -> bytes:
    """Return a PDF of pages of blocks that were broken to the label's room."""
    return bound(paper, label, [(label, pages)])


def bound(
    paper: Paper,
    cover: Label,
    parts: Sequence[tuple[Label, Sequence[Page]]],
    told: Callable[[int], None] | None = None,
) -> bytes:
    """Return several papers in one PDF; as `flowed`, each with its own label.

    `told` is called with the number of papers that are drawn, after each.
    """
    drawn = [(label, [drawer(page, label.room) for page in pages]) for label, pages in parts]
    return bind_pdf(paper, cover, drawn, told)

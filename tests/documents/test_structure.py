"""What a screen reader gets: a tree of headings, paragraphs and lists, in reading order."""

import subprocess
from collections.abc import Iterator
from dataclasses import replace
from io import BytesIO
from pathlib import Path
from typing import Any

import pdfplumber
import pytest

from documents.care_sheet import Edition, render
from documents.care_view import CareView, care_view
from documents.page import Paper
from sizing.dogs import Risk
from tests.documents.more_samples import MORE
from tests.documents.samples import ORDERS, PAPERS, medium, read
from tests.documents.tree import Node, read_tree

every_kind = pytest.mark.parametrize("kind", list(PAPERS))
every_order = pytest.mark.parametrize("name", list(ORDERS))
editions = pytest.mark.parametrize("edition", list(Edition))
Told = list[tuple[str, str]]


def one_space(text: str) -> str:
    return " ".join(text.split())


def wanted(view: CareView) -> Told:
    """Return the sheet as headings, paragraphs and items, in the order to be read."""
    told = [("H1", view.heading), ("P", view.subheading)]
    for topic in view.topics:
        told.append(("H2", topic.title))
        kind = "LBody" if len(topic.lines) > 1 else "P"
        told += [(kind, line) for line in topic.lines]
    told += [("LBody", line) for line in (*view.maker, *view.hood)]
    return [(kind, one_space(text)) for kind, text in (*told, ("P", " ".join(view.closing)))]


def given(root: Node) -> Told:
    return [(node.kind, one_space(node.text)) for node in root.walk() if node.text]


def full(*risks: Risk, code: str = "en") -> CareView:
    job, plan = medium()
    known = replace(plan, profile=replace(plan.profile, risks=frozenset(risks)))
    return care_view(job, known, code)


@editions
@pytest.mark.parametrize("code", ["en", "de"])
def test_the_care_sheet_is_read_as_it_is_meant(edition: Edition, code: str) -> None:
    """On two pages as well: the large print breaks between topics."""
    view = full(code=code)
    if edition is Edition.USUAL and code == "de":
        view = replace(view, topics=view.topics[:5])  # so that no heading runs into its text

    assert given(read_tree(render(view, Paper.A4, edition)).root) == wanted(view)


def test_a_heading_in_the_line_of_its_text_is_still_a_heading() -> None:
    view = full(*Risk)
    told = given(read_tree(render(view, Paper.A4)).root)
    headings = [text.removesuffix(".") for kind, text in told if kind == "H2"]
    text = one_space(" ".join(text for _, text in told))

    assert headings == [one_space(topic.title) for topic in view.topics]
    assert ("H2", "The first times.") in told
    for topic in view.topics:
        assert one_space(" ".join(topic.lines)) in text


@every_kind
@every_order
def test_every_letter_is_in_the_tree_once_or_decoration(kind: str, name: str) -> None:
    tagged = read_tree(PAPERS[kind](ORDERS[name](), Paper.A4))

    assert tagged.stray == ""
    assert len(tagged.found) == len(set(tagged.found))
    assert set(tagged.found) == set(tagged.pieces)
    assert sorted(tagged.found) == tagged.found  # read in the order in which it is drawn


@pytest.mark.parametrize("kind", list(MORE))
def test_every_other_paper_is_tagged_whole(kind: str) -> None:
    tagged = read_tree(MORE[kind](medium(), Paper.A4))

    assert tagged.stray == ""
    assert len(tagged.found) > 10
    assert tagged.found == sorted(tagged.pieces)


@every_kind
def test_the_footer_and_the_page_number_are_decoration(kind: str) -> None:
    tagged = read_tree(PAPERS[kind](medium(), Paper.A4))
    text = "".join(node.text for node in tagged.root.walk())

    assert "page 1 of" in tagged.aside
    assert "page 1 of" not in text


@every_kind
@every_order
def test_what_is_drawn_is_decoration(kind: str, name: str) -> None:
    with pdfplumber.open(BytesIO(PAPERS[kind](ORDERS[name](), Paper.A4))) as pdf:
        drawn = [mark for page in pdf.pages for mark in (*page.rects, *page.lines, *page.curves)]

    assert len(drawn) > 10
    assert {(mark["tag"], mark["mcid"]) for mark in drawn} == {("Artifact", None)}


@every_kind
def test_elements_are_where_the_standard_lets_them_be(kind: str) -> None:
    """ISO 32000-1, 14.8.4: lists hold items, items hold bodies, text stands in a block."""
    root = read_tree(PAPERS[kind](medium(), Paper.A4)).root
    inside = {(node.kind, kid.kind) for node in root.walk() for kid in node.kids}

    assert root.kind == "Document"
    assert inside <= {("Document", "H1"), ("Document", "H2"), ("Document", "P"),
                      ("Document", "L"), ("L", "LI"), ("LI", "LBody")}  # fmt: skip
    assert all(node.kids or node.text.strip() for node in root.walk())


def outline(pdf: bytes) -> Iterator[tuple[int, str, int]]:
    """Yield the bookmarks: how deep, what it says, which page."""
    reader = read(pdf)

    def walk(entries: list[Any], depth: int) -> Iterator[tuple[int, str, int]]:
        for entry in entries:
            if isinstance(entry, list):
                yield from walk(entry, depth + 1)
            else:
                number = reader.get_destination_page_number(entry)
                assert number is not None
                yield depth, str(entry.title), number

    yield from walk(reader.outline, 1)


def test_every_topic_has_a_bookmark_on_its_page() -> None:
    view = full(*Risk)
    pdf = render(view, Paper.A4, Edition.LARGE)
    marks = list(outline(pdf))
    pages = [page.extract_text() for page in read(pdf).pages]

    assert [(depth, text) for depth, text, _ in marks] == [
        (1, view.heading), *((2, topic.title) for topic in view.topics),
    ]  # fmt: skip
    assert {page for _, _, page in marks} == {0, 1}
    for _, text, page in marks:
        assert text[:20] in pages[page]


@every_kind
def test_the_catalogue_says_that_it_is_tagged_and_what_it_is(kind: str) -> None:
    reader = read(PAPERS[kind](medium(), Paper.A4))
    catalogue: Any = reader.trailer["/Root"]
    about = reader.xmp_metadata

    assert catalogue["/MarkInfo"]["/Marked"] == True  # noqa: E712 - pypdf's own kind of truth
    assert catalogue["/ViewerPreferences"]["/DisplayDocTitle"] == True  # noqa: E712 - as above
    assert reader.metadata
    assert about
    assert about.dc_title == {"x-default": reader.metadata.title}
    assert about.dc_creator == ["Tamsin Reed"]
    assert about.dc_language == ["en"]
    assert reader.metadata.subject


def test_the_metadata_hold_markup_as_text() -> None:
    view = replace(full(), title="<b>&]]></b>", maker_name="A & B")
    about = read(render(view, Paper.A4)).xmp_metadata

    assert about
    assert about.dc_title == {"x-default": "<b>&]]></b>"}
    assert about.dc_creator == ["A & B"]


@every_kind
@every_order
def test_another_program_finds_no_fault(kind: str, name: str, tmp_path: Path) -> None:
    path = tmp_path / "paper.pdf"
    path.write_bytes(PAPERS[kind](ORDERS[name](), Paper.A4))
    checked = subprocess.run(  # noqa: S603 - our own words
        ["qpdf", "--check", str(path)],  # noqa: S607 - found on the path, as the others are
        capture_output=True,
        text=True,
        check=False,
    )

    assert checked.returncode == 0, checked.stdout + checked.stderr
    assert "No syntax or stream encoding errors" in checked.stdout

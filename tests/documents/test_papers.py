"""What every paper owes its reader, on both papers and for every kind of order."""

import hashlib
import os
import subprocess
import sys
from functools import cache
from pathlib import Path

import pytest
from pypdf.generic import DictionaryObject

from documents.page import Paper
from tests.documents.looking import SIZES, assert_inside
from tests.documents.more_samples import MORE
from tests.documents.samples import ORDERS, PAPERS, overlaps, plumb, read, texts_of

ALL = {**PAPERS, **MORE}
pytestmark = pytest.mark.parametrize("paper", list(Paper))
every_kind = pytest.mark.parametrize("kind", list(ALL))
every_order = pytest.mark.parametrize("name", list(ORDERS))

MOST_LOOKED_AT = 6  # a chart of the largest hood has three times as many, all of one kind


@cache
def made(kind: str, name: str, paper: Paper) -> bytes:
    return ALL[kind](ORDERS[name](), paper)


@every_kind
def test_the_page_is_the_size_of_the_paper(kind: str, paper: Paper) -> None:
    for page in read(made(kind, "medium", paper)).pages:
        size = (float(page.mediabox.width), float(page.mediabox.height))

        assert pytest.approx(SIZES[paper], abs=0.1) == size


@every_kind
@every_order
def test_every_font_is_embedded(kind: str, name: str, paper: Paper) -> None:
    for page in read(made(kind, name, paper)).pages:
        resources = page["/Resources"]
        assert isinstance(resources, DictionaryObject)
        fonts = resources["/Font"]
        assert isinstance(fonts, DictionaryObject)
        assert fonts
        for reference in fonts.values():
            font = reference.get_object()
            assert "NotoSans" in font["/BaseFont"]
            assert "/FontFile2" in font["/FontDescriptor"]


@every_kind
@every_order
def test_all_marks_lie_inside_the_margins_and_no_word_over_another(
    kind: str, name: str, paper: Paper
) -> None:
    with plumb(made(kind, name, paper)) as pdf:
        for page in pdf.pages[:MOST_LOOKED_AT]:
            assert_inside(page, paper)
            assert not overlaps(page)


@every_kind
@every_order
def test_equal_input_gives_equal_bytes(kind: str, name: str, paper: Paper) -> None:
    again = ALL[kind](ORDERS[name](), paper)

    assert made(kind, name, paper) == again


@every_kind
def test_a_reader_learns_title_author_and_language(kind: str, paper: Paper) -> None:
    pdf = read(made(kind, "medium", paper))

    assert pdf.metadata is not None
    assert "hood" in (pdf.metadata.title or "")
    assert pdf.metadata.author == "Tamsin Reed"
    assert pdf.trailer["/Root"]["/Lang"] == "en"  # type: ignore[index]  # a dictionary here


@every_kind
@every_order
def test_each_page_says_which_of_how_many(kind: str, name: str, paper: Paper) -> None:
    pages = texts_of(made(kind, name, paper))
    for number, text in enumerate(pages, start=1):
        assert f"page {number} of {len(pages)}" in text


@cache
def hashed(seed: str) -> dict[str, str]:
    """The digest of a ticket and a care sheet on each paper, drawn by a process of its own."""
    script = (
        "import hashlib\n"
        "from dataclasses import replace\n"
        "from documents.page import Paper\n"
        "from sizing.dogs import Dog, Risk\n"
        "from tests.documents.samples import care, order, ticket\n"
        "made = order(Dog('Pug', 8.0, risks=frozenset(Risk)), (80, 320, 90, 400))\n"
        "for paper in Paper:\n"
        "    pdf = ticket(made, paper) + care(made, paper)\n"
        "    print(paper, hashlib.sha256(pdf).hexdigest())\n"
    )
    done = subprocess.run(  # noqa: S603 - our own interpreter and our own words
        [sys.executable, "-c", script],
        capture_output=True,
        check=True,
        text=True,
        env={**os.environ, "PYTHONHASHSEED": seed, "PYTHONPATH": os.pathsep.join(sys.path)},
    )
    return dict(line.split() for line in done.stdout.splitlines())


def test_bytes_do_not_hang_on_the_order_of_sets(paper: Paper) -> None:
    found = {hashed(seed)[paper] for seed in ("0", "1", "2")}

    assert len(found) == 1
    assert len(found.pop()) == hashlib.sha256().digest_size * 2


def test_both_papers_break_into_the_same_pages(paper: Paper) -> None:
    for kind in ALL:
        assert texts_of(made(kind, "giant", paper)) == texts_of(made(kind, "giant", Paper.A4))


@every_kind
def test_a_paper_is_small_enough_to_mail(kind: str, paper: Paper) -> None:
    assert len(made(kind, "medium", paper)) < 100_000


@every_kind
@every_order
def test_a_checker_of_the_file_format_finds_nothing(
    kind: str, name: str, paper: Paper, tmp_path: Path
) -> None:
    file = tmp_path / "paper.pdf"
    file.write_bytes(made(kind, name, paper))
    done = subprocess.run(  # noqa: S603 - our own file
        ["qpdf", "--check", str(file)],  # noqa: S607 - wherever the system has it
        capture_output=True,
        check=False,
        text=True,
    )

    assert done.returncode == 0, done.stdout + done.stderr
    assert "No syntax or stream encoding errors found" in done.stdout

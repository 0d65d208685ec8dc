"""Swing labels and the slip of a parcel."""

from dataclasses import replace

import pytest

from documents import label_sheet, parcel_slip
from documents.care_words import washing
from documents.label_sheet import DOWN, EACH
from documents.label_view import label_view
from documents.page import Paper
from documents.parcel_view import parcel_view
from sizing.errors import ValueOutOfRangeError
from sizing.yarns import Fibre
from tests.documents.more_samples import labels, parcel
from tests.documents.samples import ORDERS, hostile, medium, plumb, read, words_of

every_paper = pytest.mark.parametrize("paper", list(Paper))
every_order = pytest.mark.parametrize("name", list(ORDERS))
CAUTION = (
    "Only under supervision: never leave a dog alone in it. Not a medical device: ask your vet."
)


@every_paper
@every_order
def test_each_label_is_whole_and_lies_within_its_cuts(name: str, paper: Paper) -> None:
    with plumb(labels(ORDERS[name](), paper)) as pdf:
        assert [len(page.extract_words()) > 20 for page in pdf.pages] == [True, True]
        page = pdf.pages[0]
        ups = sorted({round(line["x0"], 1) for line in page.lines if line["x0"] == line["x1"]})
        downs = sorted(
            {round(line["top"], 1) for line in page.lines if line["top"] == line["bottom"]}
        )
        assert len(ups) == 3
        downs = downs[: DOWN + 1]
        for row in range(DOWN):
            for column in range(2):
                box = (ups[column], downs[row], ups[column + 1], downs[row + 1])
                part = page.within_bbox(box)
                said = " ".join(part.extract_text().split())
                assert "Dog hood" in said
                assert CAUTION in said
                assert "%" in said
        inside = sum(
            len(page.within_bbox((ups[a], downs[b], ups[a + 1], downs[b + 1])).chars)
            for a in range(2)
            for b in range(DOWN)
        )
        below = [char for char in page.chars if char["top"] > downs[-1]]
        assert inside + len(below) == len(page.chars)


def test_a_label_says_all_in_reading_order() -> None:
    pdf = label_sheet.render(label_view([medium()[0]]), Paper.A4)
    text = words_of(pdf)
    at = 0
    for part in (
        "Dog hood 0042", "made for Mokka", CAUTION,
        "60 % acrylic, 40 % cotton · yarn lot 4711 · November 25, 2026",
        washing(medium()[0].yarn.fibres), "Tamsin Reed · 3 Weavers Row · Lower Ashby ·",
        "tamsin@hoods.example", "Cut along the dashed lines. Local law decides",
    ):  # fmt: skip
        assert part in text[at:], part
        at = text.index(part, at)


@pytest.mark.parametrize("fibre", list(Fibre))
def test_the_washing_of_every_fibre_fits_a_label_whole(fibre: Fibre) -> None:
    job = medium()[0]
    yarn = replace(job.yarn, fibres=((fibre, 100),))
    text = words_of(label_sheet.render(label_view([replace(job, yarn=yarn)]), Paper.A4))

    assert washing(yarn.fibres) in text
    assert f"100 % {fibre.value}" in text


def test_a_dog_without_a_name_has_a_label_too() -> None:
    text = words_of(label_sheet.render(label_view([replace(medium()[0], dog="")]), Paper.A4))

    assert "Dog hood 0042" in text
    assert "made for" not in text


@pytest.mark.parametrize(("copies", "pages"), [(1, 1), (EACH, 1), (EACH + 1, 2)])
def test_sheets_are_filled_one_after_the_other(copies: int, pages: int) -> None:
    pdf = label_sheet.render(label_view([medium()[0]], copies=copies), Paper.A4)

    assert len(read(pdf).pages) == pages
    assert words_of(pdf).count("Dog hood 0042") == copies


@pytest.mark.parametrize("copies", [0, -1, 101])
def test_no_such_number_of_labels_is_refused(copies: int) -> None:
    with pytest.raises(ValueOutOfRangeError, match="1 to 100"):
        label_view([medium()[0]], copies=copies)


@pytest.mark.parametrize("view", [label_view, lambda jobs: parcel_view(jobs, ())])
def test_nothing_without_a_hood(view: object) -> None:
    with pytest.raises(ValueOutOfRangeError, match="hood"):
        view([])  # type: ignore[operator]  # one of the two


@every_paper
def test_a_parcel_slip_says_who_and_what(paper: Paper) -> None:
    text = words_of(parcel(medium(), paper))
    at = 0
    for part in (
        "From", "Tamsin Reed · 3 Weavers Row", "To", "Ilka Brandauer", "4 Lime Street",
        "Port Ellory", "PE1 9ZZ", "In this parcel", "Order 2026-031",
        "Dog hood 0042 for Mokka: 60 % acrylic, 40 % cotton", "Care and supervision sheet",
        "5 m of yarn", CAUTION, "Please write at once", "Tamsin Reed",
    ):  # fmt: skip
        assert part in text[at:], part
        at = text.index(part, at)


@every_order
def test_the_address_stands_large_above_the_cut_and_the_list_below(name: str) -> None:
    with plumb(parcel(ORDERS[name]())) as pdf:
        page = pdf.pages[0]
        cuts = [line for line in page.lines if line["stroking_color"] not in ((0,), (0.0,), 0)]
        cut = min(line["top"] for line in cuts)
        words = page.extract_words(extra_attrs=["size"])
        above = [word for word in words if word["bottom"] < cut]
        below = " ".join(word["text"] for word in words if word["top"] > cut)

    assert cut < page.height / 2
    assert "In this parcel" in below
    if name == "medium":
        assert {word["size"] for word in above if word["text"] in ("Ilka", "PE1")} == {20}


def test_too_many_lines_are_told() -> None:
    view = parcel_view([medium()[0]], ["x"] * 30, extras=["y"] * 30)

    assert "address: cut to 8 lines." in view.warnings
    assert "extras: cut to 10 lines." in view.warnings
    assert len(read(parcel_slip.render(view, Paper.LETTER)).pages) == 1
    assert "address: cut to 6 lines." in label_view([hostile()[0]]).warnings

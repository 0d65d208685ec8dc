"""The drawings: the dog, its tapes, and the pieces to scale."""

import re
from xml.etree import ElementTree as ET

import pytest

from documents import dog_drawing
from documents.dog_drawing import TAPES, dog_svg
from documents.drawing import HIGH, LOW, POINTS_PER_MM, denominator
from documents.pieces_view import pieces_view
from documents.strokes import steps
from sizing.dogs import Field
from tests.documents.samples import ORDERS, Order, giant, medium, plumb, ticket, toy, words_of

SVG = "{http://www.w3.org/2000/svg}"


def everything() -> list[str]:
    return [
        *dog_drawing.lines(), dog_drawing.EAR, dog_drawing.EAR_FOLD, dog_drawing.NOSE,
        dog_drawing.EYE, dog_drawing.HOOD, *dog_drawing.HOOD_LINES, *TAPES.values(),
        *dog_drawing.FAR.values(),
    ]  # fmt: skip


def test_each_measurement_has_a_tape_by_its_name() -> None:
    assert list(TAPES) == ["neck_length", "neck_girth", "nape_length", "face_girth"]
    assert all(data.startswith("M ") for data in TAPES.values())


def test_all_lines_lie_inside_the_drawing() -> None:
    for data in everything():
        for _, numbers in steps(data):
            assert all(0 <= x <= dog_drawing.WIDTH for x in numbers[::2])
            assert all(0 <= y <= dog_drawing.HEIGHT for y in numbers[1::2])


def test_girths_close_behind_the_dog() -> None:
    for field in (Field.NECK_GIRTH, Field.FACE_GIRTH):
        near, far = steps(dog_drawing.TAPES[field]), steps(dog_drawing.FAR[field])

        assert near[0][1] == far[0][1]
        assert near[-1][1][-2:] == far[-1][1][-2:]


def test_the_svg_is_sound_and_its_ids_are_stable() -> None:
    root = ET.fromstring(dog_svg("tape-"))  # noqa: S314 - our own text
    ids = [node.get("id") for node in root.iter(f"{SVG}path") if node.get("id")]
    groups = [node.get("data-field") for node in root.iter(f"{SVG}g")]

    assert root.get("viewBox") == "0 0 200 236"
    assert root.get("aria-label")
    assert ids == [f"tape-{field.value}" for field in Field]
    assert groups == [field.value for field in Field]
    assert TAPES[Field.NAPE_LENGTH] in dog_svg()
    assert 'id="nape_length"' in dog_svg()


def test_the_svg_needs_no_style_or_script() -> None:
    assert not re.search(r"<style|style=|<script|on\w+=|href", dog_svg())


@pytest.mark.parametrize("data", ["M 1", "Q 1 2 3 4", "M a b"])
def test_path_data_that_cannot_be_drawn_is_refused(data: str) -> None:
    with pytest.raises(ValueError, match=r"command|convert"):
        steps(data)


def told_scale(made: Order) -> int:
    """The n of the scale 1 : n that the ticket itself tells."""
    found = re.search(r"scale 1 : (\d+)", words_of(ticket(made)))
    assert found
    return int(found[1])


@pytest.mark.parametrize("name", ["medium", "toy", "giant", "fine giant"])
def test_the_collar_is_drawn_to_the_scale_that_is_told(name: str) -> None:
    made = ORDERS[name]()
    job, plan = made
    n = told_scale(made)
    wide = plan.finished.collar_girth * POINTS_PER_MM / n
    high = plan.finished.collar_height * POINTS_PER_MM / n
    with plumb(ticket(made)) as pdf:
        page = pdf.pages[0]
        found = [
            box
            for box in page.rects
            if abs(box["width"] - wide) < 0.05 and abs(box["height"] - high) < 0.05
        ]

    assert n in {denominator(pieces_view(plan, job.unit), tall) for tall in (HIGH, LOW)}
    assert len(found) == 1


@pytest.mark.parametrize("name", ["medium", "toy", "giant", "fine giant"])
def test_the_half_panel_is_drawn_to_the_same_scale(name: str) -> None:
    made = ORDERS[name]()
    _, plan = made
    scale = POINTS_PER_MM / told_scale(made)
    corners = plan.panel.outline
    wide = (max(x for x, _ in corners) - min(x for x, _ in corners)) * scale
    high = (max(y for _, y in corners) - min(y for _, y in corners)) * scale
    with plumb(ticket(made)) as pdf:
        found = [
            curve
            for curve in pdf.pages[0].curves
            if abs(curve["width"] - wide) < 0.05 and abs(curve["height"] - high) < 0.05
        ]

    assert len(found) == 1


def test_the_drawing_says_its_dimensions() -> None:
    for made in (medium(), toy(), giant()):
        view = pieces_view(made[1], made[0].unit)
        text = words_of(ticket(made))
        for said in (view.collar_length, view.collar_height, view.front, view.crown, view.top):
            assert said in text
        assert f"nape {view.nape}" in text
        assert f"{view.base}, half the collar" in text
        assert "dots: decreases" in text


def test_each_narrowing_of_the_fold_has_its_dot() -> None:
    _, plan = medium()
    view = pieces_view(plan, medium()[0].unit)
    decreasing = [row for row in range(1, plan.rows.hood_rows + 1) if plan.rows.pairs_in(row)]

    assert len(view.narrowed) == len(decreasing)

"""Our own line drawing of a seated dog, and where the four measurements run on it.

The geometry is kept as SVG path data (absolute M, C, L and Z, y downwards), because the
web page shows the same drawing as the papers. `documents.dog_picture` draws it on paper.
"""

from typing import Final

from sizing.dogs import Field

WIDTH: Final = 200.0
HEIGHT: Final = 236.0
LINE: Final = 2.2
TAPE: Final = 5.0
TAPE_INSIDE: Final = 3.4
TAPE_TICKS: Final = (0.7, 2.6)
FAR_DASH: Final = (2.0, 2.0)

BODY: Final = (
    # From the occiput down nape and back to the tail, as one calm line.
    (
        "M 86 31 C 78 43 77 56 74.5 72 C 71 96 54 114 43 138 C 33 161 28 186 29 206"
        " C 29.5 215 32 222 37 227"
    ),
    # From the throat over the chest to the foreleg and its paw.
    (
        "M 118 82 C 118 94 127 106 131 122 C 134 140 131 156 129 168 C 127 184 126 202 126 213"
        " C 127 217 134 217 139 220 C 144 223 145 229 139 230 L 113 230"
        " C 109 230 108 226 108.5 221 C 109 202 107 186 103 168"
    ),
    # The haunch and the hind paw.
    (
        "M 57 162 C 78 154 98 172 97 194 C 96.5 206 91 214 84 218 C 92 217 99 218 102 222"
        " C 105 226 103 230 98 230 L 44 230 C 40 230 38 229 37 227"
    ),
    # The far foreleg and its paw, half hidden.
    (
        "M 132.5 146 C 136 166 137.5 192 137.5 213 C 140 216 147 216 151 219"
        " C 155.5 222 155.5 229.5 150 230 L 145 230"
    ),
    # Toes.
    "M 133 224 L 132 230",
    "M 126 224 L 125 230",
    "M 93 224 L 92 230",
    "M 86 224.5 L 85 230",
)
HEAD: Final = (
    # Skull, stop, muzzle, nose, lip and jaw.
    (
        "M 86 31 C 90 17 102 8 117 8 C 128 8 137 13 142 21 C 145 26 150 29 157 31"
        " C 164 33 172 35 177 37 C 182 39 183 45 180 50"
        " C 178 56 176 61 171 65 C 161 72 147 71 136 74 C 129 76 123 79 118 82"
    ),
    # The mouth and the brow.
    "M 178 54 C 169 58 159 58 149 54 C 147 53 146 51 146.5 49",
    "M 133 25.5 C 135 23 138 22.5 141 24",
)
EAR: Final = (
    "M 98 19 C 91 24 86 36 82 50 C 78 64 80 79 88 81.5 C 97 84 106 72 111 58"
    " C 115 46 118 34 112 26 C 108 21 103 18.5 98 19 Z"
)
EAR_FOLD: Final = "M 98 19 C 103 22 107 27 108 34"
TAIL: Final = (
    "M 37 227 C 25 232 10 228 7 216 C 5 208 8 201 13 200 C 17 199.5 18 203 16 206"
    " C 13 212 19 219 30 212"
)
NOSE: Final = (
    "M 171 35.5 C 177 34 185 37 184 43 C 183.5 47 179 49 176 46 C 173 43.5 169 39 171 35.5 Z"
)
EYE: Final = (
    "M 136 33 C 137.5 30 142 30 143 33.5 C 143.5 37 139 38.5 137 36 C 136 35 135.6 34 136 33 Z"
)
FRECKLES: Final = ("M 160 47 L 160.1 47", "M 165 49.5 L 165.1 49.5", "M 166 44.5 L 166.1 44.5")

HOOD: Final = (
    "M 122 6.5 C 104 3 89 14 83.5 30 C 77 42 76 56 73 70 C 71 82 65 93 58 104"
    " C 74 124 112 130 132 115 C 129 104 121 96 119.5 84 C 121 83 123 81 124 80"
    " C 133 58 132 28 122 6.5 Z"
)
"""The hood on the dog's head; drawn over head and ear."""
HOOD_LINES: Final = (
    # The upper edge of the collar, and the edge round the face.
    "M 73 71 C 84 84 106 90 119.5 83",
    "M 117 7 C 127 28 128 58 118.5 83",
    # Ribs of the collar.
    "M 77 76 C 75 88 71 99 66 110",
    "M 83 80 C 82 93 79 105 75 115",
    "M 90 83 C 90 96 88 108 85 119",
    "M 97 85 C 98 98 97 110 96 121",
    "M 104 86 C 106 98 107 110 107 121.5",
    "M 111 85.5 C 114 97 117 108 118 119.5",
    # The ear under it.
    "M 96 24 C 87 36 84 54 90 66",
)
TAPES: Final = {
    Field.NECK_LENGTH: "M 101 88 L 92 126",
    Field.NECK_GIRTH: "M 66 95 C 74 112 108 122 126.5 109",
    Field.NAPE_LENGTH: "M 75.5 66 C 77 42 86 18 106 9.5",
    Field.FACE_GIRTH: "M 122 8.5 C 131 26 130 58 122 79.5",
}
FAR: Final = {
    Field.NECK_GIRTH: "M 66 95 C 80 90 118 96 126.5 109",
    Field.FACE_GIRTH: "M 122 8.5 C 113 30 113 62 122 79.5",
}

NUMBERS: Final = {
    Field.NECK_LENGTH: ("1", (112.0, 136.0)),
    Field.NECK_GIRTH: ("2", (146.0, 114.0)),
    Field.NAPE_LENGTH: ("3", (66.0, 36.0)),
    Field.FACE_GIRTH: ("4", (140.0, 88.0)),
}
"""The number of each measurement and the middle of the disc that carries it."""


def lines() -> tuple[str, ...]:
    """Return the path data of all the dog's lines but the filled ones."""
    return (*BODY, *HEAD, TAIL, *FRECKLES)


def _numbers(values: tuple[float, ...]) -> str:
    return " ".join(f"{value:g}" for value in values)


_STROKE: Final = 'fill="none" stroke="currentColor"'
_ROUND: Final = 'stroke-linecap="round" stroke-linejoin="round"'
_LOOKS: Final = {
    "dog-line": f'{_STROKE} stroke-width="{LINE}" {_ROUND}',
    "dog-ear": f'fill="#fff" stroke="currentColor" stroke-width="{LINE}" {_ROUND}',
    "dog-dark": 'fill="currentColor"',
    "tape-far": f'{_STROKE} stroke-width="1" stroke-dasharray="{_numbers(FAR_DASH)}"',
    "tape-edge": f'{_STROKE} stroke-width="{TAPE}"',
    "tape-face": f'fill="none" stroke="#fff" stroke-width="{TAPE_INSIDE}"',
    "tape-ticks": f'{_STROKE} stroke-width="{TAPE_INSIDE}"'
    f' stroke-dasharray="{_numbers(TAPE_TICKS)}"',
}
"""How each kind of path looks, as attributes: any rule of a page's style sheet wins over them,
and a page that forbids inline styles still shows the drawing."""


def _path(data: str, kind: str, more: str = "") -> str:
    return f'<path class="{kind}" d="{data}" {_LOOKS[kind]}{more}/>'


def _disc(field: Field) -> str:
    number, (x, y) = NUMBERS[field]
    return (
        f'<circle class="tape-disc" cx="{x:g}" cy="{y:g}" r="7" fill="currentColor"/>'
        f'<text class="tape-number" x="{x:g}" y="{y + 3.2:g}" fill="#fff" font-size="9"'
        f' font-weight="bold" text-anchor="middle">{number}</text>'
    )


def _tape(field: Field, prefix: str) -> str:
    """Return one measurement: its hidden half, its tape, the tape's ticks and its number."""
    data = TAPES[field]
    far = _path(FAR[field], "tape-far") if field in FAR else ""
    edge = _path(data, "tape-edge", f' id="{prefix}{field.value}"')
    band = edge + _path(data, "tape-face") + _path(data, "tape-ticks")
    return f'<g class="tape" data-field="{field.value}">{far}{band}{_disc(field)}</g>'


def dog_svg(prefix: str = "") -> str:
    """Return the drawing as one inline `<svg>` element, 200 by 236 units.

    Each measurement is a `<g class="tape" data-field="neck_length">` and so on; the tape in
    it is the path whose id is `prefix` and the measurement's name. Lines take the colour of
    the text around them, the ground is white.

    Args:
        prefix: put before the ids, where the page uses the bare names already.
    """
    drawn = "".join(_path(data, "dog-line") for data in lines())
    drawn += _path(EAR, "dog-ear") + _path(EAR_FOLD, "dog-line")
    drawn += _path(NOSE, "dog-dark") + _path(EYE, "dog-dark")
    tapes = "".join(_tape(field, prefix) for field in Field)
    return (
        '<svg xmlns="http://www.w3.org/2000/svg" class="hood-dog" role="img"'
        f' viewBox="0 0 {WIDTH:g} {HEIGHT:g}"'
        ' aria-label="A seated dog from the side, with a tape where each measurement is taken">'
        f"{drawn}{tapes}</svg>"
    )

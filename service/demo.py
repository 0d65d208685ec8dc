"""The demo shop: invented people, dogs and yarns to look round with."""

from datetime import date, datetime, timedelta
from typing import Any, Final

from sqlmodel import Session

from service.bodies import OrderIn, ShopIn, YarnIn
from service.doors.accounts import accounts, make_account
from service.doors.roles import Role
from service.listing import Sought, orders_like
from service.orders import move_order, take_order
from service.shelf import add_swatch, put_yarn
from service.shelfbodies import ShelfSwatchIn, ShelfYarnIn
from service.shop import save_shop, shop_of

MAKER: Final = "Odile Marrow"
SHOP: Final[dict[str, Any]] = {
    "name": "Marrowfield Hoods",
    "address": "Odile Marrow\n3 Weir Cottages\nMarrowfield",
    "email": "odile@marrowfield.example",
    "rates": {"currency": "EUR", "wage_per_hour": "16.00", "overhead": "0.12", "margin": "0.08"},
    "hooks": [3.5, 4, 4.5, 5, 6.5],
    "capacity": {
        "hours": {"monday": 1, "tuesday": 1, "wednesday": 1, "thursday": 1, "saturday": 3},
    },
}
YARNS: Final[tuple[dict[str, Any], ...]] = (
    {
        "name": "Brackwater Aran",
        "fibres": [{"fibre": "acrylic", "percent": 100}],
        "weight_class": 4,
        "ball_metres": 170,
        "ball_grams": 100,
        "ball_price": "4.80",
        "lot": "K 214",
    },
    {
        "name": "Tansy Cotton Mix",
        "fibres": [{"fibre": "cotton", "percent": 55}, {"fibre": "acrylic", "percent": 45}],
        "weight_class": 4,
        "ball_metres": 110,
        "ball_grams": 50,
        "ball_price": "3.95",
        "lot": "3307",
    },
    {
        "name": "Oakapple Wool",
        "fibres": [{"fibre": "wool", "percent": 75}, {"fibre": "polyamide", "percent": 25}],
        "weight_class": 3,
        "ball_metres": 225,
        "ball_grams": 100,
        "ball_price": "8.40",
        "lot": "B 12",
    },
    {
        "name": "Grebe Chunky",
        "fibres": [{"fibre": "acrylic", "percent": 80}, {"fibre": "alpaca", "percent": 20}],
        "weight_class": 5,
        "ball_metres": 115,
        "ball_grams": 100,
        "ball_price": "6.10",
        "lot": "77-A",
    },
)
SWATCH: Final[dict[str, Any]] = {
    "rib_stitches": 13,
    "rib_rows": 15,
    "plain_stitches": 13,
    "plain_rows": 14.5,
    "hook_mm": 5,
    "weighed_grams": 21,
    "weighed_stitches": 540,
}
LOTS: Final[tuple[tuple[list[dict[str, Any]], float], ...]] = (
    ([{"colour": "oatmeal", "lot": "K 198", "balls": 1.5}], 0.5),
    ([], 1),
    ([{"colour": "rust", "lot": "B 40", "balls": 1}], 4),
    ([], 2.5),
)
"""What lies there of each yarn: further lots, and the balls of the lot on its band."""
LENGTHS: Final = ("neck_length", "neck_girth", "nape_length", "face_girth")

# buyer, e-mail, dog, breed, weight, the four lengths, unit, yarn, days until due, moves
_Row = tuple[str, str, dict[str, Any], str, str, int, int, tuple[str, ...]]
ORDERS: Final[tuple[_Row, ...]] = (
    (
        "Tilda Fenwright", "tilda@fenwright.example",
        {"name": "Pipkin", "breed": "Beagle", "weight": "11 kg"},
        "8 / 35.5 / 11.5 / 38", "cm", 0, 9, ("accepted", "making"),
    ),
    (
        "Marcus Oyelowe-Brandt", "marcus@brandt.example",
        {"name": "Duchess", "breed": "Greyhound", "weight": "62 lb", "coat": "smooth"},
        "7 in / 14 1/2 in / 6 in / 15 1/4 in", "in", 2, 16, ("accepted",),
    ),
    (
        "Zofia Wąsik", "zofia@wasik.example",
        {"name": "Kluska", "breed": "Pug", "weight": "8.2 kg", "risks": ["chewer"]},
        "6 / 38 / 10 / 39", "cm", 1, 21, ("quoted",),
    ),
    (
        "Jonas Lindqvåg", "jonas@lindqvag.example",
        {"name": "Björn", "breed": "Newfoundland", "weight": "61 kg", "risks": ["ear trouble"]},
        "15 / 56 / 19 / 60", "cm", 3, 28, (),
    ),
    (
        "Ana Ribeiro Tavares", "ana@tavares.example",
        {"name": "Feijão", "breed": "Beagle", "weight": "10,5 kg"},
        "8 / 14.5 / 11 / 37", "cm", 0, 30, (),
    ),
    (
        "Tilda Fenwright", "tilda@fenwright.example",
        {"name": "Moth", "breed": "", "weight": "2.4 kg", "ears": "erect"},
        "4 cm / 20.5 cm / 6.5 cm / 22 cm", "cm", 2, -3, ("accepted", "making", "finished"),
    ),
)  # fmt: skip


def _asked(row: _Row, yarns: list[YarnIn], today: date) -> OrderIn:
    buyer, email, dog, lengths, unit, yarn, days, _ = row
    return OrderIn.model_validate(
        {
            "buyer": {"name": buyer, "email": email},
            "dog": dog,
            "measurements": dict(zip(LENGTHS, lengths.split(" / "), strict=True)),
            "unit": unit,
            "yarn": yarns[yarn],
            "swatch": SWATCH if not yarn else None,
            "due": today + timedelta(days=days),
        }
    )


def _fill_shelf(session: Session) -> None:
    """Put the yarns on the shelf with their lots, and the swatch that most hoods are made from."""
    for yarn, (more, balls) in zip(YARNS, LOTS, strict=True):
        lots = [{"lot": yarn["lot"], "balls": balls}, *more]
        one = put_yarn(session, ShelfYarnIn.model_validate({**yarn, "lots": lots}))
        if yarn is YARNS[0]:
            swatch = ShelfSwatchIn.model_validate({"name": "5 mm, washed", **SWATCH})
            add_swatch(session, one.row.id or 0, swatch, one.row.version)


def fill_demo(session: Session, now: datetime) -> bool:
    """Fill an empty database with the demo shop; return whether it was empty."""
    shop, version = shop_of(session)
    if version or shop.name or orders_like(session, Sought(most=1))[0]:
        return False
    if not accounts(session):  # without a password: the printed link leads straight in
        make_account(session, MAKER, Role.MAKER, now)
    save_shop(session, ShopIn.model_validate(SHOP), version)
    yarns = [YarnIn.model_validate(yarn) for yarn in YARNS]
    _fill_shelf(session)
    for row in ORDERS:
        order = take_order(session, _asked(row, yarns, now.date()), now)
        for state in row[-1]:
            move_order(session, order.number, state, order.version, now)
    return True

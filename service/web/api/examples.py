"""Examples for the OpenAPI page: invented people, dogs and yarns."""

from typing import Any, Final

YARN: Final[dict[str, Any]] = {
    "name": "Brackwater Aran",
    "fibres": [{"fibre": "acrylic", "percent": 100}],
    "weight_class": 4,
    "ball_metres": 170,
    "ball_grams": 100,
    "ball_price": "4.80",
    "lot": "K 214",
}
DOG: Final[dict[str, Any]] = {"name": "Pipkin", "breed": "Beagle", "weight": "11 kg"}
MEASUREMENTS: Final[dict[str, Any]] = {
    "neck_length": "8 cm",
    "neck_girth": "35.5 cm",
    "nape_length": "11,5 cm",
    "face_girth": "16 in",
}
SLIPPED: Final[dict[str, Any]] = {**MEASUREMENTS, "neck_girth": "14.5"}
CHECKS: Final = {
    "a neck in inches": {"value": {"dog": DOG, "measurements": SLIPPED, "unit": "cm"}},
    "as typed so far": {"value": {"dog": DOG, "measurements": {"neck_girth": "35.5 cm"}}},
}
HOOD: Final[dict[str, Any]] = {"dog": DOG, "measurements": MEASUREMENTS, "yarn": YARN}
PLANS: Final = {
    "by the weight class": {"value": HOOD},
    "with a swatch and rates": {
        "value": {
            **HOOD,
            "swatch": {
                "rib_stitches": 13,
                "rib_rows": 15,
                "plain_stitches": 13,
                "plain_rows": 14.5,
                "hook_mm": 5,
                "weighed_grams": 21,
                "weighed_stitches": 540,
            },
            "rates": {"currency": "EUR", "wage_per_hour": "16", "tax": "0.19"},
        }
    },
}
ORDERS: Final = {
    "one hood": {
        "value": {
            **HOOD,
            "buyer": {"name": "Tilda Fenwright", "email": "tilda@example.org"},
            "due": "2027-01-15",
        }
    }
}
CHANGES: Final = {
    "a number measured again": {"value": {"measurements": {"neck_girth": "36.8 cm"}}},
    "no date any more": {"value": {"due": None}},
}
MOVES: Final = {"the buyer has said yes": {"value": {"to": "accepted", "note": "by telephone"}}}
YARNS: Final = {"an acrylic": {"value": YARN}}
SHOPS: Final = {
    "a shop in Europe": {
        "value": {
            "name": "Marrowfield Hoods",
            "address": "Odile Marrow\n3 Weir Cottages\nMarrowfield",
            "email": "odile@marrowfield.example",
            "rates": {"currency": "EUR", "wage_per_hour": "16.00", "margin": "0.08"},
        }
    }
}
DELIVERIES: Final = {
    "the care sheet to the buyer's own address": {"value": {"kind": "care"}},
    "to another address": {"value": {"kind": "on-its-way", "to": "jo@fenwright.example"}},
}
TEMPLATES: Final = {
    "short words": {
        "value": {
            "subject": "{{ dog }}'s hood",
            "text": "Hello {{ buyer }},\nread the sheet first, please.\n{{ shop }}",
            "html": "<p>Hello {{ buyer }}, read the sheet first, please.</p><p>{{ shop }}</p>",
        }
    }
}

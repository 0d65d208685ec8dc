"""Examples for the OpenAPI page: invented people, dogs and yarns."""

from typing import Any, Final

from service.demo import SWATCH
from service.demo import YARNS as YARNS_OF_DEMO

YARN: Final[dict[str, Any]] = YARNS_OF_DEMO[0]
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
            "swatch": SWATCH,
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
STOCK: Final = {"in an acrylic": {"value": {"yarn": YARN, "heads": ["medium", "long"]}}}
IN_HAND: Final = {
    "a collar begun": {
        "value": {
            "part": "collar",
            "rows_made": 20,
            "stitches_now": 10,
            "width": "8 cm",
            "length": "14 cm",
        }
    }
}
BENCH_EVENTS: Final = {
    "the chain and a row, and a slip of the thumb": {
        "value": {
            "events": [
                {"id": "tap-0000001", "kind": "done", "step": "p0c1o", "at": "2027-03-01T09:30Z"},
                {"id": "tap-0000002", "kind": "done", "step": "p0c1r1", "at": "2027-03-01T09:34Z"},
                {
                    "id": "tap-0000003",
                    "kind": "undo",
                    "undoes": ["tap-0000002"],
                    "at": "2027-03-01T09:35Z",
                },
            ]
        }
    }
}
BENCH_PLACE: Final = {"at row 5": {"value": {"id": "place-00001", "step": "p0c1r5"}}}
BENCH_FOLLOW: Final = {
    "a collar begun": {"value": {"id": "follow-0001", "piece": IN_HAND["a collar begun"]["value"]}}
}
OUTCOMES: Final = {
    "a hood that fitted": {
        "value": {"grams": 96, "minutes": 310, "collar": "good", "nape": "good", "opening": "good"}
    }
}
CREDITS: Final = {
    "a flaw": {"value": {"amount": "10.00", "reason": "a flaw in the rib"}},
}
PAYMENTS: Final = {"a deposit": {"value": {"amount": "30.00", "note": "by bank"}}}
CHANGES: Final = {
    "a number measured again": {"value": {"measurements": {"neck_girth": "36.8 cm"}}},
    "no date any more": {"value": {"due": None}},
}
MOVES: Final = {"the buyer has said yes": {"value": {"to": "accepted", "note": "by telephone"}}}
YARNS: Final = {
    "an acrylic": {"value": YARN},
    "in two lots": {"value": {**YARN, "lots": [{"lot": "K 214", "balls": 3}, {"lot": "K 198"}]}},
}
SWATCHES: Final = {"counted and weighed": {"value": {"name": "5 mm, washed", **SWATCH}}}
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
TRIALS: Final = {
    "a usual hood, due in May": {"value": {"due": "2027-05-01"}},
    "a large one": {"value": {"minutes": 700, "safe_minutes": 950}},
}
DRAFTS: Final = {
    "a telephone call, half written down": {
        "value": {
            "fields": {
                "dog.name": ["Pipkin"],
                "measurements.neck_girth": ["35,5"],
                "buyer.name": ["Tilda Fenwright"],
            }
        }
    }
}
ENQUIRIES: Final = {
    "from a letter": {
        "value": {
            "name": "Perpetua Quill",
            "email": "perpetua@quill.example",
            "dog": "Fig",
            "breed": "Beagle",
            "neck_girth": "14 in",
            "wish": "For the winter, in dark green.",
        }
    }
}

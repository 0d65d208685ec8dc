"""Every setting of the shop can be changed on its page, and is the API's then."""

from collections.abc import Iterator
from decimal import Decimal
from typing import Any

import pytest
from pydantic import BaseModel

from service.bodies import ShopIn
from service.web.pages.shopform import FIELDS, SHARES
from tests.pages.site import Site

TYPED = {
    "name": "Sallow & Sedge", "address": "1 Osier Walk\nSedgeham", "email": "s@sallow.example",
    "unit": "in", "terms": "UK", "hand": "left", "turning_chain": "1", "language": "de",
    "quote_days": "21", "pay_days": "30", "payment_terms": "In advance.", "tax_number": "X 12",
    "payment_note": "By transfer.", "paper": "Letter", "enquiries": "true",
    "embed_in": "https://sallow.example", "hooks": "4, 4.5", "capacity.posting": "5",
    "capacity.off": "2027-04-02\n2027-07-19 to 2027-08-01", "rates.currency": "GBP",
    "rates.profit": "markup", "rates.allowance_of": "work", "rates.tax_quoted": "exclusive",
    "rates.learning": "85",
}  # fmt: skip


def _leaves(body: type[BaseModel], above: str = "") -> Iterator[str]:
    for name, field in body.model_fields.items():
        kind = field.annotation
        if isinstance(kind, type) and issubclass(kind, BaseModel):
            yield from _leaves(kind, f"{above}{name}.")
        else:
            yield f"{above}{name}"


def _typed() -> dict[str, str]:
    """A text for each field, no two numbers alike."""
    numbers = (name for name in FIELDS if name not in TYPED)
    return TYPED | {name: f"{place * 0.25 + 1:g}" for place, name in enumerate(numbers)}


def _at(settings: dict[str, Any], name: str) -> Any:  # noqa: ANN401 - any setting
    for part in name.split("."):
        settings = settings[part]
    return settings


def test_the_page_has_a_field_for_each() -> None:
    assert set(_leaves(ShopIn)) == set(FIELDS)


def test_what_is_typed_is_the_api_s_and_stands_in_the_form_again(site: Site) -> None:
    typed = _typed()
    form = site.get("/shop").form("/shop")
    assert set(typed) <= set(form.values) | {"enquiries"}

    site.send("/shop", form.values | {name: [text] for name, text in typed.items()})

    kept = site.client.get("/api/v1/shop").json()
    for name, text in typed.items():
        if name not in TYPED:
            share = Decimal(text) / 100 if name in SHARES else Decimal(text)
            assert Decimal(str(_at(kept, name))) == pytest.approx(share), name
    others = {"hooks", "capacity.off", "enquiries", "rates.learning"}
    plain = [name for name in TYPED if name not in others]
    assert {name: str(_at(kept, name)) for name in plain} == {name: TYPED[name] for name in plain}
    assert (kept["hooks"], kept["enquiries"], len(kept["capacity"]["off"])) == ([4, 4.5], True, 2)
    assert kept["rates"]["learning"] == 0.85
    again = site.get("/shop").form("/shop").values
    assert {name: again[name] for name in typed} == {name: [text] for name, text in typed.items()}

"""Whatever is typed is text: in every field, on every page that shows it."""

from urllib.parse import quote

import pytest

from service.web.pages import orderform, shopform, yarnform
from tests.pages.reading import Page
from tests.pages.site import BEAGLE, Site

HOSTILE = (
    "<script>alert(1)</script>",
    '"><img src=x onerror=alert(1)>',
    "{{7919*7919}}{% raw %}",
    "' onfocus='alert(1)",
    "</textarea><svg onload=alert(1)>",
    "&lt;b&gt; &amp; ${7919*7919} \u202e\u0007 end",
)
KEPT = (
    "dog.name",
    "dog.breed",
    "buyer.name",
    "buyer.email",
    "buyer.phone",
    "buyer.address",
    "notes",
)


OUR_SCRIPTS = ("/static/checks.js", "/static/copy.js", "/static/shape.js")


def _harmless(page: Page) -> None:
    """Hold that a page has no element and attribute but those of our templates."""
    scripts = [one.attrs.get("src", "") for one in page.root.all("script")]
    assert all(source.startswith(OUR_SCRIPTS) for source in scripts)
    assert page.root.all("img", "iframe", "object", "style") == []
    for one in page.root.all():
        assert not [name for name in one.attrs if name.startswith("on") or name == "style"]
        assert not one.attrs.get("href", "").startswith("javascript:")
    assert "62710561" not in page.html


@pytest.mark.parametrize("text", HOSTILE)
def test_kept_text_is_shown_as_text(site: Site, text: str) -> None:
    typed = BEAGLE | dict.fromkeys(KEPT, text) | {"buyer.phone": text[:60], "yarn.name": text}
    page = site.take(typed | {"yarn.lot": text})
    shown = " ".join(text.replace("\u0007", "").split())

    assert page.heading == shown
    _harmless(page)
    for address in (
        "/",
        "/orders",
        "/queue",
        "/yarns",
        "/yarns/shopping?asked=1",
        "/orders/new",
        f"/orders/{site.number()}/edit",
    ):
        _harmless(site.get(address))
    number = site.number()
    again = site.get(f"/orders/new?again={number}")
    _harmless(again)
    site.send("/orders/new", again.form().with_(do="later"))
    for address in ("/", "/orders/new", "/orders/new?draft=1", f"/orders/new?known={quote(text)}"):
        _harmless(site.get(address))
    form = site.get(f"/orders/{number}/edit").form()
    assert form.values["notes"] == [text.replace("\u0007", "")]


@pytest.mark.parametrize("text", HOSTILE)
def test_refused_text_comes_back_as_text(site: Site, text: str) -> None:
    form = site.get("/orders/new").form()
    for name in (*orderform.FIELDS, "yarn_choice", "key", "use", "do"):
        for do in ("take", "check"):
            sent = form.with_(do=do) | {name: [text]}
            answer = site.client.post("/orders/new", data=sent)

            assert answer.status_code in {200, 422}
            _harmless(Page(answer.text))


@pytest.mark.parametrize("text", HOSTILE[:3])
def test_shelf_and_shop_give_text_back_as_text(site: Site, text: str) -> None:
    for address, names in (("/yarns", yarnform.FIELDS), ("/shop", shopform.FIELDS)):
        form = site.get(address).form(address)
        for name in names:
            answer = site.client.post(address, data=form.values | {name: [text]})
            assert answer.status_code in {200, 412, 422}
            _harmless(Page(answer.text))


@pytest.mark.parametrize("text", HOSTILE)
def test_settling_and_searching_show_text_as_text(site: Site, text: str) -> None:
    page = site.take(BEAGLE | {"measurements.neck_girth": "14.5"})
    correct, accept = page.form("/correct"), page.form("/accept")

    _harmless(site.send(correct.action, correct.with_(value=text), 422))
    _harmless(site.send(accept.action, accept.with_(reason=text)))
    answer = site.client.get("/orders", params={"q": text, "state": text})
    _harmless(Page(answer.text))
    move = site.client.post("/orders/2027-0001/state", data={"version": "2", "to": text})
    assert move.status_code == 422
    _harmless(Page(move.text))

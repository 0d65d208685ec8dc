"""The maker's own words for mails: filled in, or refused with the line, and never run away."""

from time import monotonic
from types import SimpleNamespace
from typing import Any, cast

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from documents.language import language
from service.bodies import ShopIn
from service.errors import TemplateFaultError
from service.given import DeliveryState
from service.sending.drafts import values_of
from service.sending.filling import LONGEST, check, fill
from service.sending.kinds import MAILS
from service.sending.templates import NAMES, check_source, filled, save_template, template_of
from service.sending.words import WORDINGS, Source, default_source
from service.settings import MailSettings
from tests.service.api import Api, Json, assert_problem
from tests.service.sending.conftest import Shop
from tests.service.sending.postoffice import PostOffice

VALUES = dict.fromkeys(NAMES, "plain")
KNOWN = frozenset(NAMES)


@pytest.mark.parametrize("kind", MAILS)
def test_what_we_bring_along_can_be_filled_in(kind: str) -> None:
    source = default_source(kind, language())
    check_source(source)
    for values in (VALUES, dict.fromkeys(NAMES, "")):
        for part in filled(source, values):
            assert part.strip()
            assert "{" not in part
    assert "plain" in filled(source, VALUES).html


@pytest.mark.parametrize("kind", MAILS)
def test_a_dog_without_a_name_is_put_into_the_right_case(kind: str) -> None:
    """In German the hood is “für deinen Hund”, never “für dein Hund”."""
    order = SimpleNamespace(
        order=SimpleNamespace(
            asked={"buyer": {"name": "Ilka"}, "dog": {"name": ""}}, plan=None, number="7", due=None
        )
    )
    for code, wrong in (("de", ("dein Hund", "Dein Hund")), ("en", ("your dog",))):
        values = values_of(cast("Any", order), ShopIn(), language(code), "")
        mail = filled(default_source(kind, language(code)), values)
        for part in mail:
            assert not any(words in part for words in wrong)
        assert ("deinen Hund" if code == "de" else "the dog") in mail.subject


@pytest.mark.parametrize("kind", ["care", "on-its-way"])
def test_the_cautions_stand_in_the_mail_and_defer_to_the_vet(kind: str) -> None:
    text = filled(default_source(kind, language()), VALUES).text

    for words in ("Stay with the dog", "never let it sleep", "ask your vet", "swallowed"):
        assert words in text


def test_all_mails_have_words_and_all_words_a_mail() -> None:
    assert set(WORDINGS) == set(MAILS)


@pytest.mark.parametrize(
    ("source", "line", "said"),
    [
        ("Hello\n{{ buyr }}", 2, "There is no {{ buyr }}"),
        ("a\nb\n{{ buyer", 3, "unexpected end of template"),
        ("a\n{% if dog %}\nb", 3, "Unexpected end of template"),
        ("a\n\n{% iff dog %}", 3, "unknown tag 'iff'"),
        ("{{ buyer | shout }}", 1, "There is no filter shout"),
        ("{% for one in buyer %}{{ one }}{% endfor %}", 1, "for is not for mails"),
        ("\n{% set x = 1 %}", 2, "assign is not for mails"),
        ("{% macro x() %}{% endmacro %}", 1, "macro is not for mails"),
        ("{% include 'x' %}", 1, "include is not for mails"),
        ("{% import 'x' as y %}", 1, "import is not for mails"),
        ("{% extends 'x' %}", 1, "extends is not for mails"),
        ("{{ 9 ** 9 ** 9 ** 9 }}", 1, "pow is not for mails"),
        ("{{ 'a' * 1000000000 }}", 1, "mul is not for mails"),
        ("x\ny {{ buyer ~ dog }}", 2, "concat is not for mails"),
        ("{{ range(9) }}", 1, "call is not for mails"),
        ("{{ buyer.__class__ }}", 1, "getattr is not for mails"),
        ("{{ buyer['x'] }}", 1, "getitem is not for mails"),
        ("{{ [1, 2] }}", 1, "list is not for mails"),
        ("{{ buyer | safe }}", 1, "There is no filter safe"),
        ("{{ self }}", 1, "There is no {{ self }}"),
        ("{{ buyer if buyer is defined }}", 1, "test is not for mails"),
        ("(" * 5 + "{{ " + "(" * 30_000 + "1", 1, "too long"),
        ("{{ " + "(" * 9_000 + "1" + ")" * 9_000 + " }}", 1, "nested too deeply"),
        ("{% if dog %}" * 40 + "{% endif %}" * 40, 1, "too deep"),
        ("{{ " + "not " * 4_000 + "dog }}", 1, "deep"),
        ("a\n" * (LONGEST // 2) + "bc", LONGEST // 2 + 1, "too long"),
    ],
)
def test_what_cannot_be_filled_in_is_refused_with_its_line(
    source: str, line: int, said: str
) -> None:
    begun = monotonic()
    with pytest.raises(TemplateFaultError) as refused:
        check("text", source, KNOWN)

    assert str(refused.value).startswith(f"Line {line}: ")
    assert said in str(refused.value)
    assert refused.value.fields == {"text": str(refused.value)}
    assert monotonic() - begun < 5


def test_values_are_escaped_in_html_and_plain_in_text() -> None:
    values = VALUES | {"buyer": '<script>alert("x")</script> & co'}

    assert "<script>" not in fill("html", "<p>{{ buyer }}</p>", values)
    assert "&lt;script&gt;" in fill("html", "<p>{{ buyer }}</p>", values)
    assert fill("text", "{{ buyer }}", values) == values["buyer"]


def test_a_value_is_never_a_template() -> None:
    values = VALUES | {"buyer": "{{ shop_email }}{% if dog %}"}

    assert fill("text", "{{ buyer }}", values) == "{{ shop_email }}{% if dog %}"


def test_a_subject_stays_one_line() -> None:
    source = Source("Hood\n{{ dog }}\r\nBcc: all@thieves.example", "x", "x")

    assert filled(source, VALUES).subject == "Hood plain Bcc: all@thieves.example"


def test_filters_and_alternatives_work() -> None:
    source = "{% if due %}{{ due | upper }}{% elif price == 'x' %}b{% else %}{{ dog or 'it' }}"
    source += "{% endif %}"

    assert fill("text", source, VALUES | {"due": "may"}) == "MAY"
    assert fill("text", source, VALUES | {"due": "", "price": "x"}) == "b"
    assert fill("text", source, VALUES | {"due": "", "dog": ""}) == "it"


@given(source=st.text("{}%#|()[]'\"~*+.ab dogifelsnr0159=\n", max_size=200))
@settings(max_examples=300, deadline=None)
def test_whatever_is_typed_is_filled_in_or_refused(source: str) -> None:
    try:
        text = fill("text", source, VALUES)
    except TemplateFaultError as error:
        text = str(error)
    refused = text.startswith("Line ")
    assert refused or len(text) <= len(source) * 10 + 100


def test_a_faulty_template_leaves_the_old_one(shop: Shop, mail: MailSettings) -> None:
    good = Source("Hood", "Hello {{ buyer }}", "<p>Hello {{ buyer }}</p>")
    with shop.database.writing() as session:
        save_template(session, "care", "en", good, 0, shop.clock())
    with pytest.raises(TemplateFaultError), shop.database.writing() as session:
        save_template(session, "care", "en", good._replace(html="{{ x"), 1, shop.clock())
    with shop.database.reading() as session:
        assert template_of(session, "care", "en").source == good

    assert shop.row(shop.send(mail)).text == "Hello Ottoline Wrack\n"


def test_a_mail_goes_with_the_words_it_was_written_with(
    shop: Shop, office: PostOffice, mail: MailSettings
) -> None:
    delivery = shop.send(mail)
    with shop.database.writing() as session:
        words = Source("Other", "Other words", "<p>Other words</p>")
        save_template(session, "care", "en", words, 0, shop.clock())

    assert shop.deliver(mail, delivery) is DeliveryState.SENT
    assert "Bramble" in office.mails[0]["Subject"]


def template(api: Api, kind: str = "care") -> Json:
    answer = api.client.get(f"/api/v1/mail-templates/{kind}")
    assert answer.status_code == 200, answer.text
    found: Json = answer.json()
    return found


def test_words_are_changed_on_a_version_and_given_back(api: Api) -> None:
    ours = template(api)
    assert (ours["own"], ours["version"], set(ours["names"])) == (False, 0, set(NAMES))
    words = {"subject": "{{ dog }}", "text": "a\r\nb", "html": "<p>a</p>"}
    path = "/api/v1/mail-templates/care"
    changed = api.client.put(path, json=words, headers={"If-Match": '"0"'})

    assert changed.status_code == 200
    assert changed.headers["ETag"] == '"1"'
    assert template(api)["text"] == "a\nb"
    assert_problem(api.client.put(path, json=words, headers={"If-Match": '"0"'}), 412,
                   "changed-meanwhile")  # fmt: skip
    assert_problem(api.client.put(path, json=words), 428, "version-missing")
    back = api.client.delete(path, headers={"If-Match": '"1"'})
    assert back.json() == ours


def test_a_fault_is_answered_by_part_and_line(api: Api) -> None:
    words = {"subject": "{{ x }}", "text": "a\n{{ y }}", "html": ""}
    problem = assert_problem(
        api.client.put("/api/v1/mail-templates/care", json=words, headers={"If-Match": '"0"'}),
        422,
        "template-fault",
    )

    assert problem["fields"]["subject"].startswith("Line 1: There is no {{ x }}")
    assert problem["fields"]["text"].startswith("Line 2: There is no {{ y }}")
    assert problem["fields"]["html"] == "Line 1: Please fill this in."
    assert not template(api)["own"]
    assert_problem(api.client.post("/api/v1/mail-templates/preview", json=words), 422,
                   "template-fault")  # fmt: skip


def test_a_preview_fills_in_invented_values_and_keeps_nothing(api: Api) -> None:
    words = {"subject": "{{ dog }}", "text": "{{ confirm_link }}", "html": "<p>{{ buyer }}</p>"}
    shown = api.client.post("/api/v1/mail-templates/preview", json=words).json()

    assert shown["subject"] == "Pipkin"
    assert shown["html"] == "<p>Tilda Fenwright</p>\n"
    assert not template(api)["own"]


@pytest.mark.parametrize("path", ["nothing", "care?language=xx", "care?language=../x"])
def test_words_of_no_mail_or_no_language_are_not_there(api: Api, path: str) -> None:
    assert_problem(api.client.get(f"/api/v1/mail-templates/{path}"), 404, "not-found")


@pytest.mark.parametrize("part", ["subject", "text", "html"])
def test_a_control_character_in_the_words_is_refused_with_its_line(api: Api, part: str) -> None:
    address = "/api/v1/mail-templates/care"
    seen = api.client.get(address)
    words = dict.fromkeys(("subject", "text", "html"), "Dear {{ buyer }},\nhello")
    words[part] += "\n\0"
    answer = api.client.put(address, json=words, headers={"If-Match": seen.headers["ETag"]})
    problem = assert_problem(answer, 422, "template-fault")
    assert problem["fields"][part].startswith("Line 3: Take out the control character U+0000")
    assert api.client.get(address).json() == seen.json()


def test_a_control_character_that_is_written_as_a_number_never_gets_into_a_mail() -> None:
    with pytest.raises(TemplateFaultError, match=r"U\+0000"):
        fill("text", r'{{ "a\x00" }}', VALUES)

"""A buyer is erased: no word of theirs is left anywhere, and the figures of the orders stay."""

import json
import zipfile
from collections.abc import Iterator
from datetime import timedelta
from decimal import Decimal
from io import BytesIO
from pathlib import Path

import pytest
from sqlalchemy import select
from sqlmodel import SQLModel

from service.bills import bill_paper, bills_of
from service.bodies import OrderIn, ShopIn
from service.db import Database
from service.errors import NotAllowedError
from service.models import Buyer, Delivery, Order
from service.orders import found, move_order, take_order
from service.payments import paid_of
from service.persons.buyers import buyers_like
from service.persons.erasing import erase
from service.persons.forgetting import due, forget, forget_due
from service.persons.telling import told_to
from service.sending.outbox import Sending, send
from service.shop import save_shop, shop_of
from tests.service.api import FixedClock, order_body
from tests.service.conftest import empty
from tests.service.takeout.shops import MAIL, fill

NOW = FixedClock.now
MARK = "Zq7vK"


def standing(database: Database) -> Iterator[str]:
    """Yield where the mark still stands: any column of any table."""
    with database.engine.connect() as connection:
        for table in SQLModel.metadata.sorted_tables:
            for row in connection.execute(select(table)).mappings():
                for name, value in row.items():
                    text = value.decode("latin-1") if isinstance(value, bytes) else str(value)
                    if MARK.lower() in text.lower():
                        yield f"{table.name}.{name}: {text[:60]}"


def kept_files(database: Database) -> list[Path]:
    path = Path(str(database.engine.url.database))
    return [one for one in path.parent.iterdir() if one.name.startswith(path.name)]


@pytest.fixture
def number(database: Database) -> str:
    """An order that has everything, handed over."""
    number = fill(database, NOW, MARK)
    with database.writing() as session:
        order = found(session, number).order
        move_order(session, number, "handed over", order.version, NOW, f"{MARK} in person")
    return number


def buyer_id(database: Database, number: str) -> int:
    with database.reading() as session:
        return found(session, number).order.buyer_id


def test_no_word_of_the_buyer_is_left_in_any_table_nor_in_the_file(
    database: Database, number: str, tmp_path: Path
) -> None:
    before = {one.partition(":")[0] for one in standing(database)}
    assert {
        "buyer.name", "buyer.email", "buyer.phone", "buyer.address", "dog.name", "dog.details",
        "hood_order.asked", "hood_order.findings", "hood_order.plan", "hood_order.buyer_name",
        "hood_order.dog_name", "hood_order.breed", "order_word.word",
        "order_event.change", "order_event.note", "payment.note", "outcome.told", "delivery.text",
        "delivery.html", "delivery.to_name", "delivery.to_address", "delivery.key",
        "confirmation.token_hash", "owner_numbers.told", "enquiry.told", "enquiry.key",
        "remembered_key.key", "order_draft.typed", "order_draft.key",
    } <= before  # fmt: skip

    forget(database, buyer_id(database, number), tmp_path, NOW)

    assert list(standing(database)) == []
    if database.engine.dialect.name == "sqlite":
        for path in kept_files(database):
            assert MARK.lower().encode() not in path.read_bytes().lower(), path


def test_the_file_holds_the_words_until_they_are_erased(sqlite_database: Database) -> None:
    empty(sqlite_database)
    fill(sqlite_database, NOW, MARK)

    assert any(MARK.encode() in path.read_bytes() for path in kept_files(sqlite_database))


def test_the_figures_stay_and_the_history_says_when_and_not_what(
    database: Database, number: str, tmp_path: Path
) -> None:
    with database.reading() as session:
        old = found(session, number)
        bills = bills_of(session, old.order.id)
    forget(database, old.order.buyer_id, tmp_path, NOW)
    with database.reading() as session:
        new = found(session, number)
        assert new.plan
        assert old.plan
        assert (new.plan.price, new.plan.labour) == (old.plan.price, old.plan.labour)
        assert paid_of(session, new.order.id).amount == Decimal("7.50")
        assert [b.number for b in bills_of(session, new.order.id)] == [b.number for b in bills]
        paper = bill_paper(session, bills[0].number)
        assert b"erased on 14 March 2026" in paper.content
    asked = OrderIn.model_validate(new.order.asked)
    assert asked.buyer.name == f"Erased buyer {new.order.buyer_id}"
    assert (asked.dog.name, asked.dog.breed, asked.notes) == ("", "", "")
    assert (new.order.state, new.order.created_at) == ("handed over", old.order.created_at)
    assert {event.kind for event in new.events} == {"moved", "paid", "billed", "erased"}
    last = new.events[-1]
    assert last.change == {"said": "The buyer's personal data were erased on 14 March 2026."}
    assert new.outcome
    assert "note" not in new.outcome.told
    assert new.outcome.told["grams"] == 90


def test_an_open_order_and_a_mail_that_leaves_just_now_keep_a_buyer(database: Database) -> None:
    with database.writing() as session:
        order = take_order(session, OrderIn.model_validate(order_body()), NOW)
        save_shop(session, ShopIn.model_validate({"email": "a@hoods.example"}), 0)
        with pytest.raises(NotAllowedError, match="2026-0001"):
            erase(session, order.buyer_id, NOW)
        mail = send(session, order.number, Sending("care", "en"), MAIL, NOW)
        move_order(session, order.number, "cancelled", order.version, NOW)
        mail.claimed_until = NOW + timedelta(minutes=3)
        with pytest.raises(NotAllowedError, match="just being sent"):
            erase(session, order.buyer_id, NOW)
        mail.claimed_until = None
        erase(session, order.buyer_id, NOW)
        # What waited is not sent any more.
        assert session.get_one(Delivery, mail.id).state == "given up"


def test_others_are_left_as_they_were_and_an_erased_one_is_nobody_s_match(
    database: Database, number: str, tmp_path: Path
) -> None:
    gone = buyer_id(database, number)
    with database.reading() as session:
        other = found(session, "2026-0002")
    forget(database, gone, tmp_path, NOW)
    again = forget(database, gone, tmp_path, NOW)
    with database.writing() as session:
        same = found(session, "2026-0002")
        assert same.order.asked == other.order.asked
        assert [e.change for e in same.events] == [e.change for e in other.events]
        name = session.get_one(Buyer, gone).name
        taken = take_order(session, OrderIn.model_validate(order_body(buyer={"name": name})), NOW)
        assert taken.buyer_id != gone
    assert again.orders == ()


def test_mails_in_files_go_too_and_no_other_file(
    database: Database, number: str, tmp_path: Path
) -> None:
    with database.reading() as session:
        order = found(session, number).order
        query = select(Delivery.message_id).where(Delivery.order_id == order.id)  # type: ignore[call-overload]
        name = next(one for (one,) in session.execute(query) if one)
    folder = tmp_path / "mail"
    folder.mkdir()
    (folder / "1-care-1.eml").write_text(f"To: x\nMessage-ID:\n {name}\n\n{MARK}")
    (folder / "1-care-2.eml").write_text("Message-ID: <other@hoods.example>\n\nstays")
    (folder / "notes.txt").write_text(name)
    forget(database, order.buyer_id, folder, NOW)

    assert sorted(path.name for path in folder.iterdir()) == ["1-care-2.eml", "notes.txt"]


def test_rows_of_the_same_e_mail_go_together(database: Database, tmp_path: Path) -> None:
    with database.writing() as session:
        body = OrderIn.model_validate(order_body())
        orders = [take_order(session, body, NOW, known=False) for _ in range(2)]
        for order in orders:
            move_order(session, order.number, "cancelled", order.version, NOW)
        assert orders[0].buyer_id != orders[1].buyer_id
    forget(database, orders[0].buyer_id, tmp_path, NOW)

    with database.reading() as session:
        lines, _ = buyers_like(session)
    assert [line.row.email for line in lines] == ["", ""]
    assert all(line.row.erased_at == NOW for line in lines)


def test_what_is_told_to_a_buyer_is_theirs_and_all_of_it(database: Database, number: str) -> None:
    key = buyer_id(database, number)
    with database.reading() as session:
        content = told_to(session, key, NOW)
    with zipfile.ZipFile(BytesIO(content)) as whole:
        told = json.loads(whole.read("data.json"))
        papers = [name for name in whole.namelist() if name.startswith("papers/")]
        assert whole.read(papers[0]).startswith(b"%PDF")

    assert told["buyer"][0]["email"] == f"{MARK}mail@wrack.example"
    assert [one["number"] for one in told["hood_order"]] == [number]
    for table in ("dog", "enquiry", "order_event", "outcome", "payment", "bill", "delivery",
                  "owner_link", "owner_numbers", "bench_event"):  # fmt: skip
        assert told[table], table
    assert "token_hash" not in json.dumps(told)
    assert all(name.startswith(f"papers/{number}-") for name in papers)
    assert "Ottoline" not in json.dumps(told)


def set_years(database: Database, years: int | None) -> None:
    with database.writing() as session:
        shop, version = shop_of(session)
        save_shop(session, shop.model_copy(update={"forget_after": years}), version)


def test_buyers_of_long_ago_go_by_themselves_only_where_the_maker_says_so(
    database: Database, tmp_path: Path
) -> None:
    with database.writing() as session:
        for name, state, years in (("Old", "cancelled", 4), ("Busy", "accepted", 4),
                                   ("New", "cancelled", 2)):  # fmt: skip
            body = OrderIn.model_validate(order_body(buyer={"name": name}))
            then = NOW - timedelta(days=365 * years + 10)
            order = take_order(session, body, then)
            move_order(session, order.number, state, order.version, then)
        session.add(Buyer(name="Never ordered"))
    assert forget_due(database, tmp_path, NOW) == 0
    set_years(database, 3)
    with database.reading() as session:
        assert len(due(session, NOW)) == 1

    assert forget_due(database, tmp_path, NOW) == 1
    assert forget_due(database, tmp_path, NOW) == 0
    with database.reading() as session:
        names = [line.row.name for line in buyers_like(session)[0]]
        states = [row.state for row in session.execute(select(Order)).scalars()]
    assert names[0].startswith("Erased buyer")
    assert names[1:] == ["Busy", "New", "Never ordered"]
    assert sorted(states) == ["accepted", "cancelled", "cancelled"]


def test_a_leap_day_has_a_day_years_ago(database: Database) -> None:
    set_years(database, 3)
    with database.reading() as session:
        assert due(session, NOW.replace(year=2028, month=2, day=29)) == []

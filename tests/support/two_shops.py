"""Two shops on one server, each with a row or more in every table, made by its own people."""

from dataclasses import dataclass, field
from datetime import datetime, timedelta
from typing import Any

from sqlmodel import Session, select

from models.records import (
    Delivery,
    IdempotencyKey,
    Logger,
    Mix,
    Mould,
    OfShop,
    OrderPlan,
    Passkey,
    Person,
    Piece,
    Place,
    PushSubscription,
    Reminder,
    Sealer,
    Shop,
    Sticker,
    Stock,
    Topic,
)
from service import secret
from service.actions.people import join, machines, sign_in
from service.actions.pours import keep_fault
from service.actions.pours.change_protection import put_on
from service.actions.pours.keep_photo import keep_photo
from service.actions.pours.log_batch import log_batch
from service.actions.pours.log_pour import log_pour
from service.actions.pours.mark_step_done import mark_step_done
from service.actions.pours.record_reading import record_reading
from service.actions.pours.record_strength_test import record_strength_test
from service.actions.shop import keep_mould, orders
from service.actions.shop.set_up_shop import change_shop, new_shop, open_shop
from service.actions.weather.refresh_forecasts import refresh_forecast
from service.actions.windows.project_pour import project_pour
from service.nouns.batch import BatchCreate
from service.nouns.cover import ProtectionCreate
from service.nouns.fault import PourFaultCreate
from service.nouns.order import PinCreate
from service.nouns.pour import PourCreate
from service.nouns.reading import ReadingCreate
from service.nouns.strength_test import StrengthTestCreate
from service.store import Store
from service.store.shops import ALL, shop_of, within
from tests.support.shop import HOUR, Sky, furnish

MARKS = {1: "Quarrel", 2: "Zephyr"}  # stands in all that is named in a shop, and nowhere else
PASSWORD = "three plain words"


@dataclass
class Shops:
    """Of each shop the keys of its rows by table, the secret of its owner's browser, its codes."""

    keys: dict[int, dict[str, int]] = field(default_factory=dict)
    browsers: dict[int, str] = field(default_factory=dict)
    codes: dict[int, dict[str, str]] = field(default_factory=dict)


def two_shops(store: Store, now: datetime, picture: bytes) -> Shops:
    made = Shops()
    with store.unit_of_work() as session:
        open_shop(session, now, "America/Chicago")
    with within(ALL), store.unit_of_work() as session:
        new_shop(session, now, "Zephyr yard", "America/Chicago")
    for shop_id, mark in MARKS.items():
        with within(shop_id):
            _fill(store, now, mark, picture, made, shop_id)
    return made


def _fill(
    store: Store, now: datetime, mark: str, picture: bytes, made: Shops, shop_id: int
) -> None:
    bench = furnish(store, now)  # the same names in both
    refresh_forecast(store, now, bench.place_id, Sky())
    with store.unit_of_work() as session:
        change_shop(session, now, {"name": f"{mark} yard"})
        _name_all(session, mark)
        wanted = PourCreate(**vars(bench), placed_at=now - 30 * HOUR, concrete_C=15.0)
        pour = log_pour(session, now, wanted)
        read = ReadingCreate(kind="concrete", value_C=15.5, at=now - HOUR, note=f"{mark} read")
        record_reading(session, now, pour.id, read)
        log_batch(session, now, pour.id, BatchCreate(at=now - 29 * HOUR, bags=2.0))
        cover = ProtectionCreate(kind="blanket", from_at=now - 20 * HOUR)
        put_on(session, now, pour.id, cover)
        cube = StrengthTestCreate(kind="cylinder", MPa=4.0, at=now - HOUR)
        record_strength_test(session, now, pour.id, cube)
        mark_step_done(session, now, pour.id, "finish", at=now - 26 * HOUR)
        keep_photo(session, now, pour.id, picture, at=now, note=f"{mark} photo")
        crack = PourFaultCreate(kind="crack", note=f"{mark} crack")
        keep_fault.keep_fault(session, now, pour.id, crack)
        keep_mould.keep_fault(
            session, now, bench.mould_id, "bowed wall", at=now, note=f"{mark} fault", photo=picture
        )
        part: dict[str, Any] = {"piece_id": bench.piece_id, "count": 2, "mix_id": bench.mix_id}
        part |= {"place_id": bench.place_id, "sealer_id": bench.sealer_id, "sealer_then": []}
        asked = {"name": f"{mark} client", "due_at": now + timedelta(days=60), "parts": [part]}
        order = orders.save_order(session, now, asked)
        pin = PinCreate(
            piece_id=bench.piece_id,
            number=1,
            mould_id=bench.mould_id,
            start_at=now + timedelta(days=20),
        )
        orders.pin(session, now, order.id, pin)
        person = Person(
            created_at=now, name=f"{mark} Ana", role="owner", password_hash=secret.hashed(PASSWORD)
        )
        session.add(person)
        session.flush()
        made.browsers[shop_id] = sign_in.begin(session, now, person.id, f"{mark} browser")
        invited = join.invite(session, now, "helper", f"{mark} Bo")
        token = machines.let_in(session, now, f"{mark} probe", "instrument", bench.place_id)
        screen = machines.let_in(session, now, f"{mark} screen", "screen")
        made.codes[shop_id] = {"join": invited, "instrument": token, "screen": screen}
        session.add_all(_by_hand(now, mark, person.id, pour.id, bench.place_id))
        made.codes[shop_id]["feed"] = _feed(session)
        made.codes[shop_id]["sticker"] = session.exec(select(Sticker.code)).first() or ""
    project_pour(store, now, pour.id)
    with store.reading() as session:
        for table in OfShop.__subclasses__():
            for one in [table, *table.__subclasses__()]:
                if hasattr(one, "__table__"):
                    key = session.exec(select(one.id)).first()
                    assert key is not None, f"the shop has no {one.__tablename__}"
                    made.keys.setdefault(shop_id, {})[str(one.__tablename__)] = key


def _name_all(session: Session, mark: str) -> None:
    for table in (Place, Mix, Piece, Mould, Sealer):
        row: Any = session.exec(select(table)).one()
        row.name = f"{mark} {row.name}"


def _feed(session: Session) -> str:
    found = session.exec(select(Shop.feed_token).where(Shop.id == shop_of(session))).one()
    return str(found)


def _by_hand(now: datetime, mark: str, person_id: int, pour_id: int, place_id: int) -> list[OfShop]:
    """What no action makes without a phone, a broker or a service."""
    later = now + timedelta(days=1)
    about: dict[str, Any] = {
        "pour_id": pour_id,
        "step": "strip",
        "kind": "opens",
        "key": f"{mark} key",
    }
    reminder = Reminder(
        created_at=now,
        **about,
        window_at=later,
        due_at=later,
        not_after=later,
        changed_at=now,
        facts={"piece": mark},
        state="listed",
    )
    keyed: dict[str, Any] = {"request_hash": mark, "status": 200, "answer": {"name": mark}}
    headings = ("date_column", "time_column", "air_column", "wet_column")
    columns: dict[str, Any] = dict.fromkeys(headings, "x")
    phone: dict[str, Any] = {"p256dh": "none", "auth": "none", "address": "http://127.0.0.1"}
    return [
        reminder,
        Delivery(created_at=now, channel=f"mailtos:{mark}", attempt=1, at=now, outcome="sent"),
        IdempotencyKey(created_at=now, key="one key", **keyed),
        Logger(
            created_at=now,
            name="one name",
            delimiter=",",
            decimal=".",
            unit="C",
            zone="UTC",
            month_first=False,
            **columns,
        ),
        OrderPlan(created_at=now, inputs={"mark": mark}),
        Passkey(
            created_at=now,
            person_id=person_id,
            name=f"{mark} key",
            host="testserver",
            credential=f"{mark}credential",
            public_key="none",
            sign_count=0,
        ),
        PushSubscription(
            created_at=now,
            endpoint="https://push.example/one",
            device=f"{mark} phone",
            person_id=person_id,
            **phone,
        ),
        Stock(created_at=now, kind="bag", name=f"{mark} bag", amount=3.0),
        Topic(created_at=now, name=f"{mark} pi", pattern=f"{mark}/air", place_id=place_id),
    ]

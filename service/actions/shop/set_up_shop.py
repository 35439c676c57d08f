"""What the shop owns and how it wants to be told: shop, places, mixes, pieces, moulds, sealers."""

import secrets
from collections.abc import Callable, Collection, Mapping
from datetime import datetime
from typing import Any, TypeVar

from babel.numbers import list_currencies
from sqlalchemy import ColumnElement
from sqlalchemy.orm import Mapped
from sqlmodel import Session, col, update

from models.concrete.section import TURNAROUND_H
from models.errors import InputError, renamed
from models.records import Job, Mix, Mould, Owned, Piece, Place, Pour, Sealer, Shop, WeatherRun
from models.records.shop import PRICED, UNITS
from models.units import number_within, one_of, optional_within
from service import region
from service.actions.shop import jobs
from service.actions.shop.calibrate import forget_mix, forget_place
from service.actions.shop.cover_stock import refuse_wrong_count
from service.actions.shop.stickers import give_code
from service.actions.windows import scenario_rows
from service.queries import shops
from service.queries.poured import take
from service.queries.pours import active_ids, active_where
from service.queries.rows import by_name, find, find_shop, taken
from service.store.shops import FIRST

R = TypeVar("R", bound=Owned)
DEAREST = 1e6
TOLD = (
    ("mixer_l", 0.2, 2000.0, "l"),
    ("scale_g", 0.1, 10_000.0, "g"),
    ("heater_kW", 0.0, 100.0, "kW"),
    ("hands", 1, 50, ""),
    ("lifters", 1, 20, ""),
)


def open_shop(session: Session, now: datetime, timezone: str = "UTC") -> Shop:
    """The row of the server's own shop, made at the first start."""
    shop = session.get(Shop, FIRST)
    if shop is None:
        region.known_zone("timezone", timezone)
        token = secrets.token_urlsafe(24)
        shop = Shop(id=FIRST, created_at=now, timezone=timezone, feed_token=token)
        session.add(shop)
        session.flush()
    return shop


def new_shop(session: Session, now: datetime, name: str, timezone: str = "UTC") -> Shop:
    """A further shop of a server whose own is open; its people see nothing of the others."""
    shop = Shop(created_at=now, name=name.strip(), timezone=timezone, feed_token="")
    if not 1 <= len(shop.name) <= 120 or not shop.name.isprintable():
        raise InputError("NAME", name[:120], "empty, too long or unprintable", "1 to 120 letters")
    if shops.named(session, shop.name):
        raise InputError("NAME", shop.name, "a shop here is called so", "another name")
    region.known_zone("timezone", timezone)
    shop.id, shop.feed_token = max(shops.shop_ids(session)) + 1, secrets.token_urlsafe(24)
    session.add(shop)
    session.flush()
    return shop


def change_shop(session: Session, now: datetime, values: Mapping[str, Any]) -> Shop:
    """Change what is named in `values`; every active pour is projected anew.

    A place without coordinates that had the shop's clock goes on having it.
    """
    shop = find_shop(session)
    before = shop.timezone
    for name, value in values.items():
        setattr(shop, name, value)
    region.known_zone("timezone", shop.timezone)
    if shop.units is not None:
        one_of("units", shop.units, UNITS)
    for name, price in shop.prices.items():
        number_within(f"prices.{one_of('prices', name, PRICED)}", price, 0, DEAREST)
    optional_within(shop, TOLD)
    if not shop.working_days:
        raise InputError("working_days", "", "no day is told", "one day or more")
    if shop.currency is not None and shop.currency not in list_currencies():
        allowed = "three letters of ISO 4217, as USD, EUR or SEK"
        raise InputError("currency", shop.currency, "no currency is called so", allowed)
    scenario_rows.rules_of(shop)
    refuse_wrong_count(shop)
    for place in by_name(session, Place) if shop.timezone != before else ():
        if place.latitude is None and place.timezone == before:
            place.timezone = shop.timezone
            session.add(place)
            session.flush()
            _poured_so(session, now, place, col(Pour.place_id))
    session.add(shop)
    session.flush()
    _projections_due(session, now, col(Pour.id).is_not(None))
    jobs.plan_moved(session, now)
    return shop


def new_feed_token(session: Session) -> Shop:
    """Withdraw the calendar's secret address and give another."""
    shop = find_shop(session)
    shop.feed_token = secrets.token_urlsafe(24)
    session.add(shop)
    return shop


def save_place(
    session: Session, now: datetime, values: Mapping[str, Any], place_id: int | None = None
) -> Place:
    """A new place, or the changed one; its forecast is due at once when it has coordinates.

    What stands at a place meets what the place is: every pour under way there is of it.
    """

    def check(place: Place) -> None:
        if place.timezone:
            region.known_zone("timezone", place.timezone)
        _both_or_neither(place, "latitude", "longitude", "the other coordinate is given")
        if place.altitude_m is not None:
            number_within("altitude_m", place.altitude_m, -500.0, 9000.0, "m")
        _both_or_neither(place, "heated_from", "heated_to", "the other time is given")
        if place.latitude is None and not place.timezone:
            place.timezone = find_shop(session).timezone
        with renamed({"heated_hours": "heated_from"}):
            scenario_rows.site_of(place)
        place.timezone = region.agreed_zone(place.timezone, place.latitude, place.longitude)

    old = session.get(Place, place_id) if place_id is not None else None
    if old is None:
        values = {"timezone": None, **values}  # UTC is what a row has, not what a maker told
    before = None if old is None else (old.kind, old.latitude, old.longitude)
    place = _save(session, now, Place, values, place_id, check, col(Pour.place_id), None)
    if before is not None and before != (place.kind, place.latitude, place.longitude):
        forget_place(session, now, place.id)  # it is another place
    if before is not None and before[1:] != (place.latitude, place.longitude):
        _forecasts_of_before(session, place.id)
    if place.latitude is not None:
        jobs.forecast_due(session, now, place.id)
    return place


def _both_or_neither(place: Place, first: str, second: str, wrong: str) -> None:
    missing = [name for name in (first, second) if getattr(place, name) is None]
    if len(missing) == 1:
        raise InputError(missing[0], None, wrong, "both or neither")


def _forecasts_of_before(session: Session, place_id: int) -> None:
    """Runs of the old coordinates say so, and are not taken for issues of the new one's service."""
    session.execute(
        update(WeatherRun)
        .where(
            col(WeatherRun.place_id) == place_id,
            col(WeatherRun.typed).is_(False),
            col(WeatherRun.moved).is_(False),
        )
        .values(moved=True, provider=col(WeatherRun.provider) + ", before the place was moved")
    )


def save_mix(
    session: Session,
    now: datetime,
    values: Mapping[str, Any],
    mix_id: int | None = None,
    pours: Collection[int] = (),
) -> Mix:
    """A new mix, or the changed one; pours : keys of those under way that are of it too."""
    old = session.get(Mix, mix_id) if mix_id is not None else None
    before = None if old is None else _made_of(old)
    mix = _save(
        session, now, Mix, values, mix_id, scenario_rows.mixture_of, col(Pour.mix_id), pours
    )
    if before is not None and before != _made_of(mix):
        forget_mix(session, now, mix.id, col(Pour.id).in_(pours))  # it is another mix
    return mix


def _made_of(mix: Mix) -> tuple[object, ...]:
    """What results were foreseen by: its strengths, and what is in it."""
    contents = (mix.cement, mix.cement_class, mix.cement_kg_m3, mix.water_cement, mix.polymer_pct)
    return mix.kind, mix.label, mix.admixture, mix.recipe, *contents


def save_piece(
    session: Session,
    now: datetime,
    values: Mapping[str, Any],
    piece_id: int | None = None,
    pours: Collection[int] = (),
) -> Piece:
    """A new piece, or the changed one; openings larger than the piece are refused.

    pours : keys of those under way that are of it too
    """
    return _save(
        session, now, Piece, values, piece_id, scenario_rows.shape_of, col(Pour.piece_id), pours
    )


def save_mould(
    session: Session,
    now: datetime,
    values: Mapping[str, Any],
    mould_id: int | None = None,
    pours: Collection[int] = (),
) -> Mould:
    """A new mould, or the changed one; pours : keys of those under way that are of it too."""

    def check(mould: Mould) -> None:
        scenario_rows.board_of(mould)
        if mould.piece_id is not None:
            find(session, Piece, mould.piece_id, "piece_id")
        if mould.alike_id is not None:
            first = find(session, Mould, mould.alike_id, "alike_id")
            mould.alike_id = first.alike_id or first.id
            if mould.alike_id == mould.id:  # it is the first of its kind itself
                mould.alike_id = None
        if mould.turnaround_h is not None:
            number_within("turnaround_h", mould.turnaround_h, *TURNAROUND_H, "h")

    mould = _save(session, now, Mould, values, mould_id, check, col(Pour.mould_id), pours)
    if mould_id is None:
        give_code(session, now, mould)
    if mould.alike_id is not None:  # its own like are of the same kind
        like = update(Mould).where(col(Mould.alike_id) == mould.id)
        session.execute(like.values(alike_id=mould.alike_id))
    return mould


def save_sealer(
    session: Session,
    now: datetime,
    values: Mapping[str, Any],
    sealer_id: int | None = None,
    pours: Collection[int] = (),
) -> Sealer:
    """A new sealer, or the changed one; pours : keys of those under way that are of it too."""

    def check(sealer: Sealer) -> None:
        if sealer.price_l is not None:
            number_within("price_l", sealer.price_l, 0.0, DEAREST)
        scenario_rows.sealer_of(sealer)

    return _save(session, now, Sealer, values, sealer_id, check, col(Pour.sealer_id), pours)


def _save(
    session: Session,
    now: datetime,
    table: type[R],
    values: Mapping[str, Any],
    row_id: int | None,
    check: Callable[[R], object],
    used_in: Mapped[int] | Mapped[int | None],
    pours: Collection[int] | None,
) -> R:
    """The row, checked and stored.

    pours : keys of the pours under way that were poured so too, None: all; the others stay as they
        were poured
    """
    if row_id is None:
        row = table(created_at=now, **values)
    else:
        row = find(session, table, row_id)
        for name, value in values.items():
            setattr(row, name, value)
    with session.no_autoflush:
        name = str(getattr(row, "name", "")).strip()
        if not name or len(name) > 120:
            raise InputError("name", name, "empty or too long", "1 to 120 characters")
        check(row)
        taken(session, table, name, but=row_id)
    session.add(row)
    session.flush()
    _poured_so(session, now, row, used_in, pours)
    jobs.plan_moved(session, now)
    return row


def _poured_so(
    session: Session,
    now: datetime,
    row: Owned,
    used_in: Mapped[int] | Mapped[int | None],
    pours: Collection[int] | None = None,
) -> None:
    """What is under way with a row is of it as it stands now, and projected anew.

    pours : keys of those that are, None: all
    """
    under_way = {pour.id: pour for pour in active_where(session, used_in == row.id)}
    for key in under_way if pours is None else pours:
        if key not in under_way:
            allowed = ", ".join(map(str, sorted(under_way))) or "none: no pour is under way with it"
            raise InputError("apply_to_pours", key, "no pour under way with it", allowed)
        take(under_way[key], row)
        session.add(under_way[key])
        jobs.projection_due(session, now, key)


def _projections_due(session: Session, now: datetime, pours: ColumnElement[bool]) -> None:
    session.execute(
        update(Job)
        .where(col(Job.pour_id).in_(active_ids(pours)))
        .values(due_at=now, asked=Job.asked + 1)
    )

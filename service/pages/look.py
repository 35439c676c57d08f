"""What the pages show, taken from the rows; nothing is written here."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import TypeVar

from sqlalchemy import func
from sqlalchemy.orm import defer
from sqlmodel import Session, and_, col, or_, select

from models.records import (
    Batch,
    Duty,
    Mix,
    Mould,
    Piece,
    Place,
    Pour,
    Projection,
    ProtectionPeriod,
    Reading,
    Row,
    Sealer,
    StepDone,
    StrengthTest,
    WeatherRun,
)
from models.records.reading import AIR_KINDS
from service import region
from service.actions.jobs import weather_key
from service.actions.place_air import FORECAST
from service.actions.project_pour import latest
from service.pages.view import Clock, age
from service.queries.rows import find, find_shop
from service.weather import chain
from service.weather.choose import FRESH
from service.weather.provider import Provider

R = TypeVar("R", bound=Row)


@dataclass(frozen=True)
class Weather:
    """How old the weather of a place is, and what stands in the way of newer."""

    place: str
    place_id: int
    source: str
    age: str
    stale: bool
    typed: bool
    failure: str
    services: tuple[str, ...] = ()  # sources of all runs kept, whose hours may be in the answer


@dataclass(frozen=True)
class PourSeen:
    """One pour with all that hangs on it."""

    pour: Pour
    piece: Piece
    mix: Mix
    place: Place
    mould: Mould | None
    sealer: Sealer | None
    covers: Sequence[ProtectionPeriod]
    readings: Sequence[Reading]
    tests: Sequence[StrengthTest]
    batches: Sequence[Batch]
    done: Sequence[StepDone]
    projection: Projection | None
    weather: Weather


def units(session: Session) -> str:
    """What a bare number is in: si | us as the shop chose, else as its zone; empty: not known."""
    shop = find_shop(session)
    return shop.units or region.units_at(shop.timezone)


def rows(session: Session, table: type[R]) -> Sequence[R]:
    """All rows of a noun by name."""
    return session.exec(select(table).order_by(table.__table__.c.name)).all()  # type: ignore[attr-defined]


def last_pour(session: Session) -> Pour | None:
    return session.exec(select(Pour).order_by(col(Pour.id).desc()).limit(1)).one_or_none()


def covers(session: Session, pour_id: int) -> Sequence[ProtectionPeriod]:
    table = ProtectionPeriod
    return session.exec(
        select(table).where(table.pour_id == pour_id).order_by(col(table.from_at), col(table.id))
    ).all()


def pour(session: Session, now: datetime, pour_id: int) -> PourSeen:
    """The pour of an address; NoSuchRow when there is none."""
    row = find(session, Pour, pour_id, "pour_id")
    place = find(session, Place, row.place_id)
    shared = and_(col(Reading.place_id) == row.place_id, col(Reading.kind).in_(AIR_KINDS))
    return PourSeen(
        pour=row,
        piece=find(session, Piece, row.piece_id),
        mix=find(session, Mix, row.mix_id),
        place=place,
        mould=session.get(Mould, row.mould_id) if row.mould_id else None,
        sealer=session.get(Sealer, row.sealer_id) if row.sealer_id else None,
        covers=covers(session, pour_id),
        readings=session.exec(
            select(Reading)
            .where(or_(Reading.pour_id == pour_id, shared), Reading.at >= row.placed_at)
            .order_by(col(Reading.at).desc(), col(Reading.id).desc())
        ).all(),
        tests=session.exec(
            select(StrengthTest)
            .where(StrengthTest.pour_id == pour_id)
            .order_by(col(StrengthTest.at).desc())
        ).all(),
        batches=session.exec(
            select(Batch).where(Batch.pour_id == pour_id).order_by(col(Batch.at).desc())
        ).all(),
        done=session.exec(
            select(StepDone)
            .where(StepDone.pour_id == pour_id, col(StepDone.undone_at).is_(None))
            .order_by(col(StepDone.at).desc(), col(StepDone.id).desc())
        ).all(),
        projection=latest(session, pour_id),
        weather=weather(session, now, place),
    )


def active(session: Session) -> Sequence[tuple[Pour, str, Projection | None]]:
    """Pours that are not closed, each with its piece's name and its newest projection."""
    newest = select(func.max(Projection.id)).group_by(col(Projection.pour_id)).scalar_subquery()
    found = session.exec(
        select(Pour, Piece.name, Projection)
        .join(Piece, col(Piece.id) == Pour.piece_id)
        .join(
            Projection,
            (col(Projection.pour_id) == Pour.id) & col(Projection.id).in_(newest),
            isouter=True,
        )
        .where(col(Pour.closed_at).is_(None))
        .options(defer(Projection.concrete))  # type: ignore[arg-type]
        .order_by(col(Pour.placed_at).desc())
    )
    return [(row, name, projection) for row, name, projection in found]


def recent(session: Session, count: int = 12) -> Sequence[tuple[Pour, str]]:
    """The newest pours that are closed, with the piece's name."""
    found = session.exec(
        select(Pour, Piece.name)
        .join(Piece, col(Piece.id) == Pour.piece_id)
        .where(col(Pour.closed_at).is_not(None))
        .order_by(col(Pour.closed_at).desc())
        .limit(count)
    )
    return [(row, name) for row, name in found]


@dataclass(frozen=True)
class Official:
    """One official alert that is not over."""

    place: str
    event: str
    until: str
    headline: str
    advice: str


def official(place: Place, clock: Clock) -> list[Official]:
    """What was officially warned of at the last refresh and is not over."""
    told = []
    for one in place.official_alerts or ():
        ends = one["ends"] or ""
        if datetime.fromisoformat(ends) > clock.now:
            moment = clock(ends)
            until = moment.clock if moment else ""
            told.append(
                Official(
                    place.name,
                    one["event"] or "",
                    until,
                    one["headline"] or "",
                    one["advice"] or "",
                )
            )
    return told


def weather(session: Session, now: datetime, place: Place) -> Weather:
    """The newest run of a place, and how the last try went."""
    run = session.exec(
        select(WeatherRun)
        .where(
            WeatherRun.place_id == place.id,
            WeatherRun.fetched_at <= now,
            WeatherRun.kind == FORECAST,
        )
        .options(defer(WeatherRun.hours), defer(WeatherRun.ensemble))  # type: ignore[arg-type]
        .order_by(col(WeatherRun.fetched_at).desc(), col(WeatherRun.id).desc())
        .limit(1)
    ).one_or_none()
    duty = session.exec(select(Duty).where(Duty.key == weather_key(place.id))).one_or_none()
    failure = duty.failure if duty is not None else ""
    services = session.exec(
        select(WeatherRun.provider)
        .where(WeatherRun.place_id == place.id, col(WeatherRun.typed).is_(False))
        .distinct()
        .order_by(WeatherRun.provider)
    ).all()
    if run is None:
        return Weather(place.name, place.id, "", "", True, False, failure)
    old = now - run.issued_at if not run.typed else now - run.fetched_at
    stale = old >= FRESH
    return Weather(
        place.name, place.id, run.provider, age(old), stale, run.typed, failure, tuple(services)
    )


def credit(services: Provider, seen: Iterable[Weather]) -> str:
    """The credit of every service whose numbers may be on the page, each once."""
    lines = (chain.credit(services, source) for one in seen for source in one.services)
    return " ".join(dict.fromkeys(line for line in lines if line))

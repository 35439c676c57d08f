"""Places, and what was read of their air."""

from collections.abc import Sequence
from datetime import datetime

from sqlmodel import Session, col, func, select

from models.air.place import ROOMS
from models.planning import fumes
from models.records import Place, Pour, Reading
from models.records.reading import AIR_KINDS

# a room whose heater burns into it comes last: no piece is sent there
_burns_inside = func.coalesce(col(Place.heater), "") == fumes.BURNING


def air_read_between(
    session: Session, place_id: int, since: datetime, now: datetime
) -> Sequence[tuple[datetime, float]]:
    """Instants and temperatures of the air of a place [degC] that count."""
    return session.exec(
        select(Reading.at, Reading.value_C).where(
            Reading.place_id == place_id,
            Reading.kind == "air",
            col(Reading.wrong).is_(False),
            col(Reading.spare).is_(False),
            Reading.created_at > since,
            Reading.at > since,
            Reading.at <= now,
        )
    ).all()


def air_readings(
    session: Session, place_id: int, since: datetime, now: datetime
) -> Sequence[Reading]:
    """Readings of every kind of the air of a place but the spare, the oldest first."""
    return session.exec(
        select(Reading)
        .where(
            Reading.place_id == place_id,
            col(Reading.kind).in_(AIR_KINDS),
            col(Reading.spare).is_(False),
            Reading.at >= since,
            Reading.at <= now,
        )
        .order_by(col(Reading.at))
    ).all()


def read_there(
    session: Session, place_id: int, since: datetime, until: datetime, instrument: str | None
) -> Sequence[tuple[str, datetime, int, bool]]:
    """Kind, instant, pour and whether it is spare of what an instrument sent of a place; None: of
    all that was read there."""
    wanted = select(Reading.kind, Reading.at, Reading.pour_id, Reading.spare).where(
        Reading.place_id == place_id, Reading.at >= since, Reading.at <= until
    )
    if instrument is not None:
        wanted = wanted.where(Reading.instrument == instrument)
    return session.exec(wanted).all()


def read_at(
    session: Session, pour: Pour, instrument: str, kind: str, at: datetime
) -> Reading | None:
    """What an instrument sent of an instant: of the air of its place, else of the pour itself."""
    own = Reading.place_id == pour.place_id if kind in AIR_KINDS else Reading.pour_id == pour.id
    return session.exec(
        select(Reading).where(
            own, Reading.instrument == instrument, Reading.kind == kind, Reading.at == at
        )
    ).first()


def with_coordinates(session: Session) -> Sequence[int]:
    """Keys of the places that a forecast can be asked for."""
    return session.exec(select(Place.id).where(col(Place.latitude).is_not(None))).all()


def in_use(session: Session) -> Sequence[Place]:
    """Places where a pour is under way, by name."""
    here = select(Pour.place_id).where(col(Pour.closed_at).is_(None))
    return session.exec(
        select(Place).where(col(Place.id).in_(here)).order_by(col(Place.name))
    ).all()


def room_of_the_shop(session: Session) -> Place | None:
    """The room that a piece may be cast in; a heated one goes before."""
    return session.exec(
        select(Place)
        .where(col(Place.kind).in_(ROOMS), col(Place.archived_at).is_(None))
        .order_by(_burns_inside, col(Place.kind), col(Place.id))
    ).first()

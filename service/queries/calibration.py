"""Readings that a place is calibrated by, and pours that a mix is."""

from collections.abc import Sequence
from datetime import UTC, datetime

from sqlalchemy import ColumnElement, exists, or_
from sqlmodel import Session, col, select

from models.records import Mix, Place, Pour, Reading, StrengthTest
from models.records.reading import AIR_TEMPERATURE_KINDS
from models.simulation.scenario import SET_KINDS

ALWAYS = datetime(1970, 1, 1, tzinfo=UTC)


def readings_between(
    session: Session, place: Place, since: datetime, now: datetime, limit: int
) -> Sequence[Reading]:
    """The newest readings that count for a place."""
    return session.exec(
        select(Reading)
        .where(_of_place(place), Reading.at > since, Reading.at <= now)
        .order_by(col(Reading.at).desc())
        .limit(limit)
    ).all()


def has_reading(session: Session, place: Place, noticed_since: datetime = ALWAYS) -> bool:
    """Whether a reading counts for a place that was noticed since."""
    wanted = select(Reading.id).where(_of_place(place), Reading.created_at >= noticed_since)
    return session.exec(wanted.limit(1)).first() is not None


def newest_pours(session: Session, mix: Mix, limit: int) -> Sequence[int]:
    """Keys of the newest pours with a result that counts for a mix."""
    return session.exec(
        select(Pour.id)
        .where(_of_mix(mix, ALWAYS))
        .order_by(col(Pour.placed_at).desc())
        .limit(limit)
    ).all()


def has_result(session: Session, mix: Mix, noticed_since: datetime = ALWAYS) -> bool:
    """Whether a result counts for a mix that was noticed since."""
    wanted = select(Pour.id).where(_of_mix(mix, noticed_since))
    return session.exec(wanted.limit(1)).first() is not None


def _of_place(place: Place) -> ColumnElement[bool]:
    return (
        (col(Reading.place_id) == place.id)
        & col(Reading.wrong).is_(False)
        & col(Reading.spare).is_(False)
        & col(Reading.kind).in_(AIR_TEMPERATURE_KINDS)
        & (col(Reading.created_at) > (place.forgotten_at or ALWAYS))
    )


def _of_mix(mix: Mix, since: datetime) -> ColumnElement[bool]:
    """Pours of a mix with a result noticed since."""
    cubes = exists().where(
        col(StrengthTest.pour_id) == Pour.id, col(StrengthTest.created_at) >= since
    )
    sets = exists().where(
        col(Reading.pour_id) == Pour.id,
        col(Reading.kind).in_(SET_KINDS),
        col(Reading.created_at) >= since,
    )
    return (
        (col(Pour.mix_id) == mix.id)
        & (col(Pour.placed_at) > (mix.forgotten_at or ALWAYS))
        & or_(cubes, sets)
    )

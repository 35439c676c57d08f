"""What is known of the air of a place before a service is asked, to hold its answer against."""

from datetime import datetime, timedelta

from sqlmodel import Session

from models.records import Place
from service.actions.weather import place_air
from service.queries import places
from service.weather.provider import Known

READ_LATELY = timedelta(hours=24)
OUTDOORS = ("open yard", "covered")  # elsewhere a reading tells of the room


def known_air(session: Session, place: Place, now: datetime) -> Known:
    """The last answer that counts for these coordinates, and what was read outdoors of late."""
    earlier = place_air.last_forecast(session, place, now)
    return Known(earlier, tuple(outdoor_readings(session, place, now - READ_LATELY, now)))


def outdoor_readings(
    session: Session, place: Place, since: datetime, now: datetime
) -> list[tuple[datetime, float]]:
    """Instants and temperatures of the air outdoors, the place's own excess taken off."""
    if place.kind not in OUTDOORS:
        return []
    over = place.offset_K if place.offset_K is not None else place.learned_offset_K or 0.0
    rows = places.air_read_between(session, place.id, since, now)
    return [(at, value - over) for at, value in rows]

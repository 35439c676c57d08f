"""Show a place: outdoors, the place itself, and the concrete that stands there."""

from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any

from sqlmodel import Session, col, select

from models.errors import Unknown
from models.projection.around import BEFORE_H, Around, around
from models.projection.weather import SPIN_UP_H
from models.records import Piece, Place, Pour, Projection, Reading
from models.records.reading import AIR_KINDS
from service.actions import _scenario, place_air
from service.queries.rows import find

HOUR = timedelta(hours=1)


@dataclass(frozen=True)
class PlaceSeen:
    """The air at a place, and pieces under way there by name with what their projection told."""

    place: Place
    air: Around | Unknown
    pieces: tuple[tuple[int, str, dict[str, Any]], ...]
    warnings: tuple[str, ...]


def show_place(session: Session, now: datetime, place_id: int) -> PlaceSeen:
    """A day back and three ahead, from the runs, readings and projections that are kept."""
    place = find(session, Place, place_id, "place_id")
    begin = now - (BEFORE_H + SPIN_UP_H + 1) * HOUR
    weather = place_air.joined(session, place, now, begin)
    readings = session.exec(
        select(Reading)
        .where(
            Reading.place_id == place_id,
            col(Reading.kind).in_(AIR_KINDS),
            Reading.at >= begin,
            Reading.at <= now,
        )
        .order_by(col(Reading.at))
    ).all()
    site = _scenario.site_of(place, _scenario.taught(place, None))
    seen = around(site, [_scenario.observation_of(r) for r in readings], weather.air, now)
    notes = () if isinstance(seen, Unknown) else seen.notes
    return PlaceSeen(place, seen, _pieces(session, place_id), (*weather.warnings, *notes))


def _pieces(session: Session, place_id: int) -> tuple[tuple[int, str, dict[str, Any]], ...]:
    rows = session.exec(
        select(Pour, Piece.name, Projection)
        .join(Piece, col(Piece.id) == Pour.piece_id)
        .join(Projection, col(Projection.pour_id) == Pour.id)
        .where(
            Pour.place_id == place_id,
            col(Pour.closed_at).is_(None),
            col(Projection.concrete).is_not(None),
        )
        .order_by(col(Projection.id))
    ).all()
    latest = {pour.id: (pour.id, name, row.concrete or {}) for pour, name, row in rows}
    return tuple(one for one in latest.values() if one[2])

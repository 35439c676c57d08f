"""Show a place: outdoors, the place itself, and the concrete that stands there."""

from dataclasses import dataclass
from datetime import datetime, timedelta

from sqlmodel import Session

from models.errors import Unknown
from models.message import Message
from models.planning.place_conditions import BEFORE_H, PlaceConditions, place_conditions
from models.records import Place
from models.simulation.weather import SPIN_UP_H
from service.actions.weather import place_air
from service.actions.windows import scenario_rows
from service.answers import ConcreteResponse, read_concrete
from service.queries import places, projections
from service.queries.rows import find

HOUR = timedelta(hours=1)


@dataclass(frozen=True)
class PlaceReport:
    """The air at a place, and pieces under way there by name with what their projection told."""

    place: Place
    air: PlaceConditions | Unknown
    pieces: tuple[tuple[int, str, ConcreteResponse], ...]
    warnings: tuple[Message, ...]


def show_place(session: Session, now: datetime, place_id: int) -> PlaceReport:
    """A day back and three ahead, from the runs, readings and projections that are kept."""
    place = find(session, Place, place_id, "place_id")
    begin = now - (BEFORE_H + SPIN_UP_H + 1) * HOUR
    weather = place_air.joined(session, place, now, begin)
    readings = places.air_readings(session, place_id, begin, now)
    site = scenario_rows.site_of(place, scenario_rows.calibration_of(place, None))
    local = place_conditions(
        site, [scenario_rows.observation_of(r) for r in readings], weather.air, now
    )
    notes = () if isinstance(local, Unknown) else local.notes
    return PlaceReport(place, local, _pieces(session, place_id), (*weather.warnings, *notes))


def _pieces(session: Session, place_id: int) -> tuple[tuple[int, str, ConcreteResponse], ...]:
    rows = projections.with_hours_at(session, place_id)
    latest = {pour.id: (pour.id, name, read_concrete(row.concrete)) for pour, name, row in rows}
    return tuple(
        (key, name, concrete) for key, name, concrete in latest.values() if concrete is not None
    )

"""The air of a place from the file of a logger, kept as readings of the pours that stand there."""

from collections.abc import Sequence
from dataclasses import asdict, fields
from datetime import datetime

from sqlmodel import Session

from models.errors import InputError
from models.records import Logger, Place, Reading
from service.actions.people.join import a_name
from service.actions.pours.take_readings import taken
from service.nouns.reading import ReadingCreate
from service.queries import loggers
from service.queries.pours import active_at
from service.queries.rows import find
from service.weather.logger_file import Layout, Logged
from service.weather.logger_table import Table

NOTE = "from a logger's file"


def take_logger(
    session: Session, now: datetime, place_id: int, logged: Sequence[Logged]
) -> list[Reading]:
    """Each becomes a reading of the newest pour that stood at the place by then; a reading of the
    air counts for all of them. Left out is what is older than every pour there, ahead, or known.

    Raises InputError where no pour is under way there: nothing would ever look at the readings.
    """
    place = find(session, Place, place_id, "place_id")
    pours = active_at(session, place_id)
    if not pours:
        wrong = "no pour is under way there"
        raise InputError("place", place.name, wrong, "log the pour first, then its air")
    told: list[ReadingCreate] = []
    for one in logged:
        told.append(ReadingCreate(kind="air", value_C=one.air_C, at=one.at, note=NOTE))
        if one.rh_pct is not None:
            wet = ReadingCreate(kind="humidity", rh_pct=one.rh_pct, at=one.at, note=NOTE)
            told.append(wet)
    return taken(session, now, place_id, pours, told, None).kept


def remember(session: Session, now: datetime, name: str, layout: Layout) -> Logger:
    """Its next file is read alike."""
    wanted = a_name(name)
    row = loggers.named(session, wanted) or Logger(created_at=now, name=wanted, **asdict(layout))
    for key, value in asdict(layout).items():
        setattr(row, key, value)
    row.created_at = now  # of what it says now
    session.add(row)
    return row


def forget(session: Session, logger_id: int) -> None:
    session.delete(find(session, Logger, logger_id))


def remembered(session: Session, table: Table) -> tuple[str, Layout] | None:
    """Name and layout of the logger whose file this looks like, the one that was read last."""
    for row in loggers.loggers(session):
        wanted = {row.date_column, row.time_column, row.air_column, row.wet_column} - {""}
        if row.delimiter == table.delimiter and wanted <= set(table.headings):
            return row.name, Layout(**{one.name: getattr(row, one.name) for one in fields(Layout)})
    return None

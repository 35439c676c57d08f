"""A row that was removed or changed by mistake is put back as it was."""

from base64 import b64decode, b64encode
from collections.abc import Mapping
from datetime import datetime
from typing import Any

from sqlmodel import Session

from models.records import (
    Batch,
    Photo,
    Pour,
    PourFault,
    ProtectionPeriod,
    Reading,
    StrengthTest,
)
from service.actions.pours.record_reading import reading_changed
from service.actions.shop import jobs
from service.queries.rows import NoSuchRow, find

Logged = Batch | Photo | PourFault | ProtectionPeriod | Reading | StrengthTest
TABLES = {
    table.__tablename__: table
    for table in (Batch, Photo, PourFault, ProtectionPeriod, Reading, StrengthTest)
}


def copy_of(row: Logged) -> dict[str, Any]:
    """The row as JSON, before it goes."""
    values = row.model_dump(mode="json", exclude={"content"})
    if isinstance(row, Photo):
        values["content"] = b64encode(row.content).decode("ascii")
    return {"table": row.__tablename__, "row": values}


def put_back(session: Session, now: datetime, pour_id: int, copy: Mapping[str, Any]) -> Logged:
    """The row of a copy, under its own key; one that still is there is as the copy says again."""
    table, values = TABLES[copy["table"]], dict(copy["row"])
    if "content" in values:
        values["content"] = b64decode(values["content"])
    wanted: Logged = table.model_validate(values)
    pour = find(session, Pour, pour_id, "pour_id")
    beside = isinstance(wanted, Reading) and wanted.place_id == pour.place_id
    if wanted.pour_id != pour_id and not beside:
        raise NoSuchRow("removal", wanted.id, f"not of pour {pour_id}", "one of this pour's")
    wanted.shop_id = pour.shop_id  # which a copy does not tell
    row: Logged = session.merge(wanted)
    session.flush()
    if isinstance(row, Reading):
        reading_changed(session, now, row)
    elif not isinstance(row, (Photo, PourFault)):
        jobs.windows_due(session, now, pour)
    return row

"""The check list of a pour before it is poured: what is looked at, and what is ticked."""

from dataclasses import dataclass
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

from sqlmodel import Session

from models.errors import InputError
from models.planning import before_pour
from models.planning.before_pour import EVENING, Item
from models.records import Pour
from models.units import one_of
from service.actions.windows import scenario_rows
from service.answers import read_answer
from service.queries.pours import load_pour
from service.queries.projections import latest
from service.queries.rows import find

SAME_NIGHT = timedelta(hours=16)


@dataclass(frozen=True)
class Before:
    """A pour, what is looked at before it, and since when each is ticked."""

    pour: Pour
    timezone: str
    name: str
    items: tuple[Item, ...]
    ticked: dict[str, datetime]


def before(session: Session, pour_id: int) -> Before:
    """Raises NoSuchRow where there is no such pour."""
    rows = load_pour(session, pour_id)
    pour, zone = rows.pour, ZoneInfo(rows.place.timezone)
    covers = [one.kind for one in rows.protections]
    covers += [str(act["cover"]) for act in pour.plan if act.get("cover")]
    scenario = scenario_rows.planned(session, pour)
    found = before_pour.items(scenario, covers, _hours(session, pour, zone))
    ticked = {key: datetime.fromisoformat(at) for key, at in pour.ticked.items()}
    return Before(pour, rows.place.timezone, rows.label, found, ticked)


def tick(session: Session, now: datetime, pour_id: int, keys: set[str]) -> Before:
    """These are looked at, the others are not; what was ticked before keeps its hour.

    Raises InputError for a key that is none of its list, or a pour that is closed.
    """
    listed = before(session, pour_id)
    for key in keys:
        one_of("ticked", key, (one.key for one in listed.items))
    return _keep(session, now, pour_id, keys)


def tick_further(
    session: Session, now: datetime, pour_id: int, added: set[str], taken_back: set[str]
) -> Before:
    """What a form changed of what it showed; what another phone ticked meanwhile stays.

    A key that left the list meanwhile is nobody's any more.
    """
    listed = before(session, pour_id)
    keys = (listed.ticked.keys() - taken_back | added) & {one.key for one in listed.items}
    return _keep(session, now, pour_id, keys)


def _keep(session: Session, now: datetime, pour_id: int, keys: set[str]) -> Before:
    pour = find(session, Pour, pour_id, "pour_id")
    if pour.closed_at is not None:
        raise InputError("ticked", sorted(keys), "the pour is closed", "a pour under way")
    pour.ticked = {key: pour.ticked.get(key, now.isoformat()) for key in sorted(keys)}
    session.add(pour)
    session.flush()
    return before(session, pour_id)


def _hours(session: Session, pour: Pour, zone: ZoneInfo) -> list[tuple[str, datetime]]:
    """The steps of the same night by the newest answer."""
    row = latest(session, pour.id)
    if row is None:
        return []
    found = []
    for step in read_answer(row.answer).steps:
        at = step.earliest.p50
        if step.step in EVENING and at and pour.placed_at <= at <= pour.placed_at + SAME_NIGHT:
            found.append((step.step, at.astimezone(zone)))
    return sorted(found, key=lambda one: one[1])

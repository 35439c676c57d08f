"""What a shop may have at most, where whoever runs the server has set it: asked before rows are
written, whatever door they come by. It refuses what would be one too many, and keeps what is there.
"""

from collections.abc import Callable, Iterator, Mapping, Sequence
from datetime import timedelta
from functools import partial
from typing import Any

from sqlalchemy import inspect
from sqlmodel import Session, col, func, select

from models.errors import InputError
from models.records import MouldFault, Person, Photo, Place, Pour, Reading

DAY = timedelta(days=1)
MB = 1_000_000
ASK = "more of whoever runs the server"


def asked(limits: Mapping[str, int]) -> Callable[[Session], None] | None:
    """What a store asks before it writes, by names of service.settings.LIMITS; None: nothing."""
    return partial(_refuse_more, limits) if limits else None


def _refuse_more(limits: Mapping[str, int], session: Session) -> None:
    with session.no_autoflush:
        for name, there, added, unit in _counts(session):
            most = limits.get(name, 0)
            if added and most and there + added > most:
                wrong = f"the shop would have more than the {most:g} {unit} it may have"
                raise InputError(name.removeprefix("most_"), there, wrong, f"fewer, or {ASK}")


def _counts(session: Session) -> Iterator[tuple[str, float, float, str]]:
    """Name of the limit, what is there, what comes, of what."""
    new = list(session.new)
    if people := _of(new, Person):
        wanted = select(func.count(col(Person.id))).where(col(Person.left_at).is_(None))
        yield "most_people", session.exec(wanted).one(), len(people), "people"
    if pours := [*_of(new, Pour), *_back(session, Pour, "closed_at")]:
        wanted = select(func.count(col(Pour.id))).where(col(Pour.closed_at).is_(None))
        under_way = sum(one.closed_at is None for one in pours)
        yield "most_pours", session.exec(wanted).one(), under_way, "pours under way"
    if added := [*_of(new, Place), *_back(session, Place, "archived_at")]:
        wanted = select(func.count(col(Place.id))).where(col(Place.archived_at).is_(None))
        yield "most_places", session.exec(wanted).one(), len(added), "places"
    if pictures := [*_of(new, Photo), *_of(new, MouldFault)]:
        sizes: tuple[Any, ...] = (Photo.size_bytes, MouldFault.size_bytes)
        kept = sum(session.exec(select(func.coalesce(func.sum(one), 0))).one() for one in sizes)
        comes = sum(one.size_bytes or 0 for one in pictures)
        yield "most_photo_mb", kept / MB, comes / MB, "MB of photos"
    if readings := _of(new, Reading):
        since = max(one.created_at for one in readings) - DAY
        wanted = select(func.count(col(Reading.id))).where(Reading.created_at > since)
        yield "most_readings", session.exec(wanted).one(), len(readings), "readings in a day"


def _of(rows: Sequence[object], table: type[Any]) -> list[Any]:
    return [one for one in rows if isinstance(one, table)]


def _back(session: Session, table: type[Any], ended: str) -> list[Any]:
    """Rows that were closed or put away, at the instant of that name, and are not any more."""
    return [
        one
        for one in _of(list(session.dirty), table)
        if getattr(one, ended) is None and inspect(one).attrs[ended].history.has_changes()
    ]

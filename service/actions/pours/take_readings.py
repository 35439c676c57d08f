"""Readings that come by themselves, many at once: kept, known, or left out with the reason."""

from bisect import bisect_left, insort
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import datetime, timedelta

from sqlmodel import Session

from models.errors import InputError, renamed
from models.instants import CLOCKS_DIFFER, not_ahead, not_before_the_pour
from models.message import Message
from models.records import Place, Pour, Reading
from models.records.reading import AIR_KINDS
from models.simulation.scenario import TEMPERATURE_KINDS
from service.actions.pours import doubtful
from service.actions.pours.record_reading import reading_of
from service.actions.shop import jobs
from service.nouns.reading import ReadingCreate
from service.queries import places
from service.queries.pours import active_at
from service.queries.rows import find

QUARTER = timedelta(minutes=15)  # what lies nearer to another of its instrument is spare
THINNED = (*TEMPERATURE_KINDS, "humidity")  # what an instrument shows all the time
NotCounted = tuple[datetime, str, Message]  # when, of what kind, why


@dataclass
class Taken:
    """What became of them."""

    kept: list[Reading] = field(default_factory=list)
    known: int = 0
    left_out: list[NotCounted] = field(default_factory=list)
    set_aside: list[NotCounted] = field(default_factory=list)


def of_place(
    session: Session, now: datetime, place_id: int, told: Sequence[ReadingCreate], instrument: str
) -> Taken:
    """Readings of the air of a place: each of the newest pour that stood there by then."""
    find(session, Place, place_id, "place_id")
    for k, one in enumerate(told):
        if one.kind not in AIR_KINDS:
            allowed = " | ".join(AIR_KINDS) + "; the rest at /pours/{pour_id}/readings"
            with renamed(prefix=_where(k, told)):
                raise InputError("kind", one.kind, "is not read of the air of a place", allowed)
    return taken(session, now, place_id, active_at(session, place_id), told, instrument)


def of_pour(
    session: Session, now: datetime, pour_id: int, told: Sequence[ReadingCreate], instrument: str
) -> Taken:
    """Readings at one piece, while it is under way."""
    pour = find(session, Pour, pour_id, "pour_id")
    return taken(session, now, pour.place_id, [pour], told, instrument)


def one(
    session: Session, now: datetime, pour_id: int, wanted: ReadingCreate, instrument: str
) -> Reading:
    """A single one at one piece, as it is kept or was before; InputError where it is left out."""
    found = of_pour(session, now, pour_id, [wanted], instrument)
    if found.kept:
        return found.kept[0]
    at = wanted.at or now
    pour = find(session, Pour, pour_id, "pour_id")
    not_ahead("at", at, now)
    not_before_the_pour("at", at, pour.placed_at)
    known = places.read_at(session, pour, instrument, wanted.kind, at)
    if known is None:
        closed = f"a time up to {pour.closed_at.isoformat()}" if pour.closed_at else ""
        raise InputError("at", at.isoformat(), "after the pour was closed", closed)
    return known


def taken(
    session: Session,
    now: datetime,
    place_id: int,
    pours: Sequence[Pour],
    told: Sequence[ReadingCreate],
    instrument: str | None,
) -> Taken:
    """Each becomes a reading of the first of the pours that was under way by then.

    instrument : the same instant and kind of it is the same reading; what lies within a quarter of
        an hour of another of its kind is kept as spare, so that a flood does not slow the model;
        what fits another unit much better (it is then always too warm) is kept, marked as wrong.
        None: known is what anybody read by then, and every one of them counts.
    """
    found = Taken()
    rows: list[tuple[Reading, bool]] = []
    times = [one.at or now for one in told]
    before = _Before(session, place_id, times, instrument)
    for k in sorted(range(len(told)), key=times.__getitem__):
        at, one = times[k], told[k]
        with renamed(prefix=_where(k, told)):
            pour = next((pour for pour in pours if _under_way(pour, at)), None)
            if at > now + CLOCKS_DIFFER:
                found.left_out.append((at, one.kind, Message("reading_ahead")))
            elif pour is None:
                found.left_out.append((at, one.kind, Message("reading_of_no_pour")))
            else:
                row = reading_of(now, pour, one, at)
                if before.knows(row):
                    found.known += 1
                    continue
                row.instrument, row.spare = instrument, before.is_near(row)
                rows.append((row, one.confirm))
    found.kept = [row for row, _ in rows]
    if instrument is not None:
        _set_aside(session, now, place_id, [row for row, sure in rows if not sure], found)
    session.add_all(found.kept)
    session.flush()
    _due(session, now, place_id, pours, found.kept)
    return found


class _Before:
    """What was read there before, the rows that are being kept among it."""

    def __init__(
        self, session: Session, place_id: int, times: Sequence[datetime], instrument: str | None
    ) -> None:
        self._thins = instrument is not None
        self._known: set[tuple[str, int, datetime]] = set()
        self._count: defaultdict[tuple[str, int], list[datetime]] = defaultdict(list)
        if times:
            span = min(times) - QUARTER, max(times) + QUARTER
            for kind, at, pour_id, spare in places.read_there(session, place_id, *span, instrument):
                self._keep(kind, at, pour_id, spare)

    def knows(self, row: Reading) -> bool:
        return (*_of(row.kind, row.pour_id), row.at) in self._known

    def is_near(self, row: Reading) -> bool:
        """Whether it is spare beside one that is not; from now on it is there."""
        there = self._count[_of(row.kind, row.pour_id)]
        k = bisect_left(there, row.at)
        near = any(abs(row.at - at) < QUARTER for at in there[max(k - 1, 0) : k + 1])
        spare = self._thins and near and row.kind in THINNED
        self._keep(row.kind, row.at, row.pour_id, spare)
        return spare

    def _keep(self, kind: str, at: datetime, pour_id: int, spare: bool) -> None:
        of = _of(kind, pour_id)
        self._known.add((*of, at))
        if not spare:
            insort(self._count[of], at)


def _of(kind: str, pour_id: int) -> tuple[str, int]:
    """The air is that of the place, whichever pour a reading of it is put to."""
    return kind, 0 if kind in AIR_KINDS else pour_id


def _under_way(pour: Pour, at: datetime) -> bool:
    return pour.placed_at <= at and (pour.closed_at is None or at <= pour.closed_at)


def _where(k: int, told: Sequence[ReadingCreate]) -> str:
    return f"[{k}]." if len(told) > 1 else ""


def _set_aside(
    session: Session, now: datetime, place_id: int, rows: Sequence[Reading], found: Taken
) -> None:
    count = [row for row in rows if not row.spare]
    for row, doubt in zip(count, doubtful.of_rows(session, now, place_id, count), strict=True):
        if doubt is not None:
            row.wrong = True
            found.set_aside.append((row.at, row.kind, doubt.question))


def _due(
    session: Session, now: datetime, place_id: int, pours: Sequence[Pour], kept: Sequence[Reading]
) -> None:
    """What a reading that counts moves is left to the clock."""
    count = [row for row in kept if not row.wrong and not row.spare]
    if any(row.kind in AIR_KINDS for row in count):
        jobs.projections_due_at(session, now, place_id)
    own = {row.pour_id for row in count if row.kind not in AIR_KINDS}
    for pour in pours:
        if pour.id in own:
            jobs.windows_due(session, now, pour)

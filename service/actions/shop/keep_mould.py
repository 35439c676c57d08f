"""What is done to a mould between two pours: released, doubled, found faulty, mended."""

import hashlib
from datetime import datetime

from sqlmodel import Session

from models.errors import Conflict, InputError
from models.instants import not_ahead
from models.records import Mould, MouldFault
from models.records.mould import FAULTS
from models.units import one_of
from service.actions.pours.keep_photo import LARGEST_BYTES
from service.actions.pours.photo_bytes import picture_of
from service.actions.shop import jobs
from service.actions.shop.set_up_shop import save_mould
from service.queries.held import clash, holder
from service.queries.moulds import alike, broken
from service.queries.poured import copy_of, piece_label
from service.queries.rows import find, find_of, free_name


def another_mould(session: Session, now: datetime, mould_id: int, at: datetime) -> Mould:
    """Another mould of the kind, whole, that holds nothing at an hour; where none is, one more."""
    row = find(session, Mould, mould_id, "mould_id")
    kind = alike(session, row)
    unfit = {row.id, *broken(session, [one.id for one in kind])}
    others = [one for one in kind if one.id not in unfit]
    free = next((one for one in others if clash(session, one.id, at, None) is None), None)
    return free or one_more(session, now, mould_id)


def one_more(session: Session, now: datetime, mould_id: int) -> Mould:
    """A further mould of the kind of one that is there."""
    row = find(session, Mould, mould_id, "mould_id")
    name, first = free_name(session, Mould, row.name), row.alike_id or row.id
    return save_mould(session, now, copy_of(row) | {"name": name, "alike_id": first})


def release(session: Session, now: datetime, mould_id: int, at: datetime | None) -> Mould:
    """It is cleaned and release agent is on; None takes that back. Of two hours the later stays:
    a phone without signal may send the older one last.

    Raises Conflict while a pour stands in it.
    """
    row = find(session, Mould, mould_id, "mould_id")
    if at is not None:
        not_ahead("at", at, now)
        inside = holder(session, mould_id)
        if inside is not None and inside.placed_at <= at:
            raise Conflict(row.name, f"{piece_label(inside)} stands in it: strip that first")
    row.released_at = at if at is None or row.released_at is None else max(at, row.released_at)
    session.add(row)
    jobs.plan_moved(session, now)
    return row


def keep_fault(
    session: Session,
    now: datetime,
    mould_id: int,
    kind: str,
    *,
    at: datetime,
    note: str = "",
    photo: bytes = b"",
) -> MouldFault:
    """What is wrong with a mould, with the picture of it where one was taken."""
    mould = find(session, Mould, mould_id, "mould_id")
    not_ahead("at", at, now)
    fault = MouldFault(
        created_at=now, mould_id=mould.id, kind=one_of("kind", kind, FAULTS), at=at, note=note
    )
    if len(photo) > LARGEST_BYTES:
        raise InputError("photo", f"{len(photo)} bytes", "too large", f"at most {LARGEST_BYTES}")
    if photo:
        fault.media_type, image = picture_of(photo)
        fault.size_bytes, fault.content = len(image), image
        fault.sha256 = hashlib.sha256(image).hexdigest()
    session.add(fault)
    session.flush()
    jobs.plan_moved(session, now)
    return fault


def fault_of(session: Session, mould_id: int, fault_id: int) -> MouldFault:
    """A fault of this mould; one that was removed may be put back."""
    return find_of(session, MouldFault, fault_id, "fault", "mould", mould_id)


def mend(
    session: Session, now: datetime, mould_id: int, fault_id: int, *, done: bool
) -> MouldFault:
    """It is mended, or that was a mistake."""
    row = fault_of(session, mould_id, fault_id)
    row.mended_at = now if done else None
    session.add(row)
    jobs.plan_moved(session, now)
    return row


def remove_fault(
    session: Session, now: datetime, mould_id: int, fault_id: int, *, gone: bool
) -> MouldFault:
    """It was none, or is put back; the row stays."""
    row = fault_of(session, mould_id, fault_id)
    row.removed_at = now if gone else None
    session.add(row)
    jobs.plan_moved(session, now)
    return row

"""A photo of a pour or of one of its steps: kept, listed, given back, removed."""

import hashlib
from datetime import datetime

from sqlmodel import Session

from models.errors import InputError
from models.instants import not_ahead
from models.records import Photo, Pour
from models.simulation.scenario import Done
from service.actions.pours.photo_bytes import picture_of
from service.queries.pours import photos_of
from service.queries.rows import find, find_of

LARGEST_BYTES = 8_000_000
MOST_OF_A_POUR = 12


def keep_photo(
    session: Session,
    now: datetime,
    pour_id: int,
    content: bytes,
    *,
    at: datetime,
    step: str | None = None,
    note: str = "",
) -> Photo:
    """The picture, judged by its content and stored without what the camera wrote about the place.

    Raises InputError for what is no picture, is too large, or is one more than a pour keeps.
    """
    pour = find(session, Pour, pour_id, "pour_id")
    not_ahead("at", at, now)
    if step is not None:
        Done(step, at)
    if len(content) > LARGEST_BYTES:
        raise InputError(
            "photo", f"{len(content)} bytes", "too large", f"at most {LARGEST_BYTES} bytes"
        )
    media_type, image = picture_of(content)
    count = len(photos_of(session, pour_id))
    if count >= MOST_OF_A_POUR:
        raise InputError(
            "photo", f"photo {count + 1}", f"the pour has {count} already", "it after removing one"
        )
    photo = Photo(
        created_at=now,
        pour_id=pour.id,
        at=at,
        step=step,
        note=note,
        media_type=media_type,
        size_bytes=len(image),
        sha256=hashlib.sha256(image).hexdigest(),
        content=image,
    )
    session.add(photo)
    session.flush()
    return photo


def photo_of(session: Session, pour_id: int, photo_id: int) -> Photo:
    """One photo with its content; NoSuchRow when it is not this pour's."""
    return find_of(session, Photo, photo_id, "photo", "pour", pour_id)


def remove_photo(session: Session, pour_id: int, photo_id: int) -> None:
    session.delete(photo_of(session, pour_id, photo_id))
    session.flush()

"""Pours that were poured one like the other: a series."""

from collections.abc import Sequence
from dataclasses import dataclass

from sqlmodel import Session, col, or_, select

from models.records import Pour

NOT_MADE = ("lost", "logged by mistake")


@dataclass(frozen=True)
class Series:
    """Where a pour stands in its series.

    number : its own, counted over those that were made; None of one that was lost
    of : how many are to be made; None: nobody told
    before : the one poured last before it, None of the first
    """

    pours: Sequence[Pour]
    number: int | None
    of: int | None
    before: Pour | None


def series_of(session: Session, pour: Pour) -> Series:
    """The pours of its series, the first first; what nothing was poured like is alone in it."""
    first = pour.series_id or pour.id
    wanted = select(Pour).where(or_(col(Pour.id) == first, col(Pour.series_id) == first))
    pours = session.exec(wanted.order_by(col(Pour.placed_at), col(Pour.id))).all()
    made = [one for one in pours if one.closed_why not in NOT_MADE]
    number = next((k for k, one in enumerate(made, 1) if one.id == pour.id), None)
    earlier = [one for one in pours if (one.placed_at, one.id) < (pour.placed_at, pour.id)]
    told = [one.series_of for one in sorted(pours, key=lambda one: one.id) if one.series_of]
    return Series(pours, number, told[-1] if told else None, earlier[-1] if earlier else None)

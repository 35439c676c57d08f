"""How many covers a shop has of each kind, and which of them lie on pieces that are poured."""

from collections.abc import Iterable
from datetime import datetime

import numpy as np
from sqlmodel import Session

from models.errors import InputError
from models.planning.orders import COUNTED, COUNTED_AS, MOST_COVERS
from models.planning.working_day import WorkingDays
from models.records import Projection, ProtectionPeriod, Shop
from models.simulation.blown import Lying
from models.units import number_within
from service.answers import readable
from service.queries.pours import covers_out
from service.queries.projections import newest_of


def counted(shop: Shop) -> dict[str, int]:
    """Of each kind that was counted; what is not counted there is enough of."""
    found: dict[str, int] = {}
    for one in shop.covers:
        if one.get("count") is not None:
            found[one["kind"]] = found.get(one["kind"], 0) + one["count"]
    return found


def refuse_wrong_count(shop: Shop) -> None:
    """Raises InputError where none is counted, or a kind that is made of others."""
    for k, one in enumerate(shop.covers):
        if one.get("count") is None:
            continue
        number_within(f"covers[{k}].count", one["count"], 1, MOST_COVERS)
        if one["kind"] not in COUNTED:
            of, _ = COUNTED_AS[one["kind"]]
            wrong, allowed = f"{one['kind']} are counted as {of}", f"the count beside {of}"
            raise InputError(f"covers[{k}].count", one["count"], wrong, allowed)


def lying(session: Session, days: WorkingDays) -> tuple[Lying, ...]:
    """Covers on open pours, until when their plans take them off; infinite where none tells."""
    there = covers_out(session, days.now)
    newest = newest_of(session, {one.pour_id for one in there})
    return tuple(
        (one.kind, max(days.hour(one.from_at), 0.0), _off_h(days, one, newest.get(one.pour_id)))
        for one in there
    )


def _off_h(days: WorkingDays, period: ProtectionPeriod, told: Projection | None) -> float:
    if period.to_at is not None:
        return days.hour(period.to_at)
    answer = readable(told.answer if told else None)
    acts: Iterable[datetime] = (
        one.at
        for one in (answer.plan if answer else ())
        if one.step == "uncover"
        and one.cover in (None, period.kind)
        and one.at > max(days.now, period.from_at)
    )
    return min((days.hour(at) for at in acts), default=np.inf)

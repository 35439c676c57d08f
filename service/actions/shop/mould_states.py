"""What a mould is just now, and from when it takes the next pour."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from sqlmodel import Session

from models.facts.moulds import TURNAROUND_H
from models.records import Mould, MouldFault, Pour, Projection
from models.records.mould import BROKEN
from service.actions.windows.standing import opens, standing
from service.answers import read_answer
from service.nouns.mould import MouldFaultRead, MouldStanding
from service.queries import held
from service.queries.moulds import faults, is_broken
from service.queries.projections import newest_of

FREE = ("empty", "set up")


@dataclass(frozen=True)
class MouldState:
    """One of `models.records.mould.STATES`, and what it rests on.

    pour : the one that stands in it; strip_at : from when that may be stripped, None: not known
    free_at : from when the mould takes the next, None: nobody can tell, so it is not free
    also : other pours of which nobody told that they left it
    """

    mould: Mould
    state: str
    pour: Pour | None
    strip_at: datetime | None
    free_at: datetime | None
    uses: int
    also: tuple[Pour, ...]
    fault: MouldFault | None

    def told(self) -> MouldStanding:
        """As the interface tells it."""
        return MouldStanding(
            state=self.state,
            pour_id=self.pour.id if self.pour else None,
            strip_at=self.strip_at,
            free_at=self.free_at,
            also_pour_ids=[pour.id for pour in self.also],
            uses=self.uses,
            released_at=self.mould.released_at,
            last_fault=MouldFaultRead.model_validate(self.fault) if self.fault else None,
        )

    def free_by(self, at: datetime) -> bool:
        return self.state in FREE or (self.free_at is not None and self.free_at <= at)


def states(session: Session, now: datetime, moulds: Sequence[Mould]) -> list[MouldState]:
    """Of each of these moulds, in their order; in four statements, however many pours there are."""
    keys = [row.id for row in moulds]
    there, wrong = held.stays(session, keys), faults(session, keys)
    inside = {
        key: [one.pour for one in found if one.out_at is None] for key, found in there.items()
    }
    told = newest_of(session, [pour.id for pours in inside.values() for pour in pours])
    return [_state(row, now, there[row.id], inside[row.id], wrong[row.id], told) for row in moulds]


def state_of(session: Session, now: datetime, mould: Mould) -> MouldState:
    return states(session, now, [mould])[0]


def free_after(turnaround_h: float | None) -> timedelta:
    """How long after its strip a mould takes the next pour; None: as is common."""
    return timedelta(hours=TURNAROUND_H if turnaround_h is None else turnaround_h)


def _state(
    mould: Mould,
    now: datetime,
    stays: Sequence[held.Stay],
    inside: Sequence[Pour],
    wrong: Sequence[MouldFault],
    told: dict[int, Projection],
) -> MouldState:
    def known(state: str, free_at: datetime | None, strip_at: datetime | None = None) -> MouldState:
        pour = inside[-1] if inside else None
        also, fault = tuple(inside[:-1]), wrong[0] if wrong else None
        return MouldState(mould, state, pour, strip_at, free_at, len(stays), also, fault)

    turnaround = free_after(mould.turnaround_h)
    unfit = is_broken(wrong)
    if inside:
        strip_at = _strip_at(told.get(inside[-1].id), now)
        free = None if strip_at is None or unfit or inside[:-1] else max(strip_at, now) + turnaround
        return known("holding", free if mould.archived_at is None else None, strip_at)
    if mould.archived_at is not None:
        return known("put away", None)
    if unfit:
        return known(BROKEN, None)
    out_at = max((one.out_at for one in stays if one.out_at), default=mould.created_at)
    if mould.released_at is not None and mould.released_at >= out_at:
        return known("set up", mould.released_at)
    cleaned = out_at + turnaround if stays else out_at
    return known("cleaning" if cleaned > now else "empty", cleaned)


def _strip_at(row: Projection | None, now: datetime) -> datetime | None:
    """The hour from which the pour may be stripped, as it may be told now."""
    if row is None:
        return None
    steps = read_answer(row.answer).steps
    strip = next((one for one in steps if one.step == held.EMPTIES), None)
    if strip is None:
        return None
    window = standing(strip, now, row.checked_at)
    return None if window.state in ("blocked", "frozen") else opens(window)

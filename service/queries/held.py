"""Which pour stood in which mould, from when to when."""

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from datetime import datetime

from sqlmodel import Session, col, select

from models.records import Mould, Pour, StepDone
from models.steps import registry
from service.queries.moulds import broken

EMPTIES = "strip"
NEVER_WAS = "logged by mistake"


@dataclass(frozen=True)
class Stay:
    """One pour in its mould; out_at : None while it stands in it still."""

    pour: Pour
    out_at: datetime | None


@dataclass(frozen=True)
class Clash:
    """Two pours in one mould at once. `other` is the one that was stored before.

    first : whether the other was poured first; out_at : when the first of the two left the mould,
        None where nobody has told yet
    """

    other: Pour
    first: bool
    out_at: datetime | None


def stays(session: Session, mould_ids: Collection[int]) -> dict[int, list[Stay]]:
    """By the key of a mould all that were poured into it, the first first; in two statements.

    A pour is out with its strip, with what only comes after that, or when it is closed.
    """
    if not mould_ids:
        return {}
    wanted = select(Pour).where(col(Pour.mould_id).in_(mould_ids), Pour.closed_why != NEVER_WAS)
    pours = session.exec(wanted.order_by(col(Pour.placed_at), col(Pour.id))).all()
    done = select(StepDone.pour_id, StepDone.step, StepDone.at).join(
        Pour, col(Pour.id) == StepDone.pour_id
    )
    done = done.where(col(Pour.mould_id).in_(mould_ids), col(StepDone.undone_at).is_(None))
    steps: dict[int, dict[str, datetime]] = {}
    for pour_id, step, at in session.exec(done):
        steps.setdefault(pour_id, {})[step] = at
    found: dict[int, list[Stay]] = {key: [] for key in mould_ids}
    for pour in pours:
        found[pour.mould_id or 0].append(Stay(pour, _out(pour, steps.get(pour.id, {}))))
    return found


def _out(pour: Pour, done: dict[str, datetime]) -> datetime | None:
    proofs = [done[one] for one in (EMPTIES, *registry.later(EMPTIES, done)) if one in done]
    return min(proofs, default=pour.closed_at)


def standing_in(found: list[Stay]) -> Pour | None:
    """The one of these that stands in its mould still, the newest where several do."""
    return next((one.pour for one in reversed(found) if one.out_at is None), None)


def holder(session: Session, mould_id: int) -> Pour | None:
    """The newest pour that still stands in a mould."""
    return standing_in(stays(session, [mould_id])[mould_id])


def free_mould(
    session: Session, piece_id: int, at: datetime | None = None, but: Collection[int] = ()
) -> int | None:
    """The mould that was built for a piece, else that it was cast in last, where it is whole and
    empty; at : the hour at which it has to be empty, None: now; but : moulds that are taken."""
    built = select(Mould.id).where(Mould.piece_id == piece_id, col(Mould.archived_at).is_(None))
    last = select(Pour.mould_id).where(Pour.piece_id == piece_id, col(Pour.mould_id).is_not(None))
    keys = [
        *session.exec(built.order_by(Mould.name)),
        *session.exec(last.order_by(col(Pour.id).desc()).limit(1)),
    ]
    whole = set(keys) - {None, *but}
    whole -= broken(session, [key for key in whole if key])
    found = stays(session, [key for key in whole if key])

    def empty(key: int) -> bool:
        if at is not None:
            return clash(session, key, at, None) is None
        return standing_in(found[key]) is None

    return next((key for key in keys if key in whole and key and empty(key)), None)


def clash(session: Session, mould_id: int, placed_at: datetime, own: int | None) -> Clash | None:
    """The pour that is in a mould at an hour at which another is placed there, or that was placed
    there before that other left it; own : the key of that other, once it is stored."""
    there = stays(session, [mould_id])[mould_id]
    left = next((one.out_at for one in there if one.pour.id == own), None)
    for one in there:
        if one.pour.id == own:
            continue
        if one.pour.placed_at <= placed_at:
            if one.out_at is None or one.out_at > placed_at:
                return Clash(one.pour, True, one.out_at)
        elif left is None or left > one.pour.placed_at:
            return Clash(one.pour, False, left)
    return None


def strips_told_with(session: Session, pour: Pour) -> Sequence[StepDone]:
    """The strips of its mould that the answer of a pour told: stored in its very transaction."""
    wanted = select(StepDone).join(Pour, col(Pour.id) == StepDone.pour_id)
    wanted = wanted.where(
        StepDone.step == EMPTIES,
        StepDone.created_at == pour.created_at,
        Pour.mould_id == pour.mould_id,
        Pour.id != pour.id,
    )
    return session.exec(wanted).all()


def strips_moved_with(session: Session, pour: Pour, first_id: int) -> Sequence[StepDone]:
    """The strips of the one before it that the answer of a pour took back for an earlier hour."""
    wanted = select(StepDone).where(
        StepDone.pour_id == first_id,
        StepDone.step == EMPTIES,
        StepDone.undone_at == pour.created_at,
        StepDone.created_at < pour.created_at,
    )
    return session.exec(wanted).all()

"""A mould holds one pour at a time: a second one is stored only with the answer that makes room."""

from dataclasses import dataclass
from datetime import datetime

from sqlmodel import Session

from models.errors import Conflict, InputError
from models.records import Mould, Pour
from models.records.mould import ROOM
from models.steps import registry
from models.units import one_of
from service.actions.pours.mark_step_done import mark_step_done, undo_step
from service.actions.shop.keep_mould import another_mould
from service.nouns.pour import MouldHeld
from service.queries import poured
from service.queries.held import (
    EMPTIES,
    NEVER_WAS,
    Clash,
    clash,
    stays,
    strips_moved_with,
    strips_told_with,
)
from service.queries.poured import piece_label, piece_name
from service.queries.pours import steps_done
from service.queries.rows import find

RESOLVES = (
    "mould_held with pour_id of that pour, and what: stripped (stripped_at says when the first of"
    " the two left the mould, and moves a strip that is told already) or what: another (a free"
    " mould of the kind, or one that is made); or another mould_id, or none"
)


@dataclass(frozen=True)
class InTheWay:
    """The pour that was stored before; first : whether it was poured before the other;
    out_at : when the first of the two left the mould, as it is told so far."""

    pour_id: int
    label: str
    placed_at: datetime
    first: bool
    out_at: datetime | None


class TwoInOne(Conflict):
    """A mould would hold two pours at once. What it says outlives the transaction it undoes."""

    def __init__(self, mould: Mould, pour: Pour, found: Clash) -> None:
        other = found.other
        self.mould_id, self.mould = mould.id, mould.name
        self.other = InTheWay(
            other.id, piece_label(other), other.placed_at, found.first, found.out_at
        )
        first, second = (found.other, pour) if found.first else (pour, found.other)
        left = f"which left it {found.out_at.isoformat()}" if found.out_at else "not stripped yet"
        one, two = (
            piece_label(row) if row is other else f"{piece_name(row)} (this one)"
            for row in (first, second)
        )
        why = (
            f"holds {one}, poured {first.placed_at.isoformat()}, {left},"
            f" when {two} is poured {second.placed_at.isoformat()}"
        )
        super().__init__(mould.name, why)


def find_room(session: Session, now: datetime, pour: Pour, answer: MouldHeld | None) -> None:
    """Before a pour is stored: another mould of the kind, where that is the answer.

    What another phone has stored meanwhile is no longer what the answer was about: it is asked
    again.
    """
    found = _clash(session, pour)
    if found is None or answer is None:
        return
    what = one_of("mould_held.what", answer.what, ROOM)
    if what == "another" and answer.pour_id == found.other.id:
        pour.mould_id = another_mould(session, now, pour.mould_id or 0, pour.placed_at).id
        poured.let_go(pour, ["mould"])


def make_room(session: Session, now: datetime, pour: Pour, answer: MouldHeld | None) -> None:
    """After it is stored: the first of two has left the mould, or TwoInOne."""
    found = _clash(session, pour)
    if found is None:
        return
    told = answer is not None and answer.what == "stripped" and answer.pour_id == found.other.id
    if answer is not None and told and (found.out_at is None or answer.stripped_at):
        first, second = (found.other, pour) if found.first else (pour, found.other)
        at = answer.stripped_at or min(second.placed_at, now)
        if at > second.placed_at:
            allowed = f"{second.placed_at.isoformat()}, when the second was poured, or earlier"
            raise InputError(
                "mould_held.stripped_at", at.isoformat(), "after the second was poured", allowed
            )
        if any(row.step == EMPTIES for row in steps_done(session, first.id)):
            undo_step(session, now, first.id, EMPTIES)  # it was told for too late an hour
        mark_step_done(session, now, first.id, EMPTIES, at)
        found = _clash(session, pour)
    if found is not None:
        raise TwoInOne(find(session, Mould, pour.mould_id or 0, "mould_id"), pour, found)


def never_was(session: Session, now: datetime, pour: Pour) -> None:
    """A pour was logged by mistake: so was the strip that its answer told of the one before it.

    What has gone on since stays: a later step of that one, a third pour in the mould.
    """
    for strip in strips_told_with(session, pour):
        if strip.undone_at is not None:
            continue
        first = find(session, Pour, strip.pour_id, "pour_id")
        later = registry.later(EMPTIES, {row.step for row in steps_done(session, first.id)})
        others = stays(session, [first.mould_id])[first.mould_id] if first.mould_id else []
        after = [one for one in others if one.pour.placed_at > first.placed_at]
        if not later and all(one.pour.id == pour.id for one in after):
            undo_step(session, now, first.id, EMPTIES)
            for was in strips_moved_with(session, pour, first.id):
                mark_step_done(session, now, first.id, EMPTIES, was.at)


def was_after_all(session: Session, now: datetime, pour: Pour, closed_at: datetime) -> None:
    """The pour was none by mistake: its answer counts again, where nobody told another since."""
    for strip in strips_told_with(session, pour):
        standing = {row.step for row in steps_done(session, strip.pour_id)}
        if strip.undone_at == closed_at and EMPTIES not in standing:
            mark_step_done(session, now, strip.pour_id, EMPTIES, strip.at)


def _clash(session: Session, pour: Pour) -> Clash | None:
    if pour.mould_id is None or pour.closed_why == NEVER_WAS:
        return None
    with session.no_autoflush:
        return clash(session, pour.mould_id, pour.placed_at, pour.id)

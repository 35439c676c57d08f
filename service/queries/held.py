"""Moulds that are not free yet."""

from sqlmodel import Session

from models.records import Pour
from models.steps import registry
from service.queries.pours import made_of, steps_done

EMPTIES = "strip"


def holder(session: Session, mould_id: int) -> Pour | None:
    """The newest pour under way that still stands in a mould: neither its strip nor what only
    comes after that is marked done."""
    for pour in sorted(made_of(session, "mould", mould_id), key=lambda one: -one.id):
        done = {row.step for row in steps_done(session, pour.id)}
        if EMPTIES not in done and not registry.overtaken(EMPTIES, done):
            return pour
    return None

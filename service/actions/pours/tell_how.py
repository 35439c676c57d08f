"""How it came out of the mould, how its seal looks, how it had held up a month later: one tap."""

from collections.abc import Iterable
from datetime import datetime, timedelta

from sqlmodel import Session

from models.errors import InputError
from models.records import Pour, StepDone
from models.records.pour import HELD_UP, SEALED_AS
from models.records.step import CAME_OUT
from models.steps import registry
from models.units import one_of
from service.queries.pours import steps_done
from service.queries.rows import find

MONTH = timedelta(days=30)
WEEK = timedelta(days=7)  # after its last coat a film has shown what it does
LOST = ("lost", "logged by mistake")  # of such a pour nothing is asked


def tell_came_out(session: Session, pour_id: int, how: str | None) -> StepDone:
    """Of the strip that stands as done; None takes it back."""
    pour = find(session, Pour, pour_id, "pour_id")
    row = _stripped(session, pour.id)
    if row is None:
        raise InputError("how", how, "it is in its mould", "strip it first")
    row.came_out = None if how is None else one_of("how", how, CAME_OUT)
    session.add(row)
    return row


def tell_held_up(session: Session, now: datetime, pour_id: int, how: str | None) -> Pour:
    """A month after the pour, or later; None takes it back."""
    pour = find(session, Pour, pour_id, "pour_id")
    if now - pour.placed_at < MONTH:
        allowed = f"a time from {(pour.placed_at + MONTH).isoformat()} on"
        raise InputError("how", how, "it is not a month old", allowed)
    pour.held_up = None if how is None else one_of("how", how, HELD_UP)
    session.add(pour)
    return pour


def tell_sealed_as(session: Session, pour_id: int, how: str | None) -> Pour:
    """Of a piece with a coat; None takes it back."""
    pour = find(session, Pour, pour_id, "pour_id")
    if _last_coat_at(steps_done(session, pour_id)) is None:
        raise InputError("how", how, "it has no coat", "mark a coat as done first")
    pour.sealed_as = None if how is None else one_of("how", how, SEALED_AS)
    session.add(pour)
    return pour


def _last_coat_at(steps: Iterable[StepDone]) -> datetime | None:
    coats = (one.at for one in steps if registry.coat_number(one.step) is not None)
    return max(coats, default=None)


def asked(pour: Pour, steps: Iterable[StepDone], now: datetime) -> str:
    """What is still to be told: `strip`, `seal`, `month` or nothing."""
    steps = tuple(steps)
    if pour.closed_why in LOST:
        return ""
    strip = next((one for one in steps if one.step == "strip"), None)
    if strip is not None and strip.came_out is None:
        return "strip"
    coated_at = _last_coat_at(steps)
    if pour.sealed_as is None and coated_at is not None and now - coated_at >= WEEK:
        return "seal"
    return "month" if pour.held_up is None and now - pour.placed_at >= MONTH else ""


def _stripped(session: Session, pour_id: int) -> StepDone | None:
    return next((one for one in steps_done(session, pour_id) if one.step == "strip"), None)

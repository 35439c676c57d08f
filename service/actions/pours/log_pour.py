"""Log a pour, correct it, close it."""

from collections.abc import Mapping
from datetime import datetime
from typing import Any

from sqlmodel import Session, col, delete

from models.errors import Conflict, InputError
from models.records import Job, Mix, Place, Pour, Reading
from models.records.pour import PourBase
from service.actions.notices.reminders import LASTING, cancel_all
from service.actions.pours.change_protection import put_on
from service.actions.pours.mould_room import find_room, make_room, never_was, was_after_all
from service.actions.record import owner_links
from service.actions.shop import jobs
from service.actions.shop.stickers import give_code
from service.actions.windows import scenario_rows
from service.actions.windows.prune import prune
from service.nouns.pour import MouldHeld, PourCreate
from service.queries import poured
from service.queries.held import NEVER_WAS
from service.queries.pours import steps_done
from service.queries.rows import find, of_pour

FINISHED = "finished"
CLOSE_REASONS = (FINISHED, "lost", NEVER_WAS)


def log_pour(session: Session, now: datetime, wanted: PourCreate) -> Pour:
    """The pour, checked and stored; its projection is due at once.

    Raises InputError for what cannot be, NoSuchRow for a mix, piece, place, mould or sealer
    that is not there, TwoInOne for a mould that holds another pour.
    """
    placed_at = wanted.placed_at or now
    scenario_rows.placing_allowed(placed_at, now)
    values = wanted.model_dump(include=set(PourBase.model_fields))
    pour = Pour(created_at=now, placed_at=placed_at, **values)
    with_what_is_known(session, pour)
    find_room(session, now, pour, wanted.mould_held)
    scenario_rows.planned(session, pour)
    poured.keep(session, pour)
    session.add(pour)
    session.flush()
    make_room(session, now, pour, wanted.mould_held)
    give_code(session, now, pour)
    owner_links.give(session, now, pour.id)
    for cover in wanted.protections:
        put_on(session, now, pour.id, cover, placed_at)
    jobs.windows_due(session, now, pour)
    jobs.plan_moved(session, now)
    return pour


def correct_pour(
    session: Session,
    now: datetime,
    pour_id: int,
    values: Mapping[str, Any],
    held: MouldHeld | None = None,
) -> Pour:
    """Change what is named in `values`: the details that come in the evening.

    Another piece has no burner fitted unless that is told with it; what was looked at before the
    pour was another piece or mould.

    held : what is answered where its mould holds another pour
    """
    pour = find(session, Pour, pour_id, "pour_id")
    before = {noun: getattr(pour, f"{noun}_id") for noun in poured.TABLES}
    placed_at = pour.placed_at
    with session.no_autoflush:
        for name, value in values.items():
            setattr(pour, name, value)
        scenario_rows.placing_allowed(pour.placed_at, now)
        moved = (pour.mould_id, pour.placed_at) != (before["mould"], placed_at)
        if moved:
            find_room(session, now, pour, held)
        other = [noun for noun, key in before.items() if getattr(pour, f"{noun}_id") != key]
        poured.let_go(pour, other)
        if "piece" in other:
            pour.burner_fitted = bool(values.get("burner_fitted"))
        if "piece" in other or "mould" in other:
            pour.ticked = {}
        if "place" in other or "mix" in other:
            with_what_is_known(session, pour)
        scenario_rows.planned(session, pour)
        poured.keep(session, pour)
        session.add(pour)
    session.flush()
    if moved:
        make_room(session, now, pour, held)
    _still_first(session, pour)
    scenario_rows.gather(session, now, pour_id)  # what was logged since must still make sense
    jobs.windows_due(session, now, pour)
    jobs.plan_moved(session, now)
    return pour


def with_what_is_known(session: Session, pour: Pour) -> None:
    """The pour takes along what its place and mix have taught so far."""
    place = find(session, Place, pour.place_id, "place_id")
    mix = find(session, Mix, pour.mix_id, "mix_id")
    pour.learned = scenario_rows.calibration_of(place, mix) or None


def _still_first(session: Session, pour: Pour) -> None:
    """A step or reading of this pour cannot come to lie before it."""
    for what, rows in (
        ("a step was done", steps_done(session, pour.id)),
        ("something was read", of_pour(session, Reading, pour.id)),
    ):
        at = min((row.at for row in rows), default=pour.placed_at)
        if at < pour.placed_at:
            raise InputError(
                "placed_at",
                pour.placed_at.isoformat(),
                f"{what} before that",
                f"{at.isoformat()} or earlier",
            )


def close_pour(session: Session, now: datetime, pour_id: int, why: str) -> Pour:
    """Nothing more is owed for this pour: finished, lost, or logged by mistake."""
    pour = find(session, Pour, pour_id, "pour_id")
    if pour.closed_at is not None:
        raise Conflict(f"pour {pour_id}", f"closed already at {pour.closed_at.isoformat()}")
    pour.closed_at, pour.closed_why = now, why
    session.add(pour)
    if why == NEVER_WAS:
        session.flush()
        never_was(session, now, pour)
    session.execute(delete(Job).where(col(Job.key) == jobs.projection_key(pour_id)))
    cancel_all(session, now, pour_id, LASTING if why == FINISHED else ())
    prune(session, pour_id)
    jobs.plan_moved(session, now)
    return pour


def reopen_pour(session: Session, now: datetime, pour_id: int) -> Pour:
    """Undo a closing."""
    pour = find(session, Pour, pour_id, "pour_id")
    if pour.closed_at is None:
        raise Conflict(f"pour {pour_id}", "not closed")
    closed_at, pour.closed_at, pour.closed_why = pour.closed_at, None, ""
    session.add(pour)
    session.flush()
    was_after_all(session, now, pour, closed_at)
    make_room(session, now, pour, None)
    jobs.windows_due(session, now, pour)
    jobs.plan_moved(session, now)
    return pour

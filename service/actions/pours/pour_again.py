"""A pour as a template: the same again, with its mould, mix, place, cover and what was meant."""

from datetime import datetime, timedelta
from typing import Any

from sqlmodel import Session

from models.errors import InputError
from models.records import Pour, ProtectionPeriod
from service.actions.pours.log_pour import log_pour
from service.actions.pours.set_plan import set_plan
from service.nouns.cover import ProtectionCreate
from service.nouns.plan import PlanEntryWanted, PlanWanted
from service.nouns.pour import PourCreate
from service.queries.rows import find, of_pour

# what was measured or weighed that day is no part of the template
TAKEN = (
    "mix_id",
    "piece_id",
    "place_id",
    "mould_id",
    "sealer_id",
    "sealer_then",
    "measures",
    "placing_h",
    "series_of",
)
AT_ONCE = timedelta(hours=1)  # a cover laid by then was laid as it was poured


def template_of(session: Session, pour_id: int) -> dict[str, Any]:
    """What the next pour takes from this one."""
    pour = find(session, Pour, pour_id, "pour_id")
    laid = [row for row in _laid(session, pour) if row.from_at <= pour.placed_at + AT_ONCE]
    covers = [ProtectionCreate(**row.model_dump(include=_of_cover())) for row in laid]
    return {**{name: getattr(pour, name) for name in TAKEN}, "protections": covers}


def log_again(session: Session, now: datetime, pour_id: int, wanted: PourCreate) -> Pour:
    """A pour like another one: of its series, with what was meant of that one at the same hours
    from placing. What can no longer be meant is left to the program."""
    like = find(session, Pour, pour_id, "pour_id")
    pour = log_pour(session, now, wanted)
    pour.series_id = like.series_id or like.id
    session.add(pour)
    session.flush()
    acts = meant_of(session, like, pour.placed_at)
    if acts:
        try:
            with session.begin_nested():
                set_plan(session, now, pour.id, PlanWanted(plan=acts))
        except InputError:
            session.refresh(pour)
    return pour


def meant_of(session: Session, like: Pour, placed_at: datetime) -> list[PlanEntryWanted]:
    """What was meant of a pour, and the covers that were laid on it later, moved to another
    placing."""
    moved = placed_at - like.placed_at
    acts = [
        PlanEntryWanted.model_validate(
            {**row, "at": datetime.fromisoformat(str(row["at"])) + moved}
        )
        for row in like.plan
    ]
    if any(one.cover for one in acts):
        return acts
    later = [row for row in _laid(session, like) if row.from_at > like.placed_at + AT_ONCE]
    return acts + [
        PlanEntryWanted(
            step="cover",
            at=row.from_at + moved,
            cover=row.kind,
            heat=row.setpoint_C,
            faces=row.faces,
        )
        for row in later
    ]


def _laid(session: Session, pour: Pour) -> list[ProtectionPeriod]:
    return list(of_pour(session, ProtectionPeriod, pour.id, "from_at"))


def _of_cover() -> set[str]:
    return set(ProtectionCreate.model_fields) - {"from_at", "to_at"}

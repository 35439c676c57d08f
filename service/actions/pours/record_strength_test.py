"""A cube, cylinder or bar was broken."""

from datetime import datetime

from sqlmodel import Session

from models.instants import not_ahead, not_before_the_pour
from models.records import Mix, Pour, StrengthTest
from models.records.strength_test import StrengthTestBase
from service.actions.shop import calibrate, jobs
from service.actions.windows import scenario_rows
from service.nouns.strength_test import StrengthTestCreate
from service.queries.rows import find


def record_strength_test(
    session: Session, now: datetime, pour_id: int, wanted: StrengthTestCreate
) -> StrengthTest:
    """The test, checked and stored; a negative age is refused."""
    pour, at = find(session, Pour, pour_id, "pour_id"), wanted.at or now
    not_ahead("at", at, now)
    not_before_the_pour("at", at, pour.placed_at)
    values = wanted.model_dump(include=set(StrengthTestBase.model_fields))
    test = StrengthTest(created_at=now, pour_id=pour_id, at=at, **values)
    scenario_rows.tested(test)
    session.add(test)
    session.flush()
    scenario_rows.gather(session, now, pour_id)
    jobs.windows_due(session, now, pour)
    return test


def remove_strength_test(session: Session, now: datetime, test_id: int) -> None:
    """It was logged by mistake."""
    test = find(session, StrengthTest, test_id, "strength_test_id")
    pour = find(session, Pour, test.pour_id, "pour_id")
    session.delete(test)
    calibrate.calibrate_again(find(session, Mix, pour.mix_id, "mix_id"))
    jobs.windows_due(session, now, pour)

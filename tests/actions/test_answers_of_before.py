"""What was stored by an older program is read, or made anew; a warning of it is never lost."""

from datetime import datetime

from service.actions.windows.project_pour import project_pour
from service.answers import EarliestResponse, read_answer, readable
from service.pages import view
from service.queries.projections import latest
from service.store import Store


def test_an_answer_that_cannot_be_read_is_made_anew(
    store: Store, pour_id: int, now: datetime
) -> None:
    project_pour(store, now, pour_id)
    with store.unit_of_work() as session:
        row = latest(session, pour_id)
        assert row is not None
        row.answer = {"steps": "of another program"}
        session.add(row)
    assert readable(row.answer) is None
    made = project_pour(store, now, pour_id)
    assert made is not None
    assert read_answer(made.answer).steps


def test_a_warning_without_a_code_is_shown(store: Store, pour_id: int, now: datetime) -> None:
    row = project_pour(store, now, pour_id)
    assert row is not None
    old = {**row.answer, "warnings": ["frost: told by an older program"], "warning_codes": []}
    assert view.urgent_warnings(read_answer(old)) == [(0, "frost: told by an older program")]


def test_an_hour_of_before_safe_is_the_safe_one(now: datetime) -> None:
    old = {"p50": None, "p90": now.isoformat()}
    assert EarliestResponse.model_validate(old) == EarliestResponse(p50=None, p90=now, safe=now)

"""Keep what a maker means to do with a piece."""

from datetime import datetime

from sqlmodel import Session

from models.errors import InputError
from models.records import Pour
from models.simulation import plan as plans
from models.simulation import stays
from models.units import one_of
from service.actions.shop import jobs
from service.actions.windows import scenario_rows
from service.nouns.plan import PlanWanted
from service.queries.rows import find


def set_plan(session: Session, now: datetime, pour_id: int, wanted: PlanWanted) -> Pour:
    """The pour with its plan; its windows are due at once.

    Raises InputError for a step, cover, heat or hour that cannot be, NoSuchRow without the pour.
    """
    pour = find(session, Pour, pour_id, "pour_id")
    for k, one in enumerate(wanted.plan):
        one_of(f"plan[{k}].set_by", one.set_by, plans.SET_BY)
    rows = [one.model_dump(mode="json", exclude={"set_by"}) for one in wanted.plan]
    for k, row in enumerate(rows):
        try:
            scenario_rows.meant_of(row)
        except InputError as error:
            field = f"plan[{k}].{error.field}"
            raise InputError(field, error.value, error.wrong, error.allowed) from None
    pour.plan = rows
    session.add(pour)
    session.flush()
    scenario = scenario_rows.gather(session, now, pour_id).scenario
    scenario.checked_plan()
    stays.of_plan(scenario, plans.told(scenario))
    jobs.windows_due(session, now, pour)
    return pour

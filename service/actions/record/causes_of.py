"""What the log of a pour speaks for, of each fault of its piece."""

from collections.abc import Sequence
from datetime import datetime

from sqlmodel import Session

from models.errors import InputError, Unknown
from models.message import text
from models.planning.causes import Causes, ranked
from models.planning.traces import traces
from models.records import PourFault
from service.actions.pours.keep_fault import fault_of
from service.actions.windows import scenario_rows
from service.queries.pours import PourRows, load_pour
from service.store import Store


def causes_of(store: Store, now: datetime, pour_id: int, fault_id: int) -> Causes:
    """Handed the store, since no transaction may be open while it calculates."""
    with store.reading() as session:
        fault = fault_of(session, pour_id, fault_id)
        rows = load_pour(session, pour_id)
        gathered = gather(session, now, rows)
    return causes(gathered, rows, now, [fault])[0]


def gather(session: Session, now: datetime, rows: PourRows) -> scenario_rows.Gathered | InputError:
    """What a look at the log needs, or what of the pour cannot be."""
    try:
        return scenario_rows.gather_rows(session, now, rows)
    except InputError as error:
        return error


def causes(
    gathered: scenario_rows.Gathered | InputError,
    rows: PourRows,
    now: datetime,
    faults: Sequence[PourFault],
) -> list[Causes]:
    """Of each fault, in their order."""
    if isinstance(gathered, InputError):
        wrong = Unknown(text("the log"), text(str(gathered)), text("correct the pour"))
        return [ranked(one.kind, wrong) for one in faults]
    scenario, air = gathered.scenario, gathered.air
    came_out = next((row.came_out for row in rows.done if row.step == "strip"), None)
    return [ranked(one.kind, traces(scenario, air, now, one.at, came_out)) for one in faults]

"""What nobody told of a pour, so that a usual value stands for it."""

from sqlmodel import Session

from models.errors import InputError
from service.actions.windows import scenario_rows
from service.queries.pours import PourRows


def assumed(session: Session, rows: PourRows) -> tuple[str, ...]:
    """Keys of a scenario file, those of the pour itself last."""
    try:
        keys = scenario_rows.planned(session, rows.pour).resolved().assumed
    except InputError:
        keys = ()
    keys += ("pour.concrete_C",) if rows.pour.concrete_C is None else ()
    return keys + (("mould.material",) if rows.mould is None else ())

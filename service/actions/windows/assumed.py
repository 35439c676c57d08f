"""What nobody told of a pour or of what it is of, so that a usual value stands for it."""

from collections.abc import Mapping
from typing import Any

from sqlmodel import Session

from models.errors import InputError
from models.facts.cements import CLASSES
from models.piece.shape import like
from models.records import Mix, Owned, Place, Sealer, Shop
from models.simulation.scenario import OWNED_BY_DEFAULT
from service.actions.windows import scenario_rows
from service.queries.pours import PourRows
from service.queries.rows import find_shop

LABEL_H = 672.0  # the age of the strength that a class of mix is named by
COLUMNS = {"strength": "label", "protection": "covers"}  # of a row, where a file says otherwise
LISTS = tuple(COLUMNS.values())  # columns that are empty where others are None


def assumed(session: Session, rows: PourRows) -> tuple[str, ...]:
    """Keys of a scenario file, those of the pour itself last."""
    try:
        keys = scenario_rows.planned(session, rows.pour).resolved().assumed
    except InputError:
        keys = ()
    keys += ("pour.concrete_C",) if rows.pour.concrete_C is None else ()
    return keys + (("mould.material",) if rows.mould is None else ())


def usual_of(session: Session, rows: PourRows) -> dict[str, dict[str, Any]]:
    """By noun and name, the values that stand for what nobody told of a pour."""
    found = {
        "mix": usual(rows.mix),
        "place": usual(rows.place, rows.pour.learned or {}),
        "sealer": usual(rows.sealer, base=is_base(rows)) if rows.sealer else {},
        "shop": usual(find_shop(session)),
    }
    return {noun: values for noun, values in found.items() if values}


def is_base(rows: PourRows) -> bool:
    """Whether it is sealed as a base is, in fewer coats than a top."""
    return like(rows.piece.shape) != "panel"


def usual(
    row: Owned | Shop, learned: Mapping[str, float] | None = None, *, base: bool = False
) -> dict[str, Any]:
    """Of one row what stands for what nobody told of it, by name; what a maker could not know is
    left out, and so is a set that what is added moves.

    learned : what is known of a place otherwise; None: what it has taught by now
    base : whether a sealer is on a base, not a top
    """
    if isinstance(row, Mix):
        return _of_mix(row)
    if isinstance(row, Place):
        known = scenario_rows.calibration_of(row, None) if learned is None else learned
        site = scenario_rows.site_of(row, known).resolved()
        return {name: getattr(site, name) for name in site.assumed}
    if isinstance(row, Sealer):
        sheet = scenario_rows.sealer_of(row).resolved(base=base)
        numbers = {
            name: getattr(sheet, name) for name in Sealer.model_fields if hasattr(sheet, name)
        }
        return {n: v for n, v in numbers.items() if n not in sheet.given and _is_number(v)}
    if isinstance(row, Shop) and not row.covers:
        return {"protection": [{"kind": one.kind} for one in OWNED_BY_DEFAULT]}
    return {}


def _of_mix(row: Mix) -> dict[str, Any]:
    found, kind = scenario_rows.mixture_of(row).resolved(), CLASSES[row.kind]
    values: dict[str, Any] = {
        "strength": [{"age_h": LABEL_H, "MPa": kind.strength_MPa_28d}],
        "cement_kg_m3": found.cement_kg_m3,
        "water_cement": found.water_cement,
    }
    if row.admixture is None:
        values |= {"initial_set_h": kind.initial_set_h, "final_set_h": kind.final_set_h}
    return {name: value for name, value in values.items() if name in found.assumed}


def _is_number(value: object) -> bool:
    return isinstance(value, int | float)

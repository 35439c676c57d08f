"""Sealer products: what their sheets say."""

from datetime import datetime
from typing import Annotated

from fastapi import APIRouter, Path
from fastapi.responses import JSONResponse
from sqlmodel import col, select

from models.records import Sealer
from service.actions.set_up_shop import save_sealer
from service.api.fields import (
    LARGEST_KEY,
    Asked,
    Count,
    Coverage,
    Hours,
    Name,
    Number,
    Percent,
    Temperature,
    TemperatureStep,
    Told,
    Word,
)
from service.api.once import DoorDep, OnceDep
from service.queries.rows import find

router = APIRouter(tags=["sealers"])
SealerId = Annotated[int, Path(ge=1, le=LARGEST_KEY)]


class SealerAsked(Asked):
    name: Name
    chemistry: Word
    coats: Count | None = None
    diluted_coats: Count | None = None
    recoat_min_h: Hours | None = None
    recoat_max_h: Hours | None = None
    min_C: Temperature | None = None
    max_C: Temperature | None = None
    max_rh_pct: Percent | None = None
    min_age_d: Number | None = None
    dew_margin_K: TemperatureStep | None = None
    hold_h: Hours | None = None
    rain_free_h: Hours | None = None
    coverage_m2_l: Coverage | None = None
    light_use_h: Hours | None = None
    full_use_h: Hours | None = None


class SealerTold(Told):
    id: int
    created_at: datetime
    name: str
    chemistry: str
    coats: int | None
    diluted_coats: int | None
    recoat_min_h: float | None
    recoat_max_h: float | None
    min_C: float | None
    max_C: float | None
    max_rh_pct: float | None
    min_age_d: float | None
    dew_margin_K: float | None
    hold_h: float | None
    rain_free_h: float | None
    coverage_m2_l: float | None
    light_use_h: float | None
    full_use_h: float | None


@router.post("/sealers", status_code=201, response_model=SealerTold)
def add_sealer(wanted: SealerAsked, once: OnceDep) -> JSONResponse:
    now = once.door.now
    return once.write(
        lambda session: SealerTold.model_validate(save_sealer(session, now, wanted.model_dump()))
    )


@router.get("/sealers")
def list_sealers(door: DoorDep) -> list[SealerTold]:
    with door.store.reading() as session:
        rows = session.exec(select(Sealer).order_by(col(Sealer.name))).all()
        return [SealerTold.model_validate(row) for row in rows]


@router.get("/sealers/{sealer_id}")
def read_sealer(sealer_id: SealerId, door: DoorDep) -> SealerTold:
    with door.store.reading() as session:
        return SealerTold.model_validate(find(session, Sealer, sealer_id, "sealer_id"))


@router.put("/sealers/{sealer_id}")
def change_sealer(sealer_id: SealerId, wanted: SealerAsked, door: DoorDep) -> SealerTold:
    with door.store.unit_of_work() as session:
        find(session, Sealer, sealer_id, "sealer_id")
        row = save_sealer(session, door.now, wanted.model_dump(), sealer_id)
        return SealerTold.model_validate(row)

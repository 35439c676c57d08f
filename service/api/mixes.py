"""Mixes, as the bag or the maker says them."""

from datetime import datetime
from typing import Annotated

from fastapi import APIRouter, Path
from fastapi.responses import JSONResponse
from pydantic import Field, SerializerFunctionWrapHandler, model_serializer
from sqlmodel import col, select

from models.records import Mix
from service.actions.learn import forget_mix
from service.actions.set_up_shop import save_mix
from service.api.fields import (
    LARGEST_KEY,
    Asked,
    Density,
    Energy,
    Fineness,
    Heat,
    Hours,
    Mass,
    Name,
    Percent,
    Share,
    Stress,
    Temperature,
    Told,
    Volume,
    Word,
)
from service.api.once import DoorDep, OnceDep
from service.queries.rows import find

router = APIRouter(tags=["mixes"])
MixId = Annotated[int, Path(ge=1, le=LARGEST_KEY)]


class LabelStrength(Asked):
    age_h: Hours
    MPa: Stress
    temperature_C: Temperature = 21.0


class Cement(Asked):
    """A sheet of the mill; what is not told is taken as of a type I cement."""

    C3S_pct: Percent | None = None
    C2S_pct: Percent | None = None
    C3A_pct: Percent | None = None
    C4AF_pct: Percent | None = None
    SO3_pct: Percent | None = None
    free_CaO_pct: Percent | None = None
    MgO_pct: Percent | None = None
    blaine_m2_kg: Fineness | None = None
    slag_pct: Percent | None = Field(default=None, description="of the binder")
    fly_ash_pct: Percent | None = Field(default=None, description="of the binder")
    fly_ash_CaO_pct: Percent | None = Field(default=None, description="of the fly ash")

    @model_serializer(mode="wrap")
    def _told(self, handler: SerializerFunctionWrapHandler) -> dict[str, float]:
        return {name: value for name, value in handler(self).items() if value is not None}


class MixAsked(Asked):
    name: Name
    kind: Word = Field(alias="class", description="class of the mix")
    label: list[LabelStrength] = Field(default_factory=list, alias="strength", max_length=20)
    cement_kg_m3: Density | None = None
    water_cement: Share | None = None
    activation_energy_kJ_mol: Energy | None = None
    activation_energy_error_kJ_mol: Energy | None = Field(
        default=None, description="standard error of the fit that gave it"
    )
    datum_C: Temperature | None = None
    initial_set_h: Hours | None = None
    final_set_h: Hours | None = None
    heat_kJ_kg: Heat | None = None
    hydration_tau_h: Hours | None = None
    hydration_beta: Share | None = None
    hydration_ultimate: Share | None = None
    density_kg_m3: Density = 2300.0
    bag_kg: Mass | None = None
    bag_yield_l: Volume | None = None
    admixture: Word | None = Field(default=None, description="accelerator | retarder | plasticiser")
    cement: Cement | None = None


class MixTold(Told):
    id: int
    created_at: datetime
    name: str
    kind: str = Field(alias="class")
    label: list[dict[str, float]] = Field(alias="strength")
    cement_kg_m3: float | None
    water_cement: float | None
    activation_energy_kJ_mol: float | None
    activation_energy_error_kJ_mol: float | None
    datum_C: float | None
    initial_set_h: float | None
    final_set_h: float | None
    heat_kJ_kg: float | None
    hydration_tau_h: float | None
    hydration_beta: float | None
    hydration_ultimate: float | None
    density_kg_m3: float
    bag_kg: float | None
    bag_yield_l: float | None
    admixture: str | None
    cement: dict[str, float] | None
    learned_strength_factor: float | None = Field(description="of what the label promises")
    learned_strength_sd: float | None = Field(description="of the logarithm")
    learned_set_factor: float | None
    learned_set_sd: float | None = Field(description="of the logarithm")
    learned_from_count: int | None = Field(description="results used")
    learned_at: datetime | None = Field(description="when results were last looked at")


@router.post("/mixes", status_code=201, response_model=MixTold)
def add_mix(wanted: MixAsked, once: OnceDep) -> JSONResponse:
    now = once.door.now
    return once.write(
        lambda session: MixTold.model_validate(save_mix(session, now, wanted.model_dump()))
    )


@router.post("/mixes/{mix_id}/forget", response_model=MixTold)
def forget(mix_id: MixId, once: OnceDep) -> JSONResponse:
    """Let go of what results taught; pours from now on teach anew."""
    now = once.door.now
    return once.write(
        lambda session: MixTold.model_validate(forget_mix(session, now, mix_id)), status=200
    )


@router.get("/mixes")
def list_mixes(door: DoorDep) -> list[MixTold]:
    with door.store.reading() as session:
        rows = session.exec(select(Mix).order_by(col(Mix.name))).all()
        return [MixTold.model_validate(row) for row in rows]


@router.get("/mixes/{mix_id}")
def read_mix(mix_id: MixId, door: DoorDep) -> MixTold:
    with door.store.reading() as session:
        return MixTold.model_validate(find(session, Mix, mix_id, "mix_id"))


@router.put("/mixes/{mix_id}")
def change_mix(mix_id: MixId, wanted: MixAsked, door: DoorDep) -> MixTold:
    with door.store.unit_of_work() as session:
        find(session, Mix, mix_id, "mix_id")
        return MixTold.model_validate(save_mix(session, door.now, wanted.model_dump(), mix_id))

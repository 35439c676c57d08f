"""May this be poured now, tonight, or which day?"""

from datetime import datetime
from typing import Any

from fastapi import APIRouter
from fastapi.responses import JSONResponse
from pydantic import Field

from models.records import Place
from service.actions import doubtful
from service.actions.check_tonight import check_tonight
from service.api.fields import Asked, Instant, Key, Temperature, Told, YesNo
from service.api.once import OnceDep
from service.queries.rows import find
from service.weather import chain

router = APIRouter(tags=["tonight"])


class TonightAsked(Asked):
    mix_id: Key
    piece_id: Key
    place_id: Key
    mould_id: Key | None = None
    start_at: Instant | None = None
    concrete_C: Temperature | None = None
    bag_C: Temperature | None = None
    water_C: Temperature | None = None
    board_C: Temperature | None = None
    night_low_C: Temperature | None = None
    day_high_C: Temperature | None = None
    confirm: YesNo = Field(default=False, description="store it though its unit is doubtful")


class TonightTold(Told):
    """The fields of `castclock pour-check --json`, and the weather it rests on."""

    answer: str
    wait_until: datetime | None
    because: str
    options: list[dict[str, Any]]
    cautions: list[str]
    sources: list[str]
    weather_source: str
    weather_attribution: str
    weather_issued_at: datetime | None
    warnings: list[str]


@router.post("/tonight", response_model=TonightTold)
def tonight(wanted: TonightAsked, once: OnceDep) -> JSONResponse:
    """Nothing is stored but the answer under its key."""

    def work() -> TonightTold:
        door = once.door
        with door.store.reading() as session:
            find(session, Place, wanted.place_id, "place_id")
            night = (wanted.night_low_C, wanted.day_high_C)
            found = [
                *doubtful.of_night(session, door.now, wanted.place_id, *night),
                *doubtful.of_pour(
                    session,
                    door.now,
                    wanted.place_id,
                    wanted.start_at or door.now,
                    wanted.model_dump(),
                ),
            ]
        told = check_tonight(door.store, door.now, **wanted.model_dump(exclude={"confirm"}))
        doubtful.ask(found, wanted.confirm)
        return TonightTold(
            **told.answer,
            weather_source=told.weather_source,
            weather_attribution=chain.credit(once.door.weather, told.weather_source),
            weather_issued_at=told.weather_issued_at,
            warnings=list(told.warnings),
        )

    return once.compute(work)

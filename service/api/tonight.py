"""May this be poured now, tonight, or which day?"""

from datetime import datetime

from fastapi import APIRouter
from fastapi.responses import JSONResponse

from models.records import Place
from service.actions.pours import doubtful
from service.actions.windows.check_tonight import check_tonight
from service.answers import PourAnswerResponse
from service.api.idempotency import IdempotentPostDep
from service.nouns.tonight import TonightRequest
from service.queries.rows import find
from service.weather import chain
from service.words import Reader, say_all

router = APIRouter(tags=["tonight"])


class TonightRead(PourAnswerResponse):
    """The fields of `castclock pour-check --json`, and the weather it rests on."""

    weather_source: str
    weather_attribution: str
    weather_issued_at: datetime | None
    warnings: list[str]


@router.post("/tonight", response_model=TonightRead)
def tonight(wanted: TonightRequest, post: IdempotentPostDep) -> JSONResponse:
    """Nothing is stored but the answer under its key."""

    def work() -> TonightRead:
        context, now = post.context, post.now
        with context.store.reading() as session:
            place = find(session, Place, wanted.place_id, "place_id")
            reader = Reader(place.timezone)
            values, start = wanted.model_dump(), wanted.start_at or now
            found = doubtful.of_night(session, now, wanted.place_id, values)
            found += doubtful.of_pour(session, now, wanted.place_id, start, values)
        checked = check_tonight(context.store, now, wanted)
        doubtful.ask(found, wanted.confirm)
        return TonightRead(
            **dict(checked.answer),
            weather_source=checked.weather_source,
            weather_attribution=chain.credit(post.context.weather, checked.weather_source),
            weather_issued_at=checked.weather_issued_at,
            warnings=say_all(checked.warnings, reader),
        )

    return post.compute(work)

"""May this be poured now, tonight, or which day, and under which cover?"""

from dataclasses import dataclass
from datetime import datetime, timedelta

from models.air.series import AirSeries
from models.errors import InputError, Unknown
from models.message import Message
from models.records import Place, Pour
from models.records.pour import PourPlan
from service.actions.pours.log_pour import with_what_is_known
from service.actions.weather import place_air
from service.actions.windows import scenario_rows
from service.answers import PourAnswerResponse
from service.nouns.tonight import TonightRequest
from service.queries.rows import find
from service.store import Store

GROUND_REMEMBERS = timedelta(days=10)  # frost that it froze by and has not paid back


@dataclass(frozen=True)
class TonightAnswer:
    """The answer as the contract tells it, and which weather it rests on."""

    answer: PourAnswerResponse
    weather_source: str
    weather_issued_at: datetime | None
    warnings: tuple[Message, ...]
    confidence: float
    air: AirSeries | Unknown  # outdoors, as it was taken


def check_tonight(
    store: Store,
    now: datetime,
    wanted: TonightRequest,
    *,
    only: datetime | None = None,
    brief: bool = False,
) -> TonightAnswer:
    """The check of a pour that is only planned; typed temperatures take the forecast's place.

    only : one start looked at alone; brief : no further than the first start that passes
    Handed the store, since no transaction may be open while it calculates.
    """
    low_C, high_C = wanted.night_low_C, wanted.day_high_C
    for one, other, name in ((low_C, high_C, "day_high_C"), (high_C, low_C, "night_low_C")):
        if one is not None and other is None:
            raise InputError(name, None, "the other of the two is typed", "both, or neither")
    start = wanted.start_at or now
    scenario_rows.placing_allowed(start, now)
    draft = Pour(
        created_at=now,
        placed_at=start,
        mix_id=wanted.mix_id,
        piece_id=wanted.piece_id,
        place_id=wanted.place_id,
        **wanted.model_dump(include=set(PourPlan.model_fields)),
    )
    with store.reading() as session:
        with_what_is_known(session, draft)
        scenario = scenario_rows.with_room(session, scenario_rows.planned(session, draft))
        place = find(session, Place, wanted.place_id, "place_id")
        if low_C is not None and high_C is not None:
            typed = place_air.by_hand(low_C, high_C, place, now)
            weather = place_air.Joined(typed, None, typed.source, None)
        else:
            grounded = scenario.mould.material == "ground"
            before = GROUND_REMEMBERS if grounded else scenario_rows.BEFORE_PLACING
            weather = place_air.joined(session, place, now, start - before)
    return TonightAnswer(
        answer=scenario_rows.pour_checked(scenario, weather.air, now, only=only, brief=brief),
        weather_source=weather.source,
        weather_issued_at=weather.issued_at,
        warnings=tuple(weather.warnings),
        confidence=scenario.rules.confidence,
        air=weather.air,
    )

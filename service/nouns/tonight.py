"""What is asked about a pour that is only planned."""

from dataclasses import replace

from pydantic import Field

from models.records.fields import Instant, Key, Temperature
from models.records.pour import PourPlan
from service.nouns.base import Confirmable
from service.nouns.controls import Controls


class TonightRequest(PourPlan, Confirmable):
    """Typed temperatures take the place of the forecast."""

    mix_id: Key
    piece_id: Key
    place_id: Key
    start_at: Instant | None = Field(default=None, description="now when left out")
    night_low_C: Temperature | None = None
    day_high_C: Temperature | None = None


_tonight = Controls(TonightRequest)
START = _tonight("start_at", "Start (empty: now)")
NIGHT = (
    _tonight("night_low_C", "Tonight's low", hint="-1 C or 30 F"),
    _tonight("day_high_C", "Tomorrow's high", hint="9 C or 48 F"),
)
BOTH = tuple(replace(one, needed=True) for one in NIGHT)

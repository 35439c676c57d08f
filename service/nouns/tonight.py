"""What is asked about a pour that is only planned."""

from pydantic import Field

from models.records.fields import Instant, Key, Temperature
from models.records.pour import PourPlan
from service.nouns.base import Confirmable


class TonightRequest(PourPlan, Confirmable):
    """Typed temperatures take the place of the forecast."""

    mix_id: Key
    piece_id: Key
    place_id: Key
    start_at: Instant | None = Field(default=None, description="now when left out")
    night_low_C: Temperature | None = None
    day_high_C: Temperature | None = None

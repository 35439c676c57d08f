"""How a way of turning a piece is told in JSON."""

from pydantic import BaseModel, Field

from service.answer_fields import Code, Instant, MessageText, also
from service.vocabulary import Gear, TurningWord


class TurningWayResponse(BaseModel):
    """One way of turning the piece or of carrying it flat, in the order of their hours."""

    way: TurningWord
    stress_MPa: float
    need_MPa: float
    p50: Instant | None
    safe: Instant | None
    turns: bool
    proposed: bool
    people: int | None
    hands: MessageText
    hands_code: Code = Field(default=None, validation_alias=also("hands_code", "hands"))
    gear: list[Gear]
    can: bool
    not_this_way: MessageText
    not_this_way_code: Code = Field(
        default=None, validation_alias=also("not_this_way_code", "not_this_way")
    )
    level: float | None = None

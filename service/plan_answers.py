"""The plan of the orders as JSON tells it, typed: what the API sends, is stored, and pages read."""

from collections.abc import Mapping
from typing import Any

from pydantic import AliasChoices, BaseModel, Field, ValidationError

from models.message import Message
from models.planning.moved import Moved
from models.planning.shop_plan import Gain, ShopPlan
from service.answer_fields import Code, Codes, Instant, MessageText, MessageTexts, also
from service.words import Reader


class PieceResponse(BaseModel):
    """One casting: the order, the piece, and its number in it."""

    order: str
    name: str = Field(validation_alias=AliasChoices("name", "kind"))
    number: int


class PlannedPourResponse(BaseModel):
    """When it is poured, in which mould, and what follows; moves is the chance that its mould is
    not free in time."""

    piece: PieceResponse
    mould: str
    at: Instant
    way: MessageText
    way_code: Code = Field(default=None, validation_alias=also("way_code", "way"))
    strip_at: Instant
    free_at: Instant
    ready_even: Instant | None
    ready_sure: Instant | None
    moves: float
    pinned: bool


class LeftOutResponse(BaseModel):
    piece: PieceResponse
    why: MessageText
    why_code: Code = Field(default=None, validation_alias=also("why_code", "why"))


class PromiseResponse(BaseModel):
    """When an order is ready at even odds and at the shop's confidence, and the chance that it is
    late; why says what is missing where nothing can be promised."""

    order: str
    due: Instant
    at_even: Instant | None
    at_sure: Instant | None
    confidence: float
    late: float | None
    why: MessageText
    why_code: Code = Field(default=None, validation_alias=also("why_code", "why"))
    slowest: str


class ActResponse(BaseModel):
    at: Instant
    act: str
    piece: PieceResponse
    mould: str
    minutes: float
    hands: int
    short: bool


class GainResponse(BaseModel):
    what: str
    piece: str = Field(validation_alias=AliasChoices("piece", "kind"))
    saved_h: float
    order: str
    sooner_h: float
    text: MessageText
    code: Code = Field(default=None, validation_alias=also("code", "text"))


class MovedResponse(BaseModel):
    """What is planned otherwise than before: from where and when to where and when, and why."""

    piece: PieceResponse
    from_at: Instant | None
    to_at: Instant | None
    from_mould: str
    to_mould: str
    why: MessageText
    why_code: Code = Field(default=None, validation_alias=also("why_code", "why"))


class PlanResponse(BaseModel):
    """The plan of all orders; gap is what the best might save of its lateness, 0 to 1."""

    made_at: Instant
    poured: list[PlannedPourResponse]
    left_out: list[LeftOutResponse]
    promises: list[PromiseResponse]
    acts: list[ActResponse]
    gains: list[GainResponse]
    moved: list[MovedResponse] = []
    how: str
    gap: float
    says: MessageText
    says_code: Code = Field(default=None, validation_alias=also("says_code", "says"))
    until: Instant | None
    lacks: MessageTexts
    lack_codes: Codes = Field(default=[], validation_alias=also("lack_codes", "lacks"))
    notes: MessageTexts = []
    note_codes: Codes = Field(default=[], validation_alias=also("note_codes", "notes"))


def plan_answer(plan: ShopPlan, moved: tuple[Moved, ...], reader: Reader) -> PlanResponse:
    """A plan as a reader is told it."""
    says = Message(f"plan_{plan.how}", {"gap": plan.gap})
    gains = [{**vars(one), "text": gain_message(one)} for one in plan.gains]
    told = {**vars(plan), "says": says, "gains": gains, "moved": moved}
    return PlanResponse.model_validate(told, from_attributes=True, context=reader)


def gain_message(gain: Gain) -> Message:
    """What one thing more would do, in one sentence."""
    if gain.saved_h < 1.0 and gain.order:
        return Message(
            f"gain_{gain.what}_sooner",
            {"order": gain.order, "saved_h": gain.sooner_h, "piece": gain.kind},
        )
    return Message(f"gain_{gain.what}", {"piece": gain.kind, "saved_h": gain.saved_h})


def read_plan(stored: Mapping[str, Any] | None) -> PlanResponse | None:
    """A stored plan, typed; one that cannot be read counts as none."""
    try:
        return None if stored is None else PlanResponse.model_validate(stored)
    except ValidationError:
        return None

"""An answer as JSON tells it, typed: what the API sends, is stored, and pages and notices read.

The keys are the contract; sentences stand beside the codes and numbers that they were made of.
Rows of before codes were told read with empty lists of them.
"""

from collections.abc import Mapping
from datetime import datetime
from typing import Annotated, Any

from pydantic import BaseModel, PlainSerializer, ValidationError, WithJsonSchema

from models.message import Message

Instant = Annotated[
    datetime,
    PlainSerializer(lambda at: at.isoformat(timespec="seconds"), when_used="json"),
    WithJsonSchema({"type": "string", "format": "date-time"}, mode="serialization"),
]


class MessageResponse(BaseModel):
    """What is said, as a code and the values that go with it."""

    code: str
    values: dict[str, Any]

    @property
    def message(self) -> Message:
        """The same as words take it."""
        return Message(self.code, self.values)


class EarliestResponse(BaseModel):
    p50: Instant | None
    p90: Instant | None


class NeedResponse(BaseModel):
    quantity: str
    value: float
    unit: str


class StepWindowResponse(BaseModel):
    """One step: when it opens (even odds, and sure enough), when it closes, and why."""

    step: str
    state: str
    earliest: EarliestResponse
    latest: Instant | None
    need: NeedResponse
    because: str
    reasons: list[MessageResponse] = []
    earlier_if: list[str]
    cautions: list[str]
    sources: list[str]
    missed: str
    done_at: Instant | None
    confidence: float | None
    after: str = ""
    by_check: bool = False
    reason: MessageResponse | None = None


class AlertResponse(BaseModel):
    kind: str
    chance: float
    at: Instant
    act_by: Instant
    remedy: str
    after: float | None
    text: str
    code: MessageResponse | None = None


class FrostWatchResponse(BaseModel):
    until: Instant | None
    chance: float
    lowest_C: float | None


class PlannedCoatResponse(BaseModel):
    step: str
    at: Instant | None
    until: Instant | None
    hold_until: Instant | None
    touch_dry: Instant | None
    sealer_l: float
    water_l: float
    chance: float
    why: str
    done_at: Instant | None


class CoatPlanResponse(BaseModel):
    coats: list[PlannedCoatResponse]
    chance: float
    sure: bool
    area_m2: float
    net_l: float
    litres_l: float
    says: list[str]
    says_codes: list[MessageResponse] = []
    sealer: str


class PourSummaryResponse(BaseModel):
    """Volume [l], mass [kg], and bags where the yield of a bag is known."""

    name: str = ""
    at: Instant | None = None
    piece: str = ""
    mix: str = ""
    place: str = ""
    volume_l: float | None = None
    mass_kg: float | None = None
    caution: str = ""
    bags_net: float | None = None
    bags: int | None = None


class BandsResponse(BaseModel):
    p10: list[float | None]
    p50: list[float | None]
    p90: list[float | None]


class ConcreteResponse(BaseModel):
    """Hourly from placing on."""

    time: list[Instant]
    mean_C: BandsResponse
    coldest_C: BandsResponse
    air_C: BandsResponse
    equivalent_age_h: BandsResponse
    ttf_C_h: BandsResponse
    strength_MPa: BandsResponse
    pore_rh: BandsResponse


class AnswerResponse(BaseModel):
    """What a projection says, but for the hourly bands of the concrete."""

    pour: PourSummaryResponse
    steps: list[StepWindowResponse]
    warnings: list[str]
    warning_codes: list[MessageResponse] = []
    evidence: str
    evidence_code: MessageResponse | None = None
    alerts: list[AlertResponse] = []
    frost_watch: FrostWatchResponse | None = None
    coat_plan: CoatPlanResponse | None = None


class RiskResponse(BaseModel):
    risk: str
    code: str
    probability: float
    value: float
    limit: float
    unit: str


class PourOptionResponse(BaseModel):
    """One start hour under one protection, with what speaks against it."""

    start: Instant
    protection: str
    protection_code: MessageResponse
    passes: bool
    risks: list[RiskResponse]
    strip_p90: Instant | None
    turn_p90: Instant | None
    effort: float
    cautions: list[str]
    caution_codes: list[MessageResponse]
    indoors: bool
    excess: float
    frost_chance: float | None
    lowest_C: float | None


class PourAnswerResponse(BaseModel):
    """pour | pour with a protection | wait, with the table behind it."""

    answer: str
    answer_code: MessageResponse
    wait_until: Instant | None
    because: str
    reasons: list[MessageResponse]
    options: list[PourOptionResponse]
    cautions: list[str]
    caution_codes: list[MessageResponse]
    sources: list[str]


def read_answer(stored: Mapping[str, Any]) -> AnswerResponse:
    """A stored answer, typed. Raises pydantic's ValidationError for what is none."""
    return AnswerResponse.model_validate(stored)


def readable(stored: Mapping[str, Any] | None) -> AnswerResponse | None:
    """A stored answer, typed; one that cannot be read counts as none."""
    try:
        return None if stored is None else read_answer(stored)
    except ValidationError:
        return None


def read_concrete(stored: Mapping[str, Any] | None) -> ConcreteResponse | None:
    """Stored hourly bands, typed; None where none are kept."""
    return None if stored is None else ConcreteResponse.model_validate(stored)

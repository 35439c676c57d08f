"""An answer as JSON tells it, typed: what the API sends, is stored, and pages and notices read.

The results of the science go in as they are, with the reader in the context of the validation;
sentences are made on the way and codes and numbers stand beside them. The same types read what is
stored; rows of before codes were told read without them. The keys are the contract.
"""

from collections.abc import Mapping
from typing import Annotated, Any, TypeVar

from pydantic import AliasChoices, BaseModel, Field, ValidationError, model_validator
from pydantic.fields import FieldInfo

from models import results
from service.answer_fields import (
    Band,
    Clauses,
    Code,
    Codes,
    Instant,
    InWords,
    MessageResponse,
    MessageText,
    MessageTexts,
    Rounded,
    Sentences,
    Titled,
    also,
    danger,
)
from service.answer_hours import unpacked
from service.answer_turning import TurningWayResponse
from service.vocabulary import AlertKind, CoverKind, Faces, PlanPlace, SetBy, StepState
from service.words import Reader

M = TypeVar("M", bound=BaseModel)


class EarliestResponse(BaseModel):
    """When a step opens: at even odds, at 90 %, and at its level of certainty."""

    p50: Instant | None
    p90: Instant | None
    safe: Instant | None

    @model_validator(mode="before")
    @classmethod
    def _of_before(cls, value: object) -> object:
        """A row of before `safe` holds that hour as its p90."""
        return {"safe": value.get("p90"), **value} if isinstance(value, dict) else value


class NeedResponse(BaseModel):
    quantity: MessageText
    quantity_code: Code = Field(default=None, validation_alias=also("quantity_code", "quantity"))
    value: float
    unit: str


class StepWindowResponse(BaseModel):
    """One step: when it opens (even odds, and sure enough), when it closes, and why."""

    step: str
    state: StepState
    earliest: EarliestResponse
    latest: Instant | None
    need: NeedResponse
    because: Clauses
    reasons: Codes = Field(default=[], validation_alias=also("reasons", "because"))
    earlier_if: MessageTexts
    earlier_if_codes: Codes = Field(
        default=[], validation_alias=also("earlier_if_codes", "earlier_if")
    )
    cautions: Sentences
    caution_codes: Codes = Field(default=[], validation_alias=also("caution_codes", "cautions"))
    sources: Titled
    missed: MessageText
    missed_code: Code = Field(default=None, validation_alias=also("missed_code", "missed"))
    done_at: Instant | None
    confidence: float | None
    after: str = ""
    by_check: bool = False
    reason: MessageResponse | None = None
    level: float | None = None


class AlertResponse(BaseModel):
    kind: AlertKind
    chance: float
    at: Instant
    act_by: Instant
    remedy: MessageText
    remedy_code: Code = Field(default=None, validation_alias=also("remedy_code", "remedy"))
    after: float | None
    text: MessageText
    code: Code = Field(default=None, validation_alias=also("code", "text"))


class FrostWatchResponse(BaseModel):
    until: Instant | None
    chance: float
    lowest_C: float | None
    need_MPa: float = 3.5
    young_after: Code = None


class FrostBranchResponse(BaseModel):
    """What if ice harmed it while it was young; `steps` are those of a piece that it did not."""

    chance: Rounded
    came: Rounded
    at: Instant | None
    depth_mm: Rounded
    strength_left: Rounded
    strip: Instant | None
    turn: Instant | None
    text: MessageText
    code: Code = Field(default=None, validation_alias=also("code", "text"))


class PlannedCoatResponse(BaseModel):
    step: str
    at: Instant | None
    until: Instant | None
    hold_until: Instant | None
    touch_dry: Instant | None
    sealer_l: Rounded
    water_l: Rounded
    chance: Rounded
    why: Clauses
    why_codes: Codes = Field(default=[], validation_alias=also("why_codes", "why"))
    done_at: Instant | None


class PlanEntryResponse(BaseModel):
    """One act of the plan; heat [degC]."""

    step: str
    at: Instant
    set_by: SetBy
    cover: CoverKind | None
    heat: float | None
    place: PlanPlace | None = None
    faces: Faces | None = None


class CoatWayResponse(BaseModel):
    """The next coat in one way; `acts` put into the plan are that way."""

    way: MessageText
    code: MessageResponse = Field(validation_alias=also("code", "way"))
    step: str
    p50: Instant | None
    p90: Instant | None
    safe: Instant | None
    because: Clauses
    reasons: Codes = Field(default=[], validation_alias=also("reasons", "because"))
    asks: Sentences
    ask_codes: Codes = Field(default=[], validation_alias=also("ask_codes", "asks"))
    acts: list[PlanEntryResponse] = []


class PlannedProductResponse(BaseModel):
    """One product of a finish; `wipe_at` of each of its coats, where it is wiped off."""

    sealer: MessageText
    sealer_code: Code = Field(default=None, validation_alias=also("sealer_code", "sealer"))
    coats: list[str]
    net_l: Rounded
    litres_l: Rounded
    dwell_min: float | None
    wipe_at: list[Instant | None]


class CoatPlanResponse(BaseModel):
    coats: list[PlannedCoatResponse]
    chance: Rounded
    sure: bool
    area_m2: Rounded
    net_l: Rounded
    litres_l: Rounded
    says: MessageTexts
    says_codes: Codes = Field(default=[], validation_alias=also("says_codes", "says"))
    sealer: MessageText
    sealer_code: Code = Field(default=None, validation_alias=also("sealer_code", "sealer"))
    ways: list[CoatWayResponse] = []
    products: list[PlannedProductResponse] = []


class PourSummaryResponse(BaseModel):
    """Volume [l], mass [kg], and bags where the yield of a bag is known."""

    name: str = ""
    at: Instant | None = None
    piece: MessageText = ""
    piece_code: Code = Field(default=None, validation_alias=also("piece_code", "piece"))
    mix: MessageText = ""
    mix_code: Code = Field(default=None, validation_alias=also("mix_code", "mix"))
    place: str = ""
    volume_l: float | None = None
    mass_kg: float | None = None
    caution: MessageText = ""
    caution_code: Code = Field(default=None, validation_alias=also("caution_code", "caution"))
    bags_net: float | None = None
    bags: int | None = None


class BandsResponse(BaseModel):
    p10: Band
    p50: Band
    p90: Band


class SurelyResponse(BaseModel):
    """Hourly strength that is reached at a chance, where it is slowest and of the section."""

    level: Rounded
    slowest_MPa: Band
    section_MPa: Band


class ConcreteResponse(BaseModel):
    """Hourly from placing on; the last three are of rows that were stored since they are drawn."""

    time: list[Instant] = Field(validation_alias=also("time", "times"))
    mean_C: BandsResponse
    coldest_C: BandsResponse
    air_C: BandsResponse
    equivalent_age_h: BandsResponse
    ttf_C_h: BandsResponse
    strength_MPa: BandsResponse
    pore_rh: BandsResponse
    surely: list[SurelyResponse] = []
    rain_chance: Band = []
    forecast_until: Instant | None = None


class AnswerResponse(BaseModel):
    """What a projection says, but for the hourly bands of the concrete."""

    pour: PourSummaryResponse
    steps: list[StepWindowResponse]
    warnings: MessageTexts
    warning_codes: Codes = Field(default=[], validation_alias=also("warning_codes", "warnings"))
    evidence: MessageText
    evidence_code: Code = Field(default=None, validation_alias=also("evidence_code", "evidence"))
    alerts: list[AlertResponse] = []
    frost_watch: FrostWatchResponse | None = None
    coat_plan: CoatPlanResponse | None = None
    frost: FrostBranchResponse | None = None
    plan: list[PlanEntryResponse] = []
    if_covered: Code = None
    ways: list[TurningWayResponse] = []
    fresh_mm: float | None = Field(
        default=None, description="deepest that pressed its walls at once, by its batches"
    )


class RiskResponse(BaseModel):
    risk: Annotated[str, InWords(danger)]
    code: str = Field(validation_alias=also("code", "risk"))
    probability: float
    value: float
    limit: float
    unit: str
    allowed: float


class PourOptionResponse(BaseModel):
    """One start hour under one protection, with what speaks against it."""

    start: Instant
    protection: MessageText
    protection_code: MessageResponse = Field(validation_alias=also("protection_code", "protection"))
    passes: bool
    risks: list[RiskResponse]
    strip_p90: Instant | None
    turn_p90: Instant | None
    effort: float
    cautions: MessageTexts
    caution_codes: Codes = Field(validation_alias=also("caution_codes", "cautions"))
    indoors: bool
    excess: float
    frost_chance: float | None
    lowest_C: float | None
    heat_from: Instant | None = None


class PourAnswerResponse(BaseModel):
    """pour | pour with a protection | wait, with the table behind it."""

    answer: MessageText
    answer_code: MessageResponse = Field(validation_alias=also("answer_code", "answer"))
    wait_until: Instant | None
    because: Clauses
    reasons: Codes = Field(validation_alias=also("reasons", "because"))
    options: list[PourOptionResponse]
    cautions: Sentences
    caution_codes: Codes = Field(validation_alias=also("caution_codes", "cautions"))
    sources: Titled


def step(result: results.StepWindow, reader: Reader) -> StepWindowResponse:
    """One step of a projection as a reader is told it."""
    return StepWindowResponse.model_validate(result, from_attributes=True, context=reader)


def alert(result: results.Alert, reader: Reader) -> AlertResponse:
    """One alert of a projection as a reader is told it."""
    return AlertResponse.model_validate(result, from_attributes=True, context=reader)


def answer(result: results.Projection, reader: Reader) -> AnswerResponse:
    """A projection as a reader is told it, but for its hourly bands."""
    return AnswerResponse.model_validate(result, from_attributes=True, context=reader)


def concrete(result: results.Projection) -> ConcreteResponse | None:
    """The hourly bands of a projection; None where there is no weather."""
    if result.concrete is None:
        return None
    drawn = {} if result.drawn is None else vars(result.drawn)
    history = {**vars(result.concrete), **drawn}
    return ConcreteResponse.model_validate(history, from_attributes=True)


def pour_answer(result: results.PourAnswer, reader: Reader) -> PourAnswerResponse:
    """An answer to a pour check as a reader is told it."""
    return PourAnswerResponse.model_validate(result, from_attributes=True, context=reader)


def told(answer: M, reader: Reader) -> M:
    """An answer, or a part of one, with every sentence said again for this reader from its code.

    A sentence of before codes was told stays as it was stored.
    """
    said: dict[str, Any] = {}
    for name, field in type(answer).model_fields.items():
        value = getattr(answer, name)
        if isinstance(field.validation_alias, AliasChoices):
            text = str(field.validation_alias.choices[1])  # of which this is the code
            if text in type(answer).model_fields and value not in (None, []):
                said[text] = _words_of(type(answer).model_fields[text], value, reader)
        elif isinstance(value, BaseModel):
            said[name] = told(value, reader)
        elif isinstance(value, list) and value and isinstance(value[0], BaseModel):
            said[name] = [told(one, reader) for one in value]
    return answer.model_copy(update=said)


def _words_of(field: FieldInfo, code: Any, reader: Reader) -> object:
    make = next(one.make for one in field.metadata if isinstance(one, InWords))
    if isinstance(code, list):
        return make([one.message for one in code], reader)
    return make(code.message if isinstance(code, MessageResponse) else code, reader)


def projection_json(result: results.Projection, reader: Reader) -> dict[str, Any]:
    """A projection as `castclock timeline --json` tells it."""
    bands = concrete(result)
    bags = {"bags_net", "bags"} if result.pour.bags_net is None else set()
    rest = answer(result, reader).model_dump(mode="json", exclude={"pour": bags})
    return {
        "pour": rest.pop("pour"),
        "concrete": None if bands is None else bands.model_dump(mode="json"),
        **rest,
    }


def pour_answer_json(result: results.PourAnswer, reader: Reader) -> dict[str, Any]:
    """An answer as `castclock pour-check --json` tells it."""
    return pour_answer(result, reader).model_dump(mode="json")


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
    return None if stored is None else ConcreteResponse.model_validate(unpacked(stored))

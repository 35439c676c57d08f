"""The parts of a record; every time carries the offset of the place, every number its unit.

They are taken from the rows as they are, with the zone of the place as the context.
"""

from datetime import datetime
from typing import Annotated, Any
from zoneinfo import ZoneInfo

from pydantic import AfterValidator, BaseModel, Field, ValidationInfo

from models.planning.predicted import Band
from service.actions.record.weather_days import Day
from service.nouns.fault import CausesRead
from service.vocabulary import (
    CameOut,
    CoverKind,
    Faces,
    FaultKind,
    Heater,
    HeldUp,
    PieceFace,
    ReadingKind,
    ReminderKind,
    ReminderState,
    SealedAs,
    StepState,
    TestKind,
)


def _on_its_clock(at: datetime, info: ValidationInfo) -> datetime:
    return at.astimezone(info.context) if isinstance(info.context, ZoneInfo) else at


Local = Annotated[datetime, AfterValidator(_on_its_clock)]


class Window(BaseModel):
    """What was told of a step at one time: even odds, sure, latest; None: no hour was told."""

    told_at: Local
    likely_at: Local | None
    sure_at: Local | None
    latest_at: Local | None
    state: StepState
    because: str


class StepRecord(BaseModel):
    """One step as it was told first, told last before it was done, and as it stands.

    What was told only after it had been done was not foreseen: None.
    """

    step: str
    first_told: Window | None
    before_done: Window | None
    newest: Window | None
    done_at: Local | None


class Read(BaseModel):
    """A reading and what the model says there, knowing no reading; of a set: hours from placing."""

    at: Local
    kind: ReadingKind
    value_C: float | None
    value_max_C: float | None
    span_h: float | None
    mass_g: float | None
    rh_pct: float | None
    note: str
    wrong: bool  # the instrument was; it is not counted
    spare: bool  # so near another of its instrument that it is not counted
    of_this_piece: bool
    age_h: float
    foreseen: Band | None
    foreseen_max: Band | None


class Broken(BaseModel):
    """A strength test and what the model says there, knowing no test."""

    at: Local
    kind: TestKind
    strength_MPa: float
    note: str
    age_h: float
    foreseen_MPa: Band | None


class Lay(BaseModel):
    """What lay on the piece, from when to when."""

    kind: CoverKind
    from_at: Local
    to_at: Local | None
    R_m2K_W: float | None
    setpoint_C: float | None
    faces: Faces
    heater: Heater | None


class Noticed(BaseModel):
    """One notice that was owed, and what became of it."""

    step: str
    kind: ReminderKind
    state: ReminderState
    due_at: Local
    done_at: Local | None


class Moved(BaseModel):
    """When windows moved, and why."""

    at: Local
    why: str


class Pictured(BaseModel):
    """A photo; its bytes stand at /api/v1/pours/{pour_id}/photos/{id}."""

    id: int
    at: Local
    step: str | None
    note: str
    media_type: str
    size_bytes: int


class SealedWith(BaseModel):
    """One product of a finish, in its order."""

    name: str
    chemistry: Annotated[str, Field(description="in words")]
    coats: int
    litres_a_coat: float | None


class Sealed(BaseModel):
    """The sealer as named, its coats, and about how much goes on all faces."""

    name: str
    chemistry: Annotated[str, Field(description="in words")]
    coats: int
    coats_done: int
    litres_a_coat: Annotated[float | None, Field(description="of the first product")]
    products: list[SealedWith]


class Mixed(BaseModel):
    """One batch as it was mixed."""

    at: Local
    bags: float | None
    water_l: float | None
    concrete_C: float | None
    thickness_mm: float | None
    layer: str | None
    note: str


class Wrong(BaseModel):
    """What went wrong with the piece, where on it, and what the log speaks for."""

    id: int
    at: Local
    kind: FaultKind
    face: PieceFace | None
    x_mm: float | None
    y_mm: float | None
    note: str
    photo_id: int | None
    causes: CausesRead


class Wrote(BaseModel):
    """What somebody who was signed in logged, and when it reached castclock."""

    name: str
    what: str
    at: Local


class CostLine(BaseModel):
    """So many of what has a price, `what` of the shop's prices."""

    what: str
    many: float
    price: float
    money: float


class Cost(BaseModel):
    """By the prices of the shop; `left_out` was used and has none."""

    lines: list[CostLine]
    left_out: list[str]
    money: float
    currency: str


class Record(BaseModel):
    """All of one pour. Times carry the offset of its place."""

    pour_id: int
    made_at: Local
    timezone: str
    piece: dict[str, Any]
    mix: dict[str, Any]
    place: dict[str, Any]
    mould: dict[str, Any] | None
    mould_use: Annotated[int | None, Field(description="which pour into its mould it was")]
    series_number: Annotated[int | None, Field(description="null: lost, or logged by mistake")]
    series_of: Annotated[int | None, Field(description="how many are to be made")]
    sealer: Sealed
    placed_at: Local
    concrete_C: float | None
    bags: float | None
    bag_C: float | None
    water_C: float | None
    board_C: float | None
    water_added_l: float
    note: str
    volume_l: float | None
    mass_kg: float | None
    bags_needed: float | None
    cost: Cost | None
    batches: list[Mixed]
    closed_at: Local | None
    closed_why: str
    learned: dict[str, float]
    assumed: list[str]
    steps: list[StepRecord]
    undone: list[dict[str, Any]]
    readings: list[Read]
    strength_tests: list[Broken]
    foreseen_missing: str
    protections: list[Lay]
    days: list[Day]
    reminders: list[Noticed]
    moves: list[Moved]
    warnings: list[str]
    photos: list[Pictured]
    faults: list[Wrong]
    logged: list[Wrote]
    came_out: CameOut | None
    sealed_as: SealedAs | None
    held_up: HeldUp | None

"""The parts of a record; every time carries the offset of the place, every number its unit."""

from dataclasses import dataclass
from datetime import datetime
from typing import Any

from models.planning.predicted import Band
from service.actions.record_days import Day


@dataclass(frozen=True)
class Window:
    """What was told of a step at one time: even odds, sure, latest; None: no hour was told."""

    told_at: datetime
    likely_at: datetime | None
    sure_at: datetime | None
    latest_at: datetime | None
    state: str
    because: str


@dataclass(frozen=True)
class StepTold:
    """One step as it was told first, told last before it was done, and as it stands.

    What was told only after it had been done was not foreseen: None.
    """

    step: str
    first_told: Window | None
    before_done: Window | None
    newest: Window | None
    done_at: datetime | None


@dataclass(frozen=True)
class Read:
    """A reading and what the model says there, knowing no reading; of a set: hours from placing."""

    at: datetime
    kind: str
    value_C: float | None
    value_max_C: float | None
    span_h: float | None
    mass_g: float | None
    rh_pct: float | None
    note: str
    wrong: bool  # the instrument was; it is not counted
    of_this_piece: bool
    age_h: float
    foreseen: Band | None
    foreseen_max: Band | None


@dataclass(frozen=True)
class Broken:
    """A strength test and what the model says there, knowing no test."""

    at: datetime
    kind: str
    strength_MPa: float
    note: str
    age_h: float
    foreseen_MPa: Band | None


@dataclass(frozen=True)
class Lay:
    """What lay on the piece, from when to when."""

    kind: str
    from_at: datetime
    to_at: datetime | None
    R_m2K_W: float | None
    setpoint_C: float | None
    faces: str
    heater: str | None


@dataclass(frozen=True)
class Noticed:
    """One notice that was owed, and what became of it."""

    step: str
    kind: str
    state: str
    due_at: datetime
    done_at: datetime | None


@dataclass(frozen=True)
class Moved:
    """When windows moved, and why."""

    at: datetime
    why: str


@dataclass(frozen=True)
class Pictured:
    """A photo; its bytes stand at /api/v1/pours/{pour_id}/photos/{id}."""

    id: int
    at: datetime
    step: str | None
    note: str
    media_type: str
    size_bytes: int


@dataclass(frozen=True)
class Sealed:
    """The sealer as named, its coats, and about how much goes on all faces."""

    name: str
    chemistry: str
    coats: int
    coats_done: int
    litres_a_coat: float | None


@dataclass(frozen=True)
class Mixed:
    """One batch as it was mixed."""

    at: datetime
    bags: float | None
    water_l: float | None
    concrete_C: float | None
    note: str


@dataclass(frozen=True)
class Record:
    """All of one pour. Times carry the offset of its place."""

    pour_id: int
    made_at: datetime
    timezone: str
    piece: dict[str, Any]
    mix: dict[str, Any]
    place: dict[str, Any]
    mould: dict[str, Any] | None
    sealer: Sealed
    placed_at: datetime
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
    batches: list[Mixed]
    closed_at: datetime | None
    closed_why: str
    learned: dict[str, float]
    steps: list[StepTold]
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

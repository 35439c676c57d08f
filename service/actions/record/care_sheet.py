"""What the owner of a piece is told: what it is, from when it bears what, how it is cared for."""

from dataclasses import dataclass
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

from sqlmodel import Session

from models.facts.care import HOT_PANS_AFTER_H, RAIN_AFTER_H
from models.message import Message
from models.records import Projection
from models.simulation.scenario import Done
from models.steps import registry
from service.actions.windows import scenario_rows
from service.answers import StepWindowResponse, read_answer
from service.queries.pours import load_pour
from service.queries.projections import latest

NO_COAT = Message("not_known_yet_since", {"reason": Message("last_coat_unplanned")})


@dataclass(frozen=True)
class FromWhen:
    """From when the piece bears something; `at` None: not known yet, and `why` says what for."""

    what: Message
    at: datetime | None
    why: Message | None = None


@dataclass(frozen=True)
class CareSheet:
    """Everything the sheet says that depends on the piece."""

    pour_id: int
    piece: str
    shape: Message
    mass_kg: float | None
    mix: str  # its class
    placed_at: datetime
    sealer_known: bool
    chemistry: str | None
    coats: int
    coats_done: int
    reseal_years: tuple[float, float]
    from_when: tuple[FromWhen, ...]
    computed_at: datetime | None
    closed_why: str
    timezone: str


def care_sheet(session: Session, pour_id: int) -> CareSheet:
    """The sheet of a pour as its newest projection stands."""
    rows, row = load_pour(session, pour_id), latest(session, pour_id)
    pour, piece, mix, place, sealer = rows.pour, rows.piece, rows.mix, rows.place, rows.sealer
    system = scenario_rows.sealer_of(sealer)
    sheet = system.resolved(base=piece.shape != "panel")
    zone = ZoneInfo(place.timezone)
    rain_after_h = 0.0 if system.chemistry is None else RAIN_AFTER_H[system.chemistry]
    done_steps = [scenario_rows.done_of(one) for one in rows.done]
    return CareSheet(
        pour_id=pour.id,
        piece=piece.name,
        shape=scenario_rows.shape_of(piece).described,
        mass_kg=read_answer(row.answer).pour.mass_kg if row else None,
        mix=mix.kind,
        placed_at=pour.placed_at.astimezone(zone),
        sealer_known=sealer is not None,
        chemistry=system.chemistry,
        coats=sheet.coats,
        coats_done=sum(registry.coat_number(one.step) is not None for one in done_steps),
        reseal_years=sheet.reseal_years,
        from_when=_from_when(row, done_steps, sheet.coats, rain_after_h, zone),
        computed_at=row.checked_at.astimezone(zone) if row else None,
        closed_why=pour.closed_why if pour.closed_at is not None else "",
        timezone=place.timezone,
    )


def _from_when(
    row: Projection | None, done: list[Done], coats: int, rain_after_h: float, zone: ZoneInfo
) -> tuple[FromWhen, ...]:
    windows = {step.step: step for step in read_answer(row.answer).steps} if row else {}
    marked = {one.step: one.at for one in done}

    def of(step: str, bears: str, hours_more: float = 0.0, why: Message | None = None) -> FromWhen:
        what = Message(bears)
        at = marked.get(step) or _safe_at(windows.get(step))
        if at is not None:
            return FromWhen(what, (at + timedelta(hours=hours_more)).astimezone(zone))
        return FromWhen(what, None, why or _because(windows.get(step)))

    last = f"coat-{coats}"
    return (
        of("light-use", "bears_light_use"),
        of(last, "bears_rain", rain_after_h, NO_COAT),
        of(last, "bears_heat", HOT_PANS_AFTER_H, NO_COAT),
        of("full-use", "bears_full_use"),
        of("first-heating", "bears_fire"),
    )


def _safe_at(step: StepWindowResponse | None) -> datetime | None:
    """The sure hour; a blocked step has none, whatever was told of it before."""
    return None if step is None or step.state == "blocked" else step.earliest.safe


def _because(step: StepWindowResponse | None) -> Message:
    if step is None or not step.reasons:
        return Message("not_known_yet")
    first = step.reasons[0].message
    return Message("not_known_yet_since", {"reason": first})

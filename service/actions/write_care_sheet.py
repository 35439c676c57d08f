"""What the owner of a piece is told: what it is, from when it bears what, how it is cared for."""

from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any
from zoneinfo import ZoneInfo

from sqlmodel import Session

from models.facts.care import CARE, HOT_PANS_AFTER_H, Care
from models.facts.cements import CLASSES
from models.facts.sealers import CHEMISTRIES
from models.projection.scenario import Done
from models.records import Projection
from service.actions import _scenario
from service.queries.pours import load_pour
from service.queries.projections import latest

NO_COAT = "not known yet: the last coat is not planned"


@dataclass(frozen=True)
class FromWhen:
    """From when the piece bears something; `at` None: not known yet, and `why` says what for."""

    what: str
    at: datetime | None
    why: str = ""


@dataclass(frozen=True)
class CareSheet:
    """Everything the sheet says that depends on the piece."""

    pour_id: int
    piece: str
    words: str
    mass_kg: float | None
    mix_words: str
    placed_at: datetime
    sealer_told: bool
    chemistry: str
    coats: int
    coats_done: int
    care: Care
    reseal_years: tuple[float, float]
    from_when: tuple[FromWhen, ...]
    reckoned_at: datetime | None
    closed_why: str
    timezone: str


def care_sheet(session: Session, pour_id: int) -> CareSheet:
    """The sheet of a pour as its newest projection stands."""
    rows, row = load_pour(session, pour_id), latest(session, pour_id)
    pour, piece, mix, place, sealer = rows.pour, rows.piece, rows.mix, rows.place, rows.sealer
    system = _scenario.sealer_of(sealer)
    typical = CHEMISTRIES[system.chemistry]
    coats = system.coats or typical.coats
    zone = ZoneInfo(place.timezone)
    marks = [_scenario.done_of(one) for one in rows.done]
    return CareSheet(
        pour_id=pour.id,
        piece=piece.name,
        words=_scenario.shape_of(piece).words,
        mass_kg=row.answer["pour"].get("mass_kg") if row else None,
        mix_words=CLASSES[mix.kind].words,
        placed_at=pour.placed_at.astimezone(zone),
        sealer_told=sealer is not None,
        chemistry=typical.words,
        coats=coats,
        coats_done=sum(one.step.startswith("coat-") for one in marks),
        care=CARE[system.chemistry],
        reseal_years=typical.reseal_years,
        from_when=_from_when(row, marks, coats, CARE[system.chemistry].rain_after_h, zone),
        reckoned_at=row.checked_at.astimezone(zone) if row else None,
        closed_why=pour.closed_why if pour.closed_at is not None else "",
        timezone=place.timezone,
    )


def _from_when(
    row: Projection | None, done: list[Done], coats: int, rain_after_h: float, zone: ZoneInfo
) -> tuple[FromWhen, ...]:
    told = {step["step"]: step for step in row.answer["steps"]} if row else {}
    marked = {one.step: one.at for one in done}

    def of(step: str, what: str, hours_more: float = 0.0, why: str = "") -> FromWhen:
        at = marked.get(step) or _sure(told.get(step))
        if at is not None:
            return FromWhen(what, (at + timedelta(hours=hours_more)).astimezone(zone))
        return FromWhen(what, None, why or _because(told.get(step)))

    last = f"coat-{coats}"
    return (
        of("light-use", "light use: a lamp, a plant, a cold cup"),
        of(last, "rain and wet cloths", rain_after_h, NO_COAT),
        of(last, "hot cups and cleaners", HOT_PANS_AFTER_H, NO_COAT),
        of("full-use", "full use and full load"),
        of("first-heating", "first small fire, where it stands by one"),
    )


def _sure(step: dict[str, Any] | None) -> datetime | None:
    """The sure hour; a blocked step has none, whatever was told of it before."""
    if step is None or step["state"] == "blocked" or step["earliest"]["p90"] is None:
        return None
    return datetime.fromisoformat(step["earliest"]["p90"])


def _because(step: dict[str, Any] | None) -> str:
    return "not known yet" if step is None else f"not known yet: {step['because'].split(';')[0]}"

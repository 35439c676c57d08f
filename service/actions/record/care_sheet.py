"""What the owner of a piece is told: what it is, from when it bears what, how it is cared for."""

from dataclasses import dataclass
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

from sqlmodel import Session

from models.facts.care import HOT_PANS_AFTER_H
from models.message import Message
from models.piece.shape import like
from models.records import Projection
from models.simulation.scenario import Done
from models.steps import registry
from service.actions.windows import scenario_rows
from service.answers import StepWindowResponse, read_answer
from service.queries.pours import load_pour, photos_of
from service.queries.projections import latest
from service.queries.rows import find_shop

HOLLOW = ("box",)  # shapes that a plant may stand in
HOT_PANS = timedelta(hours=HOT_PANS_AFTER_H)


@dataclass(frozen=True)
class FromWhen:
    """From when the piece bears something; `at` None: not known yet."""

    what: Message
    at: datetime | None


@dataclass(frozen=True)
class CareSheet:
    """Everything the sheet says that depends on the piece."""

    pour_id: int
    shop: str
    piece: str
    photo_id: int | None  # the newest
    shape: Message
    mass_kg: float | None
    mix: str  # its class
    placed_at: datetime
    sealer_known: bool
    chemistry: str | None  # of what goes on last
    under: tuple[str, ...]  # of the products beneath it
    coats: int
    coats_done: int
    reseal_years: tuple[float, float]
    from_when: tuple[FromWhen, ...]
    computed_at: datetime | None
    closed_why: str
    timezone: str
    coated_at: datetime | None  # its last coat
    holds_soil: bool
    in_frost: bool
    burner: bool
    latitude: float | None
    longitude: float | None


def care_sheet(session: Session, pour_id: int) -> CareSheet:
    """The sheet of a pour as its newest projection stands."""
    rows, row = load_pour(session, pour_id), latest(session, pour_id)
    photos = photos_of(session, pour_id)
    pour, piece, mix, place, sealer = rows.pour, rows.piece, rows.mix, rows.place, rows.sealer
    systems = [scenario_rows.sealer_of(one) for one in (sealer, *rows.then)]
    sheets = [one.resolved(base=like(piece.shape) != "panel") for one in systems]
    coats = sum(one.coats for one in sheets)
    zone = ZoneInfo(place.timezone)
    done_steps = [scenario_rows.done_of(one) for one in rows.done]
    return CareSheet(
        pour_id=pour.id,
        shop=find_shop(session).name,
        piece=piece.name,
        photo_id=photos[-1].id if photos else None,
        shape=scenario_rows.shape_of(piece).described,
        mass_kg=read_answer(row.answer).pour.mass_kg if row else None,
        mix=mix.kind,
        placed_at=pour.placed_at.astimezone(zone),
        sealer_known=sealer is not None,
        chemistry=systems[-1].chemistry,
        under=tuple(one.chemistry or "" for one in systems[:-1]),
        coats=coats,
        coats_done=sum(registry.coat_number(one.step) is not None for one in done_steps),
        reseal_years=min(one.reseal_years for one in sheets),
        from_when=_from_when(row, done_steps, coats, zone),
        computed_at=row.checked_at.astimezone(zone) if row else None,
        closed_why=pour.closed_why if pour.closed_at is not None else "",
        timezone=place.timezone,
        coated_at=next(
            (one.at.astimezone(zone) for one in done_steps if one.step == f"coat-{coats}"),
            None,
        ),
        holds_soil=piece.shape in HOLLOW,
        in_frost=piece.exposed_to_frost,
        burner=piece.burner,
        latitude=place.latitude,
        longitude=place.longitude,
    )


def _from_when(
    row: Projection | None, done: list[Done], coats: int, zone: ZoneInfo
) -> tuple[FromWhen, ...]:
    """The hours of the piece's own page, and hot cups some days after its last coat, never before
    light use."""
    windows = {step.step: step for step in read_answer(row.answer).steps} if row else {}
    marked = {one.step: one.at for one in done}

    def at(step: str) -> datetime | None:
        found = marked.get(step) or _safe_at(windows.get(step))
        return None if found is None else found.astimezone(zone)

    light, last = at("light-use"), at(f"coat-{coats}")
    hot = None if light is None or last is None else max(light, last + HOT_PANS)
    return (
        FromWhen(Message("bears_rain"), at("rain-safe")),
        FromWhen(Message("bears_light_use"), light),
        FromWhen(Message("bears_heat"), hot),
        FromWhen(Message("bears_full_use"), at("full-use")),
        FromWhen(Message("bears_fire"), at("first-heating")),
    )


def _safe_at(step: StepWindowResponse | None) -> datetime | None:
    """The sure hour; a blocked step has none, whatever was told of it before."""
    return None if step is None or step.state == "blocked" else step.earliest.safe

"""Projections: what was told of a pour, and when."""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from sqlalchemy import ScalarSelect
from sqlalchemy.orm import aliased, defer
from sqlmodel import Session, col, func, select
from sqlmodel.sql.expression import SelectOfScalar

from models.message import Message
from models.records import Job, Mould, Place, Pour, Projection, StepDone
from service.queries.poured import piece_label
from service.queries.pours import ACTIVE


@dataclass(frozen=True)
class Head:
    """A pour under way without its answer; `version` moves whenever that may have changed."""

    pour_id: int
    piece: str
    placed_at: datetime
    place_id: int
    place: str
    place_kind: str
    projection_id: int | None
    checked_at: datetime | None
    due_at: datetime | None
    asked: int | None
    mould: str | None = None
    turnaround_h: float | None = None

    @property
    def label(self) -> str:
        """What it is called, as `piece_label` says it."""
        return f"{self.piece} #{self.pour_id}"

    @property
    def version(self) -> tuple[object, ...]:
        return self.projection_id, self.checked_at, self.asked


WITHOUT_BANDS = defer(Projection.concrete)  # type: ignore[arg-type]


def latest(session: Session, pour_id: int) -> Projection | None:
    """The newest projection of a pour."""
    return session.exec(
        select(Projection)
        .where(Projection.pour_id == pour_id)
        .order_by(col(Projection.id).desc())
        .limit(1)
    ).one_or_none()


def one_before(session: Session, row: Projection) -> Projection | None:
    """The projection of the same pour that it followed, without its hourly bands."""
    return session.exec(
        select(Projection)
        .where(Projection.pour_id == row.pour_id, col(Projection.id) < row.id)
        .options(WITHOUT_BANDS)
        .order_by(col(Projection.id).desc())
        .limit(1)
    ).one_or_none()


def first(session: Session, pour_id: int, count: int) -> Sequence[Projection]:
    """The first projections of a pour, without their hourly bands."""
    return session.exec(
        select(Projection)
        .where(Projection.pour_id == pour_id)
        .options(WITHOUT_BANDS)
        .order_by(col(Projection.id))
        .limit(count)
    ).all()


def moves(session: Session, pour_id: int) -> list[tuple[datetime, Message]]:
    """When the windows of a pour moved, and why."""
    found = session.exec(
        select(Projection.made_at, Projection.moved)
        .where(Projection.pour_id == pour_id, col(Projection.moved).is_not(None))
        .order_by(col(Projection.id))
    )
    return [(at, Message(**moved)) for at, moved in found if moved is not None]


def before_done(session: Session, pour_id: int) -> dict[str, Projection]:
    """The newest projection before each step that is done, without its hourly bands."""
    projection, done = Projection, StepDone
    newest = session.exec(
        select(done.step, func.max(projection.id))
        .join(
            projection,
            (col(projection.pour_id) == done.pour_id) & (col(projection.made_at) <= done.at),
        )
        .where(done.pour_id == pour_id, col(done.undone_at).is_(None))
        .group_by(done.step)
    ).all()
    found = session.exec(
        select(projection)
        .where(col(projection.id).in_({key for _, key in newest}))
        .options(WITHOUT_BANDS)
    ).all()
    by_key = {row.id: row for row in found}
    return {step: by_key[key] for step, key in newest}


def newest_ids() -> SelectOfScalar[int]:
    """The key of the newest projection of each pour, to be put into a statement."""
    return select(func.max(Projection.id)).group_by(col(Projection.pour_id))


def _newest_of_pour() -> ScalarSelect[int]:
    """The key of the newest projection of the pour of the row around it, found by its index."""
    one = aliased(Projection)
    wanted = select(func.max(one.id)).where(one.pour_id == Pour.id)
    return wanted.correlate(Pour).scalar_subquery()


def first_ids() -> SelectOfScalar[int]:
    """The key of the first projection of each pour, to be put into a statement."""
    return select(func.min(Projection.id)).group_by(col(Projection.pour_id))


def of_active(session: Session) -> list[tuple[Pour, str, Place, Projection | None]]:
    """Every pour under way, the newest first, with what it is called, its place, and its newest
    projection without the hourly bands."""
    found = session.exec(
        select(Pour, Place, Projection)
        .join(Place, col(Place.id) == Pour.place_id)
        .join(
            Projection,
            (col(Projection.pour_id) == Pour.id) & (col(Projection.id) == _newest_of_pour()),
            isouter=True,
        )
        .where(ACTIVE)
        .options(WITHOUT_BANDS)
        .order_by(col(Pour.placed_at).desc())
    )
    return [(pour, piece_label(pour), place, row) for pour, place, row in found]


def heads_of_active(session: Session) -> list[Head]:
    """Every pour under way, the newest first, in one statement and without a single answer."""
    found = session.exec(
        select(  # type: ignore[call-overload]
            Pour.id,
            col(Pour.poured)["piece"]["name"].as_string(),
            Pour.placed_at,
            Place.id,
            Place.name,
            Place.kind,
            Projection.id,
            Projection.checked_at,
            Job.due_at,
            Job.asked,
            Mould.name,
            Mould.turnaround_h,
        )
        .join(Place, col(Place.id) == Pour.place_id)
        .join(Mould, col(Mould.id) == Pour.mould_id, isouter=True)
        .join(
            Projection,
            (col(Projection.pour_id) == Pour.id) & (col(Projection.id) == _newest_of_pour()),
            isouter=True,
        )
        .join(Job, (col(Job.pour_id) == Pour.id) & (Job.kind == "projection"), isouter=True)
        .where(ACTIVE)
        .order_by(col(Pour.placed_at).desc(), col(Pour.id).desc())
    )
    return [Head(*row) for row in found]


def answers_by_id(session: Session, ids: Collection[int]) -> Mapping[int, dict[str, Any]]:
    """Stored answers by the key of their projection."""
    if not ids:
        return {}
    wanted = select(Projection.id, Projection.answer).where(col(Projection.id).in_(ids))
    return {key: dict(answer) for key, answer in session.exec(wanted)}


def with_hours_at(session: Session, place_id: int) -> list[tuple[Pour, str, Projection]]:
    """Pours under way at a place with what each is called and every projection that has its
    hourly bands, the oldest first."""
    found = session.exec(
        select(Pour, Projection)
        .join(Projection, col(Projection.pour_id) == Pour.id)
        .where(
            Pour.place_id == place_id,
            ACTIVE,
            col(Projection.concrete).is_not(None),
        )
        .order_by(col(Projection.id))
    )
    return [(pour, piece_label(pour), row) for pour, row in found]


def last_look(session: Session, pour_id: int) -> tuple[object, ...]:
    """What the newest projection of a pour is known by: it changes with all that it rests on."""
    projected = session.execute(
        select(Projection.id, Projection.checked_at)
        .where(Projection.pour_id == pour_id)
        .order_by(col(Projection.id).desc())
        .limit(1)
    ).first()
    asked = session.execute(
        select(Job.asked).where(Job.pour_id == pour_id, Job.kind == "projection")
    ).first()
    return (*(projected or ()), *(asked or ()))


def newest_of(session: Session, pour_ids: Collection[int]) -> dict[int, Projection]:
    """The newest projection of each of these pours, without its hourly bands."""
    if not pour_ids:
        return {}
    newest = newest_ids().where(col(Projection.pour_id).in_(pour_ids))
    wanted = select(Projection).where(col(Projection.id).in_(newest)).options(WITHOUT_BANDS)
    return {row.pour_id: row for row in session.exec(wanted)}

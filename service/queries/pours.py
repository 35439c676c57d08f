"""Pours and what was logged about them."""

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from datetime import datetime

from sqlalchemy import ColumnElement
from sqlalchemy.orm import defer
from sqlmodel import Session, col, func, or_, select
from sqlmodel.sql.expression import SelectOfScalar

from models.records import (
    Batch,
    Photo,
    Pour,
    ProtectionPeriod,
    Reading,
    StepDone,
    StrengthTest,
)
from models.records.reading import AIR_KINDS
from service.queries.part import WHOLE, Part
from service.queries.poured import Poured, piece_label, poured
from service.queries.rows import find, find_shop, key_in, of_pour

ACTIVE = col(Pour.closed_at).is_(None)


@dataclass(frozen=True)
class PourRows(Poured):
    """One pour as it was poured, with all that was logged about it, the oldest first."""

    pour: Pour
    protections: Sequence[ProtectionPeriod]
    readings: Sequence[Reading]
    tests: Sequence[StrengthTest]
    batches: Sequence[Batch]
    steps: Sequence[StepDone]  # those that were taken back too

    @property
    def label(self) -> str:
        """What it is called: its piece, and its number in the shop."""
        return piece_label(self.pour)

    @property
    def done(self) -> list[StepDone]:
        """Steps that stand as done."""
        return [row for row in self.steps if row.undone_at is None]

    def end(self, now: datetime) -> datetime:
        """Now; for a closed pour when it was closed, or what was seen of it later."""
        if self.pour.closed_at is None:
            return now
        times = [row.at for row in self.readings]
        times += [row.at for row in self.tests]
        times += [row.at for row in self.steps]
        return min(now, max([self.pour.closed_at, *times]))


def load_pour(session: Session, pour_id: int, *, spare: bool = False) -> PourRows:
    """The one loader of a pour; NoSuchRow where there is none.

    spare : with the readings of instruments that lie so near others that nothing counts them
    """
    pour = find(session, Pour, pour_id, "pour_id")
    return PourRows(
        **vars(poured(session, pour)),
        pour=pour,
        protections=of_pour(session, ProtectionPeriod, pour_id, "from_at"),
        readings=readings_of(session, pour, spare=spare),
        tests=of_pour(session, StrengthTest, pour_id),
        batches=of_pour(session, Batch, pour_id),
        steps=of_pour(session, StepDone, pour_id),
    )


def readings_of(session: Session, pour: Pour, *, spare: bool) -> Sequence[Reading]:
    """Readings that count for a pour: its own, and of the air of its place until it is closed."""
    since = col(Reading.at) >= pour.placed_at  # in both halves, so that each goes by its index
    shared = (col(Reading.place_id) == pour.place_id) & col(Reading.kind).in_(AIR_KINDS) & since
    if pour.closed_at is not None:
        shared &= col(Reading.at) <= pour.closed_at
    wanted = select(Reading).where(or_((col(Reading.pour_id) == pour.id) & since, shared))
    if not spare:
        wanted = wanted.where(col(Reading.spare).is_(False))
    return session.exec(wanted.order_by(col(Reading.at), col(Reading.id))).all()


def zone_of(session: Session, pour_id: int) -> str:
    """The time zone in which the hours of a pour are typed and told: the shop's."""
    find(session, Pour, pour_id, "pour_id")
    return find_shop(session).timezone


def newest(session: Session, piece_id: int | None = None) -> Pour | None:
    """The pour that was logged last, of a piece or of any."""
    wanted = select(Pour).order_by(col(Pour.id).desc()).limit(1)
    if piece_id is not None:
        wanted = wanted.where(Pour.piece_id == piece_id)
    return session.exec(wanted).one_or_none()


def placed_before(session: Session, pour: Pour) -> Pour | None:
    """The last pour of the same piece that was placed before one."""
    wanted = select(Pour).where(Pour.piece_id == pour.piece_id, Pour.placed_at < pour.placed_at)
    order = col(Pour.placed_at).desc(), col(Pour.id).desc()
    return session.exec(wanted.order_by(*order).limit(1)).one_or_none()


def newest_in(session: Session, mould_id: int) -> Pour | None:
    """The pour that was logged last into a mould."""
    wanted = select(Pour).where(Pour.mould_id == mould_id).order_by(col(Pour.id).desc()).limit(1)
    return session.exec(wanted).one_or_none()


def last_of_pieces(session: Session) -> dict[int, int]:
    """By the key of a piece that of its newest pour."""
    wanted = select(Pour.piece_id, func.max(Pour.id)).group_by(col(Pour.piece_id))
    return dict(session.exec(wanted).all())


def newest_of_pieces(session: Session, piece_ids: Collection[int]) -> Sequence[Pour]:
    """Of each of these pieces the pour that was logged last."""
    newest_ids = select(func.max(Pour.id)).where(col(Pour.piece_id).in_(piece_ids))
    wanted = select(Pour).where(col(Pour.id).in_(newest_ids.group_by(col(Pour.piece_id))))
    return session.exec(wanted).all() if piece_ids else []


def page_of(
    session: Session,
    part: Part,
    *,
    active: bool | None = None,
    before_id: int | None = None,
    q: str = "",
) -> Sequence[Pour]:
    """Pours, the newest first.

    active : True those not closed, False the others, None all
    q : its number, or a part of the name of its piece, in small or capital letters
    """
    wanted = select(Pour)
    if q:
        wanted = wanted.where(_called(q))
    if active is not None:
        wanted = wanted.where(ACTIVE if active else ~ACTIVE)
    if before_id is not None:
        wanted = wanted.where(Pour.id < before_id)
    return part.rows(session, wanted, col(Pour.id), newest_first=True)


def _called(q: str) -> ColumnElement[bool]:
    key = key_in(q.removeprefix("#"))
    name = col(Pour.poured)["piece"]["name"].as_string()
    named = name.icontains(q, autoescape=True)
    return named if key is None else or_(named, Pour.id == key)


def recently_closed(session: Session, count: int = 12) -> list[tuple[Pour, str]]:
    """The newest pours that are closed, with what each is called."""
    wanted = select(Pour).where(~ACTIVE).order_by(col(Pour.closed_at).desc()).limit(count)
    return [(row, piece_label(row)) for row in session.exec(wanted)]


def active_ids(pours: ColumnElement[bool]) -> SelectOfScalar[int]:
    """Keys of the pours under way of which a condition holds, to be put into a statement."""
    return select(Pour.id).where(pours, ACTIVE)


def active_where(session: Session, pours: ColumnElement[bool]) -> Sequence[Pour]:
    """The pours under way of which a condition holds."""
    return session.exec(select(Pour).where(pours, ACTIVE)).all()


def made_of(session: Session, noun: str, key: int) -> Sequence[Pour]:
    """The pours under way that name a row of a noun of the shop."""
    return active_where(session, col(getattr(Pour, f"{noun}_id")) == key)


def places_in_use(session: Session) -> Sequence[int]:
    """Keys of the places where a pour is under way."""
    return session.exec(select(Pour.place_id).where(ACTIVE).distinct()).all()


def active_at(session: Session, place_id: int) -> Sequence[Pour]:
    """Pours under way at a place, the newest first."""
    wanted = select(Pour).where(Pour.place_id == place_id, ACTIVE)
    return session.exec(wanted.order_by(col(Pour.placed_at).desc())).all()


def oldest_active_at(session: Session, place_id: int) -> datetime | None:
    """When the oldest pour under way at a place was placed."""
    return session.exec(
        select(func.min(Pour.placed_at)).where(Pour.place_id == place_id, ACTIVE)
    ).one()


def steps_done(session: Session, pour_id: int) -> Sequence[StepDone]:
    """Steps of a pour that stand as done."""
    return session.exec(
        select(StepDone).where(StepDone.pour_id == pour_id, col(StepDone.undone_at).is_(None))
    ).all()


def tile_before(session: Session, pour_id: int, at: datetime, but: int) -> float | None:
    """What the witness tile of a pour weighed last by then [g]; but : the key of another reading"""
    return session.exec(
        select(Reading.mass_g)
        .where(
            Reading.pour_id == pour_id,
            Reading.kind == "tile",
            col(Reading.wrong).is_(False),
            Reading.at <= at,
            Reading.id != but,
        )
        .order_by(col(Reading.at).desc(), col(Reading.id).desc())
        .limit(1)
    ).first()


def covers_at(session: Session, pour_id: int, at: datetime) -> Sequence[ProtectionPeriod]:
    """Covers that lie on a piece at an instant."""
    table = ProtectionPeriod
    return session.exec(
        select(table).where(
            table.pour_id == pour_id,
            table.from_at < at,
            col(table.to_at).is_(None) | (col(table.to_at) > at),
        )
    ).all()


def covers_out(session: Session, now: datetime) -> Sequence[ProtectionPeriod]:
    """Covers that lie on pieces of open pours, or are to, and are not off yet."""
    table = ProtectionPeriod
    return session.exec(
        select(table)
        .join(Pour)
        .where(col(Pour.closed_at).is_(None), col(table.to_at).is_(None) | (col(table.to_at) > now))
        .order_by(col(table.id))
    ).all()


def covers_until(session: Session, pour_id: int, at: datetime) -> Sequence[ProtectionPeriod]:
    """Covers that came off a piece at an instant."""
    table = ProtectionPeriod
    return session.exec(select(table).where(table.pour_id == pour_id, table.to_at == at)).all()


def photos_of(session: Session, pour_id: int, part: Part = WHOLE) -> Sequence[Photo]:
    """What is known of the photos of a pour, oldest first; their contents stay where they are."""
    wanted = select(Photo).where(Photo.pour_id == pour_id)
    wanted = wanted.options(defer(Photo.content))  # type: ignore[arg-type]
    return part.rows(session, wanted, col(Photo.at), col(Photo.id))

"""Moulds of one kind, and what went wrong with them."""

from collections.abc import Collection, Iterable

from sqlalchemy.orm import defer
from sqlmodel import Session, col, or_, select

from models.records import Mould, MouldFault
from models.records.mould import BROKEN
from service.queries.part import WHOLE, Part


def alike(session: Session, mould: Mould) -> list[Mould]:
    """The moulds of its kind that are in use, itself among them, by name: each another of the
    same one, or built of the same board for the same piece."""
    first = mould.alike_id or mould.id
    kind = [col(Mould.id) == first, col(Mould.alike_id) == first]
    if mould.piece_id is not None:
        same = (Mould.piece_id == mould.piece_id) & (Mould.material == mould.material)
        kind.append(same & (Mould.thickness_mm == mould.thickness_mm))  # type: ignore[arg-type]
    wanted = select(Mould).where(or_(*kind), col(Mould.archived_at).is_(None))
    return list(session.exec(wanted.order_by(Mould.name)))


def faults(
    session: Session, mould_ids: Collection[int], part: Part = WHOLE
) -> dict[int, list[MouldFault]]:
    """By the key of a mould its faults, the newest first; photos stay where they are."""
    found: dict[int, list[MouldFault]] = {key: [] for key in mould_ids}
    if not mould_ids:
        return found
    wanted = select(MouldFault).where(
        col(MouldFault.mould_id).in_(mould_ids), col(MouldFault.removed_at).is_(None)
    )
    wanted = wanted.options(defer(MouldFault.content))  # type: ignore[arg-type]
    for row in part.rows(
        session, wanted, col(MouldFault.at), col(MouldFault.id), newest_first=True
    ):
        found[row.mould_id].append(row)
    return found


def is_broken(wrong: Iterable[MouldFault]) -> bool:
    """Whether one of these faults of a mould keeps it from being filled until it is mended."""
    return any(one.kind == BROKEN and one.mended_at is None for one in wrong)


def broken(session: Session, mould_ids: Collection[int]) -> set[int]:
    """Those of these moulds that are not to be filled."""
    return {key for key, wrong in faults(session, mould_ids).items() if is_broken(wrong)}

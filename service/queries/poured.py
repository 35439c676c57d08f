"""What was poured: piece, mix, mould, sealer and place as they stood, kept with the pour.

A row of the shop that is changed later changes no pour, unless that is asked for.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import time
from typing import Any, TypeVar

from sqlmodel import Session, col, select

from models.records import Mix, Mould, Owned, Piece, Place, Pour, Sealer
from models.records.mix import MixBase
from models.records.mould import MouldBase
from models.records.piece import PieceBase
from models.records.place import PlaceBase
from models.records.sealer import SealerBase
from service.queries.rows import find

R = TypeVar("R", bound=Owned)
TABLES: Mapping[str, type[Owned]] = {
    "piece": Piece,
    "mix": Mix,
    "place": Place,
    "mould": Mould,
    "sealer": Sealer,
}
KEPT: Mapping[type[Owned], set[str]] = {
    Mix: {*MixBase.model_fields, "label", "cement", "recipe"},
    Piece: {*PieceBase.model_fields, "openings", "faces_told", "inserts"},
    Place: {*PlaceBase.model_fields, "timezone"},
    Mould: set(MouldBase.model_fields),
    Sealer: set(SealerBase.model_fields),
}
FIRST_OF_PIECE = {
    "name",
    "shape",
    "length_mm",
    "width_mm",
    "thickness_mm",
    "height_mm",
    "wall_mm",
    "exposed_to_frost",
    "openings",
}
# what copies of older pours lack: it was not told of them, whatever the row says by now
NEWER: Mapping[type[Owned], set[str]] = {
    Piece: KEPT[Piece] - FIRST_OF_PIECE,
    Sealer: {"dry_rh_pct", "next_after_h", "dwell_h", "price_l"},
}
THEN = "sealer_then"  # copies of the products over the sealer, by their key
CLOCKS = ("heated_from", "heated_to")  # a document holds them as text


@dataclass(frozen=True)
class Poured:
    """Rows as they were poured. They are in no session: what is written to them is not stored."""

    piece: Piece
    mix: Mix
    place: Place
    mould: Mould | None
    sealer: Sealer | None
    then: tuple[Sealer, ...]


def copy_of(row: Owned) -> dict[str, Any]:
    """What a pour keeps of a row."""
    values = {name: getattr(row, name) for name in KEPT[type(row)]}
    return {n: v.isoformat() if isinstance(v, time) else v for n, v in values.items()}


def keep(session: Session, pour: Pour) -> None:
    """The pour takes a copy of every row that it names and has none of."""
    kept = dict(pour.poured)
    for noun, table in TABLES.items():
        key = getattr(pour, f"{noun}_id")
        if key is None:
            kept.pop(noun, None)
        elif noun not in kept:
            kept[noun] = copy_of(find(session, table, key, f"{noun}_id"))
    before = kept.pop(THEN, {})
    if pour.sealer_then:
        kept[THEN] = {
            str(key): before.get(str(key)) or copy_of(find(session, Sealer, key, THEN))
            for key in pour.sealer_then
        }
    pour.poured = kept


def let_go(pour: Pour, nouns: list[str]) -> None:
    """The pour names other rows of these nouns: it has no copy of them yet."""
    pour.poured = {noun: copy for noun, copy in pour.poured.items() if noun not in nouns}


def take(pour: Pour, row: Owned) -> None:
    """The pour was poured with the row as it stands now."""
    noun = next(noun for noun, table in TABLES.items() if isinstance(row, table))
    pour.poured = {**pour.poured, noun: copy_of(row)}


def named_by(session: Session, pours: Iterable[Pour]) -> list[Owned]:
    """Every row that some pours name, asked for once a table: while they are held, `poured` finds
    them without asking again."""
    keys: dict[str, set[int | None]] = {noun: set() for noun in TABLES}
    for pour in pours:
        for noun in TABLES:
            keys[noun].add(getattr(pour, f"{noun}_id"))
        keys["sealer"] |= set(pour.sealer_then)
    found: list[Owned] = []
    for noun, table in TABLES.items():
        found += session.exec(select(table).where(col(table.id).in_(keys[noun] - {None})))
    return found


def poured(session: Session, pour: Pour) -> Poured:
    """What was poured; of a pour that is only asked about, the rows as they stand."""

    def of(noun: str) -> Any:
        key = getattr(pour, f"{noun}_id")
        if key is None:
            return None
        return _as_kept(find(session, TABLES[noun], key, f"{noun}_id"), pour.poured.get(noun, {}))

    kept = pour.poured.get(THEN, {})
    then = [
        _as_kept(find(session, Sealer, key, THEN), kept.get(str(key), {}))
        for key in pour.sealer_then
    ]
    return Poured(**{noun: of(noun) for noun in TABLES}, then=tuple(then))


def _as_kept(row: R, kept: Mapping[str, Any]) -> R:
    clocks = {name: time.fromisoformat(kept[name]) for name in CLOCKS if kept.get(name)}
    values = {name: getattr(row, name) for name in type(row).model_fields}
    for name in NEWER.get(type(row), set()) - kept.keys() if kept else ():
        values[name] = type(row).model_fields[name].get_default(call_default_factory=True)
    return type(row)(**{**values, **kept, **clocks})


def piece_name(pour: Pour) -> str:
    """The name of the piece as it was poured."""
    return str(pour.poured["piece"]["name"])


def piece_label(pour: Pour) -> str:
    """What a pour is called wherever two could be alike: its piece, and its number in the shop."""
    return f"{piece_name(pour)} #{pour.id}"

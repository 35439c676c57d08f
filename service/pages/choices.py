"""Piece, mix and place of a pour: rows to choose, the last preselected, or described anew."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any, TypeVar

from sqlmodel import Session

from models.records import (
    Mix,
    Mould,
    Owned,
    Piece,
    Place,
    Pour,
    ProtectionPeriod,
    Row,
    Sealer,
    Shop,
)
from service import region
from service.actions.pours import doubtful
from service.actions.shop.set_up_shop import change_shop, save_mix, save_piece, save_place
from service.nouns import mix, piece, place
from service.nouns.form import NEW, Control, Form
from service.nouns.pour import MOST_THEN
from service.pages import where
from service.pages.form_post import FormPost, refuse_faults
from service.queries.poured import TABLES
from service.queries.pours import newest
from service.queries.rows import by_name, find, find_shop, free_name, of_pour
from service.words import Reader

T = TypeVar("T", bound=Owned)
TEMPERATURES = doubtful.NIGHT
SAVES: dict[
    str, tuple[Callable[[Session, datetime, Mapping[str, Any]], Row], Mapping[str, str]]
] = {
    "piece_id": (save_piece, piece.NAMES),
    "mix_id": (save_mix, mix.NAMES),
    "place_id": (save_place, {}),
}


THEN, LEAST_THEN = "then", 2  # fields of the products over a sealer, and how many are asked


@dataclass(frozen=True)
class Choices:
    """What the shop has to choose from, and what a piece was poured with the last time."""

    pieces: Sequence[Piece]
    mixes: Sequence[Mix]
    places: Sequence[Place]
    moulds: Sequence[Mould]
    sealers: Sequence[Sealer]
    last: Pour | None  # of the piece, where it was poured before; else of any
    taken: Mapping[str, int | str | None]  # key of each row that is preselected
    last_cover: str
    zone: str
    then_told: Sequence[int] = ()
    like: Pour | None = None

    def field(self, name: str, label: str, rows: Sequence[Row], none: str = "") -> Control:
        """A choice of rows, one preselected; `none` names the empty choice."""
        options: list[tuple[str, str]] = [("", none)] if none else []
        options += [(str(row.id), row.name) for row in rows]  # type: ignore[attr-defined]
        if name != "sealer_id":
            options.append((NEW, "a new one"))
        taken = str(self.taken.get(name) or "")
        default = taken if taken in dict(options) else options[0][0]
        return Control(name, label, "key", options=tuple(options), needed=not none, default=default)

    def rows(self) -> list[Control]:
        """Piece, mix and place."""
        return [
            self.field("piece_id", "Piece", self.pieces),
            self.field("mix_id", "Mix", self.mixes),
            self.field("place_id", "Place", self.places),
        ]

    def mould(self) -> Control:
        return self.field("mould_id", "Mould", self.moulds, "a usual melamine board")

    def sealer(self) -> Control:
        return self.field("sealer_id", "Sealer to come", self.sealers, "not chosen yet")

    def then(self) -> list[Control]:
        """What goes on over it, one after the other; nothing is asked where there is but one."""
        told = self.then_told
        if len(self.sealers) < 2 and not told:
            return []
        options = (("", "nothing more"), *((str(row.id), row.name) for row in self.sealers))
        count = min(max(len(told) + 1, LEAST_THEN), MOST_THEN)
        return [
            Control(f"{THEN}{k}", "Then", "key", options=options, default=_at(told, k))
            for k in range(count)
        ]


def choices(
    session: Session,
    piece_id: int | str | None = None,
    pour: Pour | None = None,
    like: Pour | None = None,
) -> Choices:
    """What there is to choose from.

    piece_id : whose last pour preselects the rest, or a new one
    pour : one that is corrected: its rows are offered though they were put away
    like : one of the piece that is poured again: it preselects the rest, and its rows are offered
    """
    newest_of = newest(session, piece_id) if isinstance(piece_id, int) else None
    last = like or newest_of or newest(session)
    own = last is not None and piece_id in (None, last.piece_id)
    laid = of_pour(session, ProtectionPeriod, last.id, "from_at") if last and own else []
    own_rows = {noun: getattr(pour or like, f"{noun}_id", None) for noun in TABLES}
    moulds = _offered(session, Mould, own_rows["mould"])
    taken: dict[str, int | str | None] = {
        f"{noun}_id": getattr(last, f"{noun}_id", None) for noun in TABLES
    }
    if piece_id is not None and not own:  # never poured: what is of the shop, and a mould built so
        built = (mould.id for mould in moulds if mould.piece_id == piece_id)
        taken |= {"piece_id": piece_id, "sealer_id": None, "mould_id": next(built, None)}
    return Choices(
        pieces=_offered(session, Piece, own_rows["piece"]),
        mixes=_offered(session, Mix, own_rows["mix"]),
        places=_offered(session, Place, own_rows["place"]),
        moulds=moulds,
        sealers=_offered(session, Sealer, own_rows["sealer"]),
        last=last,
        taken=taken,
        last_cover=laid[0].kind if laid else "none",
        zone=find_shop(session).timezone,
        then_told=_then_of(pour or (last if own else None)),
        like=like,
    )


def then_chosen(form: Form) -> list[int]:
    """The products that were chosen over the sealer, in their order."""
    chosen = (form.value(name) for name in form.fields if name.startswith(THEN))
    return [int(key) for key in chosen if key]


def then_typed(pour: Pour) -> dict[str, list[str]]:
    """The same as the form of a pour shows them."""
    return {f"{THEN}{k}": [_at(pour.sealer_then, k)] for k in range(MOST_THEN)}


def _then_of(pour: Pour | None) -> Sequence[int]:
    return () if pour is None else pour.sealer_then


def _at(keys: Sequence[int], k: int) -> str:
    return str(keys[k]) if k < len(keys) else ""


def _offered(session: Session, table: type[T], own: int | None) -> list[T]:
    """Rows in use by name, and that of the pour at hand."""
    rows = list(by_name(session, table))
    if own is not None and own not in {row.id for row in rows}:
        rows.append(find(session, table, own))
    return rows


def chosen_fields(have: Choices, town: str = "") -> list[Control]:
    """Piece, mix and place: rows to choose, or the fields of a new one; town : as it was typed"""
    return [
        *have.rows(),
        *piece.controls(),
        *mix.controls(),
        *place.controls(have.zone),
        *where.controls(town),
    ]


def chosen_rows(session: Session, post: FormPost, form: Form, have: Choices) -> dict[str, int]:
    """Keys of the chosen piece, mix and place; what was described here is stored first."""
    chosen = {name: form.value(name) for name in ("piece_id", "mix_id", "place_id")}
    new = {name: values for name, values in _described(form).items() if chosen[name] == NEW}
    if not have.places and "place_id" in new:
        _clock_known(form, new["place_id"], have.zone)
    refuse_faults(form)
    now = post.context.now
    for name, values in new.items():
        save, names = SAVES[name]
        noun = name.removesuffix("_id")
        if not form.shown(f"{noun}.name").strip():
            values["name"] = free_name(session, TABLES[noun], values["name"])
        with form.named(f"{noun}.", names):
            row = save(session, now, values)
        chosen[name] = row.id
        if isinstance(row, Place) and row.latitude is not None:
            post.new_places.append(row.id)
        if isinstance(row, Place) and not have.places:  # its clock is that of the shop
            change_shop(session, now, _of_first(find_shop(session), row.timezone, form.reader))
    return chosen


def _of_first(shop: Shop, zone: str, reader: Reader) -> dict[str, Any]:
    """What the shop has of its first place, and of whoever measured there otherwise than is usual
    in its zone."""
    chosen = reader.units.preset if not shop.units and not reader.untold else ""
    units = {"units": chosen} if chosen and chosen != region.units_at(zone) else {}
    return {"timezone": zone, **units}


def _clock_known(form: Form, first: Mapping[str, Any], zone: str) -> None:
    """Every hour is told by the clock of the first place: one that nothing tells is asked for."""
    told = {first["timezone"] or zone} - set(region.NO_PLACE)
    if not told and first["latitude"] is None and not form.wrong:
        form.wrong["place.timezone"] = (
            "Name a town, or choose your time zone: hours are told by it."
        )


def _described(form: Form) -> dict[str, dict[str, Any]]:
    """The new rows' values; only those that were chosen as new are read."""
    out: dict[str, dict[str, Any]] = {}
    if form.shown("piece_id") == NEW:
        out["piece_id"] = piece.values(form, "Piece 1")
    if form.shown("mix_id") == NEW:
        out["mix_id"] = mix.values(form)
    if form.shown("place_id") == NEW:
        out["place_id"] = place.values(form) | where.of_town(form)
    return out

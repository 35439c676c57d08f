"""Piece, mix and place of a pour: rows to choose, the last preselected, or described anew."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from sqlmodel import Session

from models.records import Mix, Mould, Piece, Place, Pour, ProtectionPeriod, Row, Sealer
from service.actions.pours import doubtful
from service.actions.shop.set_up_shop import change_shop, save_mix, save_piece, save_place
from service.nouns import mix, piece, place
from service.nouns.form import NEW, Control, Form
from service.pages.form_post import FormPost, refuse_faults
from service.queries.pours import newest
from service.queries.rows import by_name, find_shop, of_pour, units_of

TEMPERATURES = doubtful.NIGHT
SAVES: dict[
    str, tuple[Callable[[Session, datetime, Mapping[str, Any]], Row], Mapping[str, str]]
] = {
    "piece_id": (save_piece, piece.NAMES),
    "mix_id": (save_mix, mix.NAMES),
    "place_id": (save_place, {}),
}


@dataclass(frozen=True)
class Choices:
    """What the shop has to choose from, and what it took last time."""

    pieces: Sequence[Piece]
    mixes: Sequence[Mix]
    places: Sequence[Place]
    moulds: Sequence[Mould]
    sealers: Sequence[Sealer]
    last: Pour | None
    last_cover: str
    zone: str
    units: str

    def field(self, name: str, label: str, rows: Sequence[Row], none: str = "") -> Control:
        """A choice of rows, the last one taken preselected; `none` names the empty choice."""
        options: list[tuple[str, str]] = [("", none)] if none else []
        options += [(str(row.id), row.name) for row in rows]  # type: ignore[attr-defined]
        taken = str(getattr(self.last, name) or "") if self.last else ""
        known = {key for key, _ in options}
        default = taken if taken in known else (options[0][0] if options else NEW)
        if name != "sealer_id":
            options.append((NEW, "a new one"))
        return Control(name, label, "key", options=tuple(options), needed=not none, default=default)

    def rows(self) -> list[Control]:
        """Piece, mix and place."""
        return [
            self.field("piece_id", "Piece", self.pieces),
            self.field("mix_id", "Mix", self.mixes),
            self.field("place_id", "Place", self.places),
        ]

    def mould(self) -> Control:
        return self.field("mould_id", "Mould", self.moulds, "melamine, 16 mm")

    def sealer(self) -> Control:
        return self.field("sealer_id", "Sealer to come", self.sealers, "not chosen yet")


def choices(session: Session) -> Choices:
    last = newest(session)
    laid = of_pour(session, ProtectionPeriod, last.id, "from_at") if last else []
    return Choices(
        pieces=by_name(session, Piece),
        mixes=by_name(session, Mix),
        places=by_name(session, Place),
        moulds=by_name(session, Mould),
        sealers=by_name(session, Sealer),
        last=last,
        last_cover=laid[0].kind if laid else "none",
        zone=find_shop(session).timezone,
        units=units_of(session),
    )


def chosen_fields(have: Choices) -> list[Control]:
    """Piece, mix and place: rows to choose, or the fields of a new one."""
    return [
        *have.rows(),
        *piece.controls(),
        *mix.controls(),
        *place.controls(have.zone),
    ]


def chosen_rows(session: Session, post: FormPost, form: Form, have: Choices) -> dict[str, int]:
    """Keys of the chosen piece, mix and place; what was described here is stored first."""
    chosen = {name: form.value(name) for name in ("piece_id", "mix_id", "place_id")}
    new = {name: values for name, values in _described(form, have).items() if chosen[name] == NEW}
    refuse_faults(form)
    now = post.context.now
    for name, values in new.items():
        save, names = SAVES[name]
        with form.named(f"{name.removesuffix('_id')}.", names):
            row = save(session, now, values)
        chosen[name] = row.id
        if isinstance(row, Place) and row.latitude is not None:
            post.new_places.append(row.id)
        if isinstance(row, Place) and not have.places:  # its clock is that of the shop
            change_shop(session, now, {"timezone": row.timezone})
    return chosen


def _described(form: Form, have: Choices) -> dict[str, dict[str, Any]]:
    """The new rows' values; only those that were chosen as new are read."""
    out: dict[str, dict[str, Any]] = {}
    if form.shown("piece_id") == NEW:
        out["piece_id"] = piece.values(form, f"Piece {len(have.pieces) + 1}")
    if form.shown("mix_id") == NEW:
        out["mix_id"] = free_name(mix.values(form), have.mixes)
    if form.shown("place_id") == NEW:
        out["place_id"] = free_name(place.values(form), have.places)
    return out


def free_name(values: dict[str, Any], rows: Sequence[Any]) -> dict[str, Any]:
    """A second garage is called Garage 2."""
    names = {row.name for row in rows}
    name, number = values["name"], 1
    while values["name"] in names:
        number += 1
        values["name"] = f"{name} {number}"
    return values

"""The things of the shop: its pieces, mixes, places, moulds and sealers."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Annotated, Any, Literal

from fastapi import APIRouter, Path, Response
from markupsafe import Markup
from sqlmodel import Session

from models.errors import InputError
from models.records import Mix, Mould, Owned, Piece, Place, Row, Sealer
from service.actions.changes import noted
from service.actions.pours import doubtful
from service.actions.shop.calibrate import forget_mix, forget_place
from service.actions.shop.set_up_shop import (
    save_mix,
    save_mould,
    save_piece,
    save_place,
    save_sealer,
)
from service.actions.windows.assumed import usual
from service.actions.windows.scenario_rows import shape_of
from service.nouns import mix, mould, piece, place, sealer
from service.nouns.controls import room, typed_of
from service.nouns.form import Control, Form
from service.pages import assumed, calibrated, flash, poured_too, render, where
from service.pages.details import detail
from service.pages.flash import Landing
from service.pages.form_post import FormPostDep, PageRoute, Refused, refuse_faults
from service.piece_drawing import drawing
from service.queries.pours import made_of
from service.queries.rows import NoSuchRow, by_name, find, find_shop, free_name
from service.request_context import ContextDep, Key, RequestContext
from service.words import spelt

router = APIRouter(prefix="/shop", route_class=PageRoute, include_in_schema=False)
NounKey = Annotated[str, Path(max_length=20)]
KeyOrNew = Literal["new"] | Key


@dataclass(frozen=True)
class Noun:
    """What the shop owns of one kind: its form, and what becomes of what is typed there."""

    plural: str
    table: type[Owned]
    save: Callable[..., Any]
    fields: Callable[[Session, Any], list[Control]]  # of a row, or of a new one
    values: Callable[[Form, int], dict[str, Any]]  # with the number a new one would have
    names: Mapping[str, str] = field(default_factory=dict)
    forget: Callable[..., Any] | None = None


NOUNS = {
    "piece": Noun(
        "Pieces",
        Piece,
        save_piece,
        lambda _, row: piece.controls(
            room(row.openings if row else []), room(row.inserts if row else [])
        ),
        lambda form, number: piece.values(form, f"Piece {number}"),
        piece.NAMES,
    ),
    "mix": Noun(
        "Mixes",
        Mix,
        save_mix,
        lambda _, row: mix.controls(
            *(room(one) for one in ((row.label, row.recipe) if row else ((), ())))
        ),
        lambda form, _: mix.values(form),
        mix.NAMES,
        forget_mix,
    ),
    "place": Noun(
        "Places",
        Place,
        save_place,
        lambda session, _: place.controls(find_shop(session).timezone),
        lambda form, _: place.values(form) | where.of_town(form),
        forget=forget_place,
    ),
    "mould": Noun(
        "Moulds",
        Mould,
        save_mould,
        lambda session, row: mould.controls(
            by_name(session, Piece),
            [one for one in by_name(session, Mould) if row is None or one.id != row.id],
        ),
        lambda form, number: mould.values(form, f"{spelt('Mould', form.reader)} {number}"),
    ),
    "sealer": Noun(
        "Sealers",
        Sealer,
        save_sealer,
        lambda *_: sealer.controls(),
        lambda form, _: sealer.values(form),
    ),
}


@router.get("")
def show(context: ContextDep) -> Response:
    """The things of the shop, each with what tells it from the others."""
    reader = context.reader()
    with context.store.reading() as session:
        shop = find_shop(session)
        lists = [
            (key, noun.plural, [(row, detail(row, reader)) for row in by_name(session, noun.table)])
            for key, noun in NOUNS.items()
        ]
    return render.page("shop.html", title=shop.name, tab="shop", reader=reader, lists=lists)


@router.get("/{noun}/{row_id}")
def ask(noun: NounKey, row_id: KeyOrNew, context: ContextDep) -> Response:
    reader = context.reader()
    with context.store.reading() as session:
        row = _row(session, noun, row_id)
        fields = _fields(session, noun, row)
        if row is None:
            return _noun_page(context, noun, Form.of(fields, None, reader), row_id)
        told = [one.read_by(reader) for one in fields]  # rows still empty hold a usual value
        form = Form.of(fields, _typed(row, noun, told), reader)
        wanting = calibrated.wanting(session, context.now, row, reader)
        away = row.archived_at is not None
    lessons = calibrated.words(row, reader)
    parts = assumed.of_row(noun, usual(row), reader)
    picture = drawing(shape_of(row), row.name, reader) if isinstance(row, Piece) else None
    return _noun_page(
        context,
        noun,
        form,
        row_id,
        lessons=lessons,
        wanting=wanting,
        away=away,
        parts=parts,
        picture=picture,
    )


def _fields(session: Session, noun: str, row: Owned | None, town: str = "") -> list[Control]:
    """Of a row or a new one; town : as it was typed"""
    here = where.controls(town) if noun == "place" else []
    return [*_known(noun).fields(session, row), *here, *poured_too.asked(session, noun, row)]


def _row(session: Session, noun: str, row_id: int | str) -> Owned | None:
    table = _known(noun).table
    return find(session, table, row_id, noun) if isinstance(row_id, int) else None


@router.post("/{noun}/{row_id}/forget")
def forget(noun: NounKey, row_id: Key, post: FormPostDep) -> Response:
    work = _known(noun).forget
    if work is None:
        forgettable = [key for key, one in NOUNS.items() if one.forget]
        raise NoSuchRow("address", noun, "nothing is learned of that", " | ".join(forgettable))

    def store(session: Session) -> Landing:
        with noted(session, _with_pours(session, noun, _row(session, noun, row_id))) as kept:
            row = work(session, post.context.now, row_id)
        page = f"/shop/{noun}/{row_id}"
        return Landing(page, "saved_forgot", {"name": row.name}, flash.UNDO, kept=kept)

    return post.write(Form.of([], post.fields), store)


@router.post("/{noun}/{row_id}")
def save(noun: NounKey, row_id: KeyOrNew, post: FormPostDep) -> Response:
    context, one = post.context, _known(noun)
    with context.store.reading() as session:
        row = _row(session, noun, row_id)
        fields = _fields(session, noun, row, post.text(where.TOWN))
        form = Form.of(fields, post.fields, context.reader())
        count = len(by_name(session, one.table))

    if post.text("draw") and noun == "piece":
        return _drawn(context, form, row_id)

    def store(session: Session) -> Landing:
        values = one.values(form, count + 1)
        if not form.shown(f"{noun}.name").strip():
            values["name"] = free_name(session, one.table, values["name"], row.id if row else None)
        also = poured_too.chosen(form)
        refuse_faults(form)
        before = _with_pours(session, noun, _row(session, noun, row_id))
        with form.named(f"{noun}.", one.names), noted(session, before) as kept:
            saved = one.save(session, context.now, values, row.id if row else None, **also)
        if isinstance(saved, Piece):
            doubtful.ask(doubtful.of_piece(values, "piece."), form.confirmed)
        if isinstance(saved, Place) and saved.latitude is not None:
            post.new_places.append(saved.id)
        told = {"name": saved.name}
        if row is None:
            return Landing("/shop", "saved_new", told, f"/shop/{noun}/{saved.id}/archive")
        return Landing("/shop", "saved_thing", told, flash.UNDO, kept=kept)

    return post.write(form, store, lambda: _noun_page(context, noun, form, row_id, 422))


def _drawn(context: RequestContext, form: Form, row_id: int | str) -> Response:
    """The form as it was typed with the piece drawn, or with what is wrong; nothing is stored."""
    values = piece.values(form, "")
    picture: Markup | None = None
    try:
        refuse_faults(form)
        with form.named("piece.", piece.NAMES):
            picture = drawing(shape_of(Piece(**values)), values["name"], form.reader)
    except InputError as error:
        form.refuse(error)
    except Refused:
        pass
    status = 422 if picture is None else 200
    return _noun_page(context, "piece", form, row_id, status, picture=picture)


def _with_pours(session: Session, noun: str, row: Owned | None) -> list[Row]:
    """A row, and the pours under way of which it is."""
    return [] if row is None else [row, *made_of(session, noun, row.id)]


def _known(noun: str) -> Noun:
    if noun not in NOUNS:
        raise NoSuchRow("address", noun, "nothing is there", " | ".join(NOUNS))
    return NOUNS[noun]


def _typed(row: Owned, noun: str, fields: list[Control]) -> dict[str, list[str]]:
    """A row as if it had been typed."""
    if isinstance(row, Piece):
        return piece.typed(row, fields)
    if isinstance(row, Mix):
        return mix.typed(row, fields)
    return typed_of(row, fields, f"{noun}.")


def _noun_page(
    context: RequestContext,
    noun: str,
    form: Form,
    row_id: int | str,
    status: int = 200,
    lessons: Sequence[str] = (),
    wanting: str = "",
    away: bool = False,
    parts: Sequence[assumed.Part] = (),
    picture: Markup | None = None,
) -> Response:
    return render.page(
        "noun.html",
        status,
        title=spelt(f"{'New' if row_id == 'new' else 'Change the'} {noun}", form.reader),
        tab="shop",
        reader=context.reader(),
        noun=noun,
        words=spelt(NOUNS[noun].plural, form.reader),
        form=form,
        action=f"/shop/{noun}/{row_id}",
        away=away,
        calibrated=lessons,
        wanting=wanting,
        parts=parts,
        picture=picture,
    )

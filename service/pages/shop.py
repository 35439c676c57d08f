"""The shop: its rules and covers, and its places, mixes, moulds, pieces and sealers."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Annotated, Any, Literal

from fastapi import APIRouter, Path, Response
from sqlmodel import Session

from models.errors import InputError
from models.facts.protection import COVERS
from models.records import Mix, Mould, Owned, Piece, Place, Sealer, Shop
from service.actions.pours import doubtful
from service.actions.shop.calibrate import forget_mix, forget_place
from service.actions.shop.set_up_shop import (
    change_shop,
    save_mix,
    save_mould,
    save_piece,
    save_place,
    save_sealer,
)
from service.notify import relay
from service.notify.address import masked
from service.nouns import mix, mould, piece, place, sealer
from service.nouns.controls import listed, room, typed_of
from service.nouns.form import Control, Form
from service.pages import calibrated, poured_too, qr, render, view, weather
from service.pages.form_post import FormPostDep, PageRoute, refuse_faults
from service.queries.pours import recently_closed
from service.queries.projections import of_active
from service.queries.rows import NoSuchRow, by_name, find, find_shop, free_name, units_of
from service.request_context import ContextDep, Key, RequestContext
from service.words import word

router = APIRouter(prefix="/shop", route_class=PageRoute, include_in_schema=False)
NounKey = Annotated[str, Path(max_length=20)]
KeyOrNew = Literal["new"] | Key
ADDRESSES = (3, 10)  # fields for them: at least, and one more than there are, at most
CODES_KNOWN = (
    ("", "those of the place: ACI in the Americas, EN elsewhere"),
    ("ACI", "ACI (306R cold weather, 308R curing)"),
    ("EN", "EN (206 and 13670)"),
)
UNITS = (
    ("", "what is usual in the time zone"),
    ("si", "\u00b0C, mm, kg, litres"),
    ("us", "\u00b0F, inches, pounds, quarts"),
)
CLOCKS = {
    "working_from": "Work begins",
    "working_to": "Work ends",
    "quiet_from": "Quiet from",
    "quiet_to": "Quiet until",
}


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
        lambda _, row: piece.controls(room(row.openings if row else [])),
        lambda form, number: piece.values(form, f"Piece {number}"),
        piece.NAMES,
    ),
    "mix": Noun(
        "Mixes",
        Mix,
        save_mix,
        lambda _, row: mix.controls(room(row.label if row else [])),
        lambda form, _: mix.values(form),
        mix.NAMES,
        forget_mix,
    ),
    "place": Noun(
        "Places",
        Place,
        save_place,
        lambda session, _: place.controls(find_shop(session).timezone),
        lambda form, _: place.values(form),
        forget=forget_place,
    ),
    "mould": Noun(
        "Moulds",
        Mould,
        save_mould,
        lambda session, _: mould.controls(by_name(session, Piece)),
        lambda form, number: mould.values(form, f"Mould {number}"),
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
    with context.store.reading() as session:
        shop = find_shop(session)
        form = Form.of(_shop_fields(shop), None, units_of(session))
        return _shop_page(session, context, shop, form)


def _shop_page(
    session: Session, context: RequestContext, shop: Shop, form: Form, status: int = 200
) -> Response:
    clock = view.Clock(context.now, context.reader(shop.timezone))
    feed = f"/calendar/{shop.feed_token}.ics"
    lists = [(key, noun.plural, by_name(session, noun.table)) for key, noun in NOUNS.items()]
    pours = [(row.id, name, clock(row.placed_at), "") for row, name, _, _ in of_active(session)]
    pours += [
        (row.id, name, clock(row.placed_at), row.closed_why)
        for row, name in recently_closed(session)
    ]
    return render.page(
        "shop.html",
        status,
        title=shop.name,
        tab="shop",
        reader=clock.reader,
        form=form,
        lists=lists,
        pours=pours,
        services=weather.services(context, clock),
        fetched=weather.places(session, clock),
        feed=feed,
        address=context.settings.address,
        feed_code=qr.drawn(qr.address(context.settings, context.settings.address, feed)),
        clocks=tuple(CLOCKS),
        addresses=_address_fields(shop),
    )


def _shop_fields(shop: Shop) -> list[Control]:
    owned = {cover["kind"]: cover for cover in shop.covers}
    warm = owned.get("heated enclosure", {}).get("setpoint_C")
    levels = tuple((f"{percent}", f"{percent} %") for percent in (80, 85, 90, 95, 99))
    kinds = listed({kind: word("cover", kind) for kind in COVERS})
    addresses = dict(zip(_address_fields(shop), shop.notice_addresses, strict=False))
    return [
        Control("name", "Name of the shop", needed=True, default=shop.name),
        Control(
            "timezone", "Time zone", needed=True, default=shop.timezone, hint="as America/New_York"
        ),
        Control("units", "A bare number is in", "choice", options=UNITS, default=shop.units or ""),
        Control(
            "code", "Rules of concrete", "choice", options=CODES_KNOWN, default=shop.code or ""
        ),
        Control(
            "confidence",
            "How sure before a step is called open",
            "choice",
            options=levels,
            default=f"{100 * shop.confidence:.0f}",
            needed=True,
        ),
        *(
            Control(name, words, "clock", default=f"{getattr(shop, name):%H:%M}", needed=True)
            for name, words in CLOCKS.items()
        ),
        Control("covers", "Covers you own", "boxes", options=kinds, default="|".join(owned)),
        Control(
            "setpoint_C",
            "Enclosure kept at",
            default=f"{warm or 15:g} C",
            needed=True,
            dimension="temperature_C",
        ),
        *(
            Control(
                name,
                "Send notices to" if name == "notice0" else "and to",
                default=masked(addresses[name]) if name in addresses else "",
            )
            for name in _address_fields(shop)
        ),
    ]


def _address_fields(shop: Shop) -> list[str]:
    least, most = ADDRESSES
    return [f"notice{k}" for k in range(min(max(least, len(shop.notice_addresses) + 1), most))]


@router.post("")
def change(post: FormPostDep) -> Response:
    context = post.context
    with context.store.reading() as session:
        shop = find_shop(session)
    form = post.form(_shop_fields(shop))
    addresses = _addresses(form, shop, context)

    def store(session: Session) -> str:
        values = form.values(("name", "timezone", "units", "code", *CLOCKS))
        values["confidence"] = int(form.value("confidence") or 90) / 100
        warm = form.value("setpoint_C")
        values["covers"] = _covers(form, find_shop(session), warm)
        values["notice_addresses"] = addresses
        refuse_faults(form)
        change_shop(session, context.now, values)
        return "/shop"

    def again() -> Response:
        with context.store.reading() as session:
            return _shop_page(session, context, find_shop(session), form, 422)

    return post.write(form, store, again)


def _addresses(form: Form, shop: Shop, context: RequestContext) -> list[str]:
    """Those left as they stood, masked, and those typed anew; an emptied one is gone."""
    checked: list[str] = []
    for name in _address_fields(shop):
        typed = form.value(name)
        try:
            if typed:
                allowed = context.settings.allowed_networks
                checked.append(relay.checked(name, typed, shop.notice_addresses, allowed))
        except InputError as error:
            form.refuse(InputError(name, "", error.wrong, error.allowed))
    return list(dict.fromkeys(checked))


def _covers(form: Form, shop: Shop, warm: float | None) -> list[dict[str, Any]]:
    """The ticked kinds; what was told of one before is kept."""
    before = {cover["kind"]: cover for cover in shop.covers}
    out = []
    for kind, _ in form.fields["covers"].options:
        if form.ticked("covers", kind):
            cover = dict(before.get(kind, {"kind": kind}))
            if kind == "heated enclosure":
                cover["setpoint_C"] = warm
            out.append(cover)
    return out


@router.get("/{noun}/{row_id}")
def ask(noun: NounKey, row_id: KeyOrNew, context: ContextDep) -> Response:
    with context.store.reading() as session:
        row = _row(session, noun, row_id)
        fields = [*_known(noun).fields(session, row), *poured_too.asked(session, noun, row)]
        if row is None:
            return _noun_page(context, noun, Form.of(fields, None, units_of(session)), row_id)
        form = Form.of(fields, _typed(row, noun, fields), units_of(session))
        wanting = calibrated.wanting(session, context.now, row)
        away = row.archived_at is not None
    lessons = calibrated.words(row)
    return _noun_page(context, noun, form, row_id, lessons=lessons, wanting=wanting, away=away)


def _row(session: Session, noun: str, row_id: int | str) -> Owned | None:
    table = _known(noun).table
    return find(session, table, row_id, "row_id") if isinstance(row_id, int) else None


@router.post("/{noun}/{row_id}/forget")
def forget(noun: NounKey, row_id: Key, post: FormPostDep) -> Response:
    work = _known(noun).forget
    if work is None:
        forgettable = [key for key, one in NOUNS.items() if one.forget]
        raise NoSuchRow("address", noun, "nothing is learned of that", " | ".join(forgettable))

    def store(session: Session) -> str:
        work(session, post.context.now, row_id)
        return f"/shop/{noun}/{row_id}"

    return post.write(Form.of([], post.fields), store)


@router.post("/{noun}/{row_id}")
def save(noun: NounKey, row_id: KeyOrNew, post: FormPostDep) -> Response:
    context, one = post.context, _known(noun)
    with context.store.reading() as session:
        row = _row(session, noun, row_id)
        fields = [*one.fields(session, row), *poured_too.asked(session, noun, row)]
        form = Form.of(fields, post.fields, units_of(session))
        count = len(by_name(session, one.table))

    def store(session: Session) -> str:
        values = one.values(form, count + 1)
        if not form.shown(f"{noun}.name").strip():
            values["name"] = free_name(session, one.table, values["name"], row.id if row else None)
        also = poured_too.chosen(form)
        refuse_faults(form)
        with form.named(f"{noun}.", one.names):
            saved = one.save(session, context.now, values, row.id if row else None, **also)
        if isinstance(saved, Piece):
            doubtful.ask(doubtful.of_piece(values, "piece."), form.confirmed)
        if isinstance(saved, Place) and saved.latitude is not None:
            post.new_places.append(saved.id)
        return "/shop"

    return post.write(form, store, lambda: _noun_page(context, noun, form, row_id, 422))


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
) -> Response:
    return render.page(
        "noun.html",
        status,
        title=f"{'New' if row_id == 'new' else 'Change the'} {noun}",
        tab="shop",
        reader=context.reader(),
        noun=noun,
        words=NOUNS[noun].plural,
        form=form,
        action=f"/shop/{noun}/{row_id}",
        away=away,
        calibrated=lessons,
        wanting=wanting,
    )

"""The shop: its rules and covers, and its places, mixes, moulds, pieces and sealers."""

from collections.abc import Callable, Sequence
from typing import Annotated, Any

from fastapi import APIRouter, Path, Response
from sqlmodel import Session

from models.errors import InputError
from models.facts.protection import COVERS
from models.records import Mix, Mould, Piece, Place, Row, Sealer, Shop
from service.actions import doubtful
from service.actions.learn import forget_mix, forget_place
from service.actions.set_up_shop import (
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
from service.pages import learned, render, view, weather
from service.pages.form_post import (
    ContextDep,
    FormPost,
    FormPostDep,
    PageRoute,
    Refused,
    refuse_faults,
)
from service.queries.pours import recently_closed
from service.queries.projections import of_active
from service.queries.rows import NoSuchRow, by_name, find, find_shop, units_of
from service.request_context import RequestContext
from service.words import word

router = APIRouter(prefix="/shop", route_class=PageRoute, include_in_schema=False)
Noun = Annotated[str, Path(max_length=20)]
RowId = Annotated[int, Path(ge=1, le=2**31 - 1)]
ADDRESSES = (3, 10)  # fields for them: at least, and one more than there are, at most
LISTED = (
    ("piece", "Pieces", Piece),
    ("mix", "Mixes", Mix),
    ("place", "Places", Place),
    ("mould", "Moulds", Mould),
    ("sealer", "Sealers", Sealer),
)
SAVE: dict[str, Callable[..., Any]] = {
    "piece": save_piece,
    "mix": save_mix,
    "place": save_place,
    "mould": save_mould,
    "sealer": save_sealer,
}
FORGET: dict[str, Callable[..., Any]] = {"mix": forget_mix, "place": forget_place}
NAMES = {"piece": piece.NAMES, "mix": mix.NAMES}
TABLES = {noun: table for noun, _, table in LISTED}
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


@router.get("")
def show(context: ContextDep) -> Response:
    with context.store.reading() as session:
        shop = find_shop(session)
        form = Form.of(_shop_fields(shop), None, units_of(session))
        return _shop_page(session, context, shop, form)


def _shop_page(
    session: Session, context: RequestContext, shop: Shop, form: Form, status: int = 200
) -> Response:
    clock = view.Clock(context.now, shop.timezone)
    lists = [(noun, words, by_name(session, table)) for noun, words, table in LISTED]
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
        form=form,
        lists=lists,
        pours=pours,
        services=weather.services(context, clock),
        fetched=weather.places(session, clock),
        feed=f"/calendar/{shop.feed_token}.ics",
        address=context.settings.address,
        clocks=tuple(CLOCKS),
        addresses=_address_fields(shop),
    )


def _shop_fields(shop: Shop) -> list[Control]:
    owned = {cover["kind"]: cover for cover in shop.covers}
    warm = owned.get("heated enclosure", {}).get("setpoint_C")
    sure = tuple((f"{share}", f"{share} %") for share in (80, 85, 90, 95, 99))
    kinds = listed({kind: word("cover", kind) for kind in COVERS})
    addresses = dict(zip(_address_fields(shop), shop.notice_addresses, strict=False))
    return [
        Control("name", "Name of the shop", needed=True, default=shop.name),
        Control(
            "timezone", "Time zone", needed=True, default=shop.timezone, hint="as America/New_York"
        ),
        Control("units", "A bare number is in", "choice", options=UNITS, default=shop.units or ""),
        Control(
            "confidence",
            "How sure before a step is called open",
            "choice",
            options=sure,
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
        shop, units = find_shop(session), units_of(session)
    form = Form.of(_shop_fields(shop), post.fields, units)
    addresses = _addresses(form, shop, context)

    def store(session: Session) -> str:
        values = form.values(("name", "timezone", "units", *CLOCKS))
        values["confidence"] = int(form.value("confidence") or 90) / 100
        warm = form.value("setpoint_C")
        values["covers"] = _covers(form, find_shop(session), warm)
        values["notice_addresses"] = addresses
        refuse_faults(form)
        change_shop(session, context.now, values)
        return "/shop"

    try:
        return post.write(form, store)
    except Refused:
        with context.store.reading() as session:
            return _shop_page(session, context, find_shop(session), form, 422)


def _addresses(form: Form, shop: Shop, context: RequestContext) -> list[str]:
    """Those left as they stood, masked, and those typed anew; an emptied one is gone."""
    told: list[str] = []
    for name in _address_fields(shop):
        typed = form.value(name)
        try:
            if typed:
                allowed = context.settings.allowed_networks
                told.append(relay.checked(name, typed, shop.notice_addresses, allowed))
        except InputError as error:
            form.refuse(InputError(name, "", error.wrong, error.allowed))
    return list(dict.fromkeys(told))


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


@router.get("/{noun}/new")
def ask_new(noun: Noun, context: ContextDep) -> Response:
    with context.store.reading() as session:
        form = Form.of(_fields(session, noun, None), None, units_of(session))
    return _noun_page(noun, form, None)


@router.get("/{noun}/{row_id}")
def ask_row(noun: Noun, row_id: RowId, context: ContextDep) -> Response:
    with context.store.reading() as session:
        row = find(session, TABLES[_known(noun)], row_id, "row_id")
        fields = _fields(session, noun, row)
        units = units_of(session)
        wanting = learned.wanting(session, context.now, row)
    form = Form.of(fields, _typed(row, noun, fields), units)
    return _noun_page(noun, form, row_id, taught=learned.words(row), wanting=wanting)


@router.post("/{noun}/{row_id}/forget")
def forget(noun: Noun, row_id: RowId, post: FormPostDep) -> Response:
    if noun not in FORGET:
        raise NoSuchRow("address", noun, "nothing is learned of that", " | ".join(FORGET))

    def store(session: Session) -> str:
        FORGET[noun](session, post.context.now, row_id)
        return f"/shop/{noun}/{row_id}"

    return post.write(Form.of([], post.fields), store)


@router.post("/{noun}/new")
def add(noun: Noun, post: FormPostDep) -> Response:
    return _save(noun, post, None)


@router.post("/{noun}/{row_id}")
def edit(noun: Noun, row_id: RowId, post: FormPostDep) -> Response:
    return _save(noun, post, row_id)


def _save(noun: str, post: FormPost, row_id: int | None) -> Response:
    context = post.context
    with context.store.reading() as session:
        table = TABLES[_known(noun)]
        row = find(session, table, row_id, "row_id") if row_id is not None else None
        form = Form.of(_fields(session, noun, row), post.fields, units_of(session))
        count = len(by_name(session, table))
    made: dict[str, int] = {}

    def store(session: Session) -> str:
        values = _values(noun, form, count + 1)
        refuse_faults(form)
        with form.named(f"{noun}.", NAMES.get(noun)):
            saved = SAVE[noun](session, context.now, values, row_id)
        if noun == "piece":
            doubtful.ask(doubtful.of_piece(values, "piece."), form.confirmed)
        if noun == "place" and saved.latitude is not None:
            made["place"] = saved.id
        return "/shop"

    def then() -> None:
        if "place" in made:
            context.fetch_weather(made["place"])

    try:
        return post.write(form, store, then)
    except Refused:
        return _noun_page(noun, form, row_id, 422)


def _known(noun: str) -> str:
    if noun not in TABLES:
        raise NoSuchRow("address", noun, "nothing is there", " | ".join(TABLES))
    return noun


def _fields(session: Session, noun: str, row: Any) -> list[Control]:
    _known(noun)
    if noun == "piece":
        return piece.controls(room(row.openings if row else []))
    if noun == "mix":
        return mix.controls(room(row.label if row else []))
    if noun == "place":
        return place.controls(find_shop(session).timezone)
    if noun == "mould":
        return mould.controls(by_name(session, Piece))
    return sealer.controls()


def _typed(row: Row, noun: str, fields: list[Control]) -> dict[str, list[str]]:
    """A row as if it had been typed."""
    if isinstance(row, Piece):
        return piece.typed(row, fields)
    if isinstance(row, Mix):
        return mix.typed(row, fields)
    return typed_of(row, fields, f"{noun}.")


def _values(noun: str, form: Form, number: int) -> dict[str, Any]:
    if noun == "piece":
        return piece.values(form, f"Piece {number}")
    if noun == "mix":
        return mix.values(form)
    if noun == "place":
        return place.values(form)
    if noun == "mould":
        return mould.values(form, f"Mould {number}")
    return sealer.values(form)


def _noun_page(
    noun: str,
    form: Form,
    row_id: int | None,
    status: int = 200,
    taught: Sequence[str] = (),
    wanting: str = "",
) -> Response:
    words = {name: plural for name, plural, _ in LISTED}[noun]
    return render.page(
        "noun.html",
        status,
        title=f"{'Change the' if row_id else 'New'} {noun}",
        tab="shop",
        noun=noun,
        words=words,
        form=form,
        action=f"/shop/{noun}/{row_id or 'new'}",
        learned=taught,
        wanting=wanting,
    )

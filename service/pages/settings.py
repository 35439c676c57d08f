"""How the shop works and how it is told: hours, rules, covers, reminders, calendar, weather."""

from collections.abc import Mapping
from dataclasses import replace
from typing import Annotated, Any

from fastapi import APIRouter, Path, Response
from sqlmodel import Session

from models.errors import InputError
from models.facts.protection import COVERS
from models.message import Message
from models.piece.turning import GEAR
from models.planning.orders import COUNTED
from models.records import Shop
from service.actions.changes import noted
from service.actions.notices import channels
from service.actions.shop import broker
from service.actions.shop.set_up_shop import change_shop
from service.notify import address as addresses
from service.notify import push, relay
from service.notify.channel import Channel
from service.nouns.controls import as_typed, listed
from service.nouns.form import Control, Form
from service.pages import flash, notice_fields, qr, render, view, weather
from service.pages.flash import Landing
from service.pages.form_post import FormPostDep, PageRoute, refuse_faults
from service.pages.reminder_address import KINDS, kind_of_form, made_address
from service.queries import deliveries
from service.queries.rows import NoSuchRow, find_shop
from service.region import usual_currency
from service.request_context import ContextDep, RequestContext
from service.words import say, word

Fingerprint = Annotated[str, Path(max_length=20)]
router = APIRouter(prefix="/shop", route_class=PageRoute, include_in_schema=False)
PAGE = "/shop/settings"
MOST_ADDRESSES = 10
CODES_KNOWN = (
    ("", "those of the place: ACI in the Americas, EN elsewhere"),
    ("ACI", "ACI (306R cold weather, 308R curing)"),
    ("EN", "EN (206 and 13670)"),
)
UNITS = (
    ("", "what is usual in the time zone"),
    ("si", "\u00b0C, mm, kg, litres"),
    ("us", "\u00b0F, inches, pounds, gallons"),
)
LEVELS = (
    ("80", "4 in 5: earlier, with more blemishes"),
    ("85", "17 in 20"),
    ("90", "9 in 10: usual"),
    ("95", "19 in 20"),
    ("99", "99 in 100: later, nearly never a blemish"),
)
CLOCKS = {
    "working_from": "Work begins",
    "working_to": "Work ends",
    "quiet_from": "Quiet from",
    "quiet_to": "Quiet until",
}
PRICES = {
    "mould_day": "A day of a mould",
    "cover": "Laying a cover, once",
    "heat_day": "A day of heating",
    "kWh": "A kWh, where no day is priced",
    "blanket_night": "A night of a blanket",
    "bag": "A bag of mix",
    "sealer_l": "A litre of sealer",
    "hour": "An hour of mine",
    "helper_hour": "An hour of a helper",
    "lost_piece": "A lost piece",
}
GEAR_KNOWN = listed({name: word("gear", name) for name in GEAR})
WEEK = {
    "mon": "Monday",
    "tue": "Tuesday",
    "wed": "Wednesday",
    "thu": "Thursday",
    "fri": "Friday",
    "sat": "Saturday",
    "sun": "Sunday",
}
RULES = ("name", "timezone", "units", "code", "hands", "working_days", *CLOCKS)
COUNT = "cover_count."
COUNTED_WORDS = {
    "film": "Films",
    "wet cover": "Wet covers",
    "blanket": "Blankets",
    "foam": "Sets of foam boards",
    "heated enclosure": "Heated enclosures",
}
MIXING = ("mixer_l", "scale_g", "heater_kW")


@router.get("/settings")
def show(context: ContextDep) -> Response:
    with context.store.reading() as session:
        shop = find_shop(session)
        form = Form.of(_fields(shop), None, context.reader())
        return _page(session, context, shop, form)


def _page(
    session: Session,
    context: RequestContext,
    shop: Shop,
    form: Form,
    status: int = 200,
    tried: Mapping[str, tuple[bool, str]] | None = None,
    adding: Form | None = None,
) -> Response:
    clock = view.Clock(context.now, context.reader(shop.timezone))
    feed = f"/calendar/{shop.feed_token}.ics"
    mute = {one.name: one.reason for one in channels.failing(session, context.now)}
    phones = [
        (push.name_of(one.endpoint), one.device or "A phone") for one in deliveries.phones(session)
    ]
    stored = [(addresses.fingerprint(one), addresses.masked(one)) for one in shop.notice_addresses]
    return render.page(
        "settings.html",
        status,
        title="Settings",
        tab="shop",
        reader=clock.reader,
        form=form,
        services=weather.services(context, clock),
        fetched=weather.places(session, clock),
        feed=feed,
        feed_code=qr.drawn(qr.address(context.settings, context.settings.address, feed)),
        address=context.settings.address,
        clocks=tuple(CLOCKS),
        prices=[*(f"price.{name}" for name in PRICES), "heater_kW"],
        mixing=MIXING[:2],
        counts=[f"{COUNT}{kind}" for kind in COUNTED],
        stored=stored,
        phones=phones,
        mute=mute,
        away=broker.away(session, context.settings, context.now),
        mute_ids={name.partition(":")[2]: why for name, why in mute.items()},
        tried=tried or {},
        adding=adding or Form.of(kind_of_form(), None, context.reader()),
        kinds=KINDS,
    )


def _fields(shop: Shop) -> list[Control]:
    owned = {cover["kind"]: cover for cover in shop.covers}
    warm = owned.get("heated enclosure", {}).get("setpoint_C")
    kinds = listed({kind: word("cover", kind) for kind in COVERS})
    return [
        Control("name", "Name of the shop", needed=True, default=shop.name),
        Control("timezone", "Time zone", "zone", needed=True, default=shop.timezone),
        Control("units", "Units of the shop", "choice", options=UNITS, default=shop.units or ""),
        Control(
            "code", "Rules of concrete", "choice", options=CODES_KNOWN, default=shop.code or ""
        ),
        Control(
            "confidence",
            "How sure before a step is called safe",
            "choice",
            options=LEVELS,
            default=f"{100 * shop.confidence:.0f}",
            needed=True,
            hint="for blemishes and idle moulds; never less than 19 in 20 where a piece"
            " could be lost or a person hurt",
        ),
        *(
            Control(name, words, "clock", default=f"{getattr(shop, name):%H:%M}", needed=True)
            for name, words in CLOCKS.items()
        ),
        Control(
            "working_days",
            "Days you work",
            "boxes",
            options=listed(WEEK),
            default="|".join(shop.working_days),
        ),
        Control(
            "hands",
            "Hands for pouring and stripping",
            dimension="count",
            default=str(shop.hands),
            needed=True,
            whole=True,
        ),
        Control("covers", "Covers you own", "boxes", options=kinds, default="|".join(owned)),
        *(
            Control(
                f"{COUNT}{kind}",
                COUNTED_WORDS[kind],
                dimension="count",
                default=f"{owned.get(kind, {}).get('count') or ''}",
                whole=True,
            )
            for kind in COUNTED
        ),
        Control(
            "setpoint_C",
            "Enclosure kept at",
            default=f"{warm:g} C" if warm else "15 C or 60 F",
            needed=True,
            dimension="temperature_C",
        ),
        Control(
            "gear",
            "Gear to turn pieces with",
            "boxes",
            options=GEAR_KNOWN,
            default="|".join(shop.gear),
        ),
        Control(
            "lifters",
            "People who lift together",
            dimension="count",
            default=f"{shop.lifters or ''}",
            whole=True,
            hint="left empty: as many as it takes",
        ),
        Control(
            "currency",
            "Currency",
            default=shop.currency or usual_currency(shop.timezone),
            hint="three letters, as USD, EUR or SEK",
            needed=True,
        ),
        *notice_fields.controls(shop),
        _told(shop, "mixer_l", "The mixer holds", "volume_l", "40 l or 1.5 ft3"),
        _told(shop, "scale_g", "The scale reads to", "mass_g", "5 g or 0.2 oz"),
        _told(shop, "heater_kW", "The heater takes, in kW", "count", ""),
        *(
            Control(f"price.{name}", words, dimension="count", default=_price(shop, name))
            for name, words in PRICES.items()
        ),
    ]


def _told(shop: Shop, name: str, label: str, dimension: str, hint: str) -> Control:
    one = Control(name, label, dimension=dimension, hint=hint)
    return replace(one, default=as_typed(one, getattr(shop, name))[0])


def _price(shop: Shop, name: str) -> str:
    return f"{shop.prices[name]:g}" if name in shop.prices else ""


@router.post("")
def change(post: FormPostDep) -> Response:
    context = post.context
    with context.store.reading() as session:
        shop = find_shop(session)
    form = post.form(_fields(shop))

    def store(session: Session) -> Landing:
        values = form.values(RULES)
        values["confidence"] = int(form.value("confidence") or 90) / 100
        warm = form.value("setpoint_C")
        values["covers"] = _covers(form, find_shop(session), warm)
        values |= notice_fields.values(form)
        values["gear"] = [name for name, _ in GEAR_KNOWN if form.ticked("gear", name)]
        values["lifters"] = form.value("lifters")
        values["currency"] = form.shown("currency").strip().upper()
        told = {name: form.value(f"price.{name}") for name in PRICES}
        values |= form.values(MIXING)
        values["prices"] = {name: price for name, price in told.items() if price is not None}
        refuse_faults(form)
        with noted(session, [find_shop(session)]) as kept:
            change_shop(session, context.now, values)
        return Landing(PAGE, "saved_settings", undo=flash.UNDO, kept=kept)

    def again() -> Response:
        with context.store.reading() as session:
            return _page(session, context, find_shop(session), form, 422)

    return post.write(form, store, again)


def _covers(form: Form, shop: Shop, warm: float | None) -> list[dict[str, Any]]:
    """The ticked kinds; what was told of one before is kept."""
    before = {cover["kind"]: cover for cover in shop.covers}
    counts = {kind: form.value(f"{COUNT}{kind}") for kind in COUNTED}
    for kind, count in counts.items():
        if count is not None and not form.ticked("covers", kind):
            allowed = "tick it too, or leave this empty"
            form.refuse(InputError(f"{COUNT}{kind}", count, "not among what you own", allowed))
    out: list[dict[str, Any]] = []
    for kind, _ in form.fields["covers"].options:
        if form.ticked("covers", kind):
            cover = dict(before.get(kind, {"kind": kind}))
            cover.pop("count", None)
            if counts.get(kind) is not None:
                cover["count"] = counts[kind]
            if kind == "heated enclosure":
                cover["setpoint_C"] = warm
            out.append(cover)
    return out


@router.post("/settings/reminders")
def add(post: FormPostDep) -> Response:
    """One more place for reminders, made of what a maker knows: never stored when it cannot be
    sent to."""
    context = post.context
    form = Form.of(kind_of_form(), post.fields, context.reader())

    def store(session: Session) -> Landing:
        shop = find_shop(session)
        if len(shop.notice_addresses) >= MOST_ADDRESSES:
            form.messages.append(f"{MOST_ADDRESSES} are the most: remove one first.")
        given = made_address(form)
        refuse_faults(form)
        new = relay.checked("kind", given, (), context.settings.allowed_networks)
        if new in shop.notice_addresses:
            return Landing(PAGE, "saved_address")
        change_shop(session, context.now, {"notice_addresses": [*shop.notice_addresses, new]})
        undo = f"{PAGE}/reminders/{addresses.fingerprint(new)}/remove"
        return Landing(PAGE, "saved_address", undo=undo)

    def again() -> Response:
        with context.store.reading() as session:
            shop = find_shop(session)
            rules = Form.of(_fields(shop), None, context.reader())
            return _page(session, context, shop, rules, 422, adding=form)

    return post.write(form, store, again)


@router.post("/settings/reminders/{wanted}/remove")
def remove(wanted: Fingerprint, post: FormPostDep) -> Response:
    """No more reminders go there."""

    def store(session: Session) -> Landing:
        shop = find_shop(session)
        gone = _address(shop, wanted)
        rest = [one for one in shop.notice_addresses if one != gone]
        change_shop(session, post.context.now, {"notice_addresses": rest})
        return Landing(PAGE, "saved_no_address", kept={"address": gone})

    return post.write(Form.of([]), store)


@router.post("/settings/restore")
def restore(post: FormPostDep) -> Response:
    """Reminders go to a removed address again, beside those that were added meanwhile."""

    def store(session: Session) -> Landing:
        back = flash.kept(session, post.text("removal"))["address"]
        stored = find_shop(session).notice_addresses
        values = {"notice_addresses": list(dict.fromkeys([*stored, back]))}
        change_shop(session, post.context.now, values)
        return Landing(PAGE, "saved_back")

    return post.write(Form.of([]), store)


def _address(shop: Shop, wanted: str) -> str:
    """The stored address of a fingerprint."""
    found = {addresses.fingerprint(one): one for one in shop.notice_addresses}
    if wanted not in found:
        raise NoSuchRow("address", wanted, "no longer there", "one of those on the page")
    return found[wanted]


@router.post("/settings/retry")
def retry(post: FormPostDep) -> Response:
    """What reached nobody goes out again with the clock's next round."""

    def store(session: Session) -> Landing:
        count = channels.try_again(session, post.context.now)
        return Landing(f"{PAGE}#reminders", "saved_retry", {"count": count})

    return post.write(Form.of([]), store)


@router.post("/settings/test")
def test_reminder(post: FormPostDep) -> Response:
    """Send one, and say at once whether it was taken: kept as a delivery, it tells how that channel
    stands."""
    context, wanted = post.context, post.text("to")[:40]
    with context.store.reading() as session:
        shop = find_shop(session)
        channel = _channel(session, context, shop, wanted)
        reader = context.reader()
    reason = channels.try_out(channel, context.now, reader)
    told = Message("test_failed", {"why": reason}) if reason else Message("test_taken")
    result = (not reason, say(told, reader))
    with context.store.unit_of_work() as session:
        channels.keep_test(session, context.now, channel.name, reason)
    with context.store.reading() as session:
        form = Form.of(_fields(shop), None, reader)
        return _page(session, context, shop, form, tried={wanted: result})


def _channel(session: Session, context: RequestContext, shop: Shop, wanted: str) -> Channel:
    """The channel of a stored address or phone, by what names it on the page."""
    phone = channels.phone_named(deliveries.phones(session), wanted)
    if phone is not None:
        return channels.phone_of(context.settings, phone)
    return channels.relay_of(context.settings, _address(shop, wanted))

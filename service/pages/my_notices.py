"""What I am told, when and where: each person's own, that of the shop until they choose."""

from collections.abc import Mapping
from dataclasses import replace
from typing import Annotated, Any

from fastapi import APIRouter, Path, Response
from fastapi.responses import RedirectResponse
from sqlmodel import Session

from models.records import Person
from service.actions.notices import channels
from service.actions.notices.quiet_hours import OWN, rules_of
from service.actions.people import notices
from service.notify import address as addresses
from service.notify import push, relay
from service.nouns.form import Control, Form
from service.pages import flash, notice_fields, render
from service.pages.flash import Landing
from service.pages.form_post import FormPostDep, PageRoute, refuse_faults
from service.pages.reminder_address import KINDS, kind_of_form, made_address
from service.queries import deliveries
from service.queries.rows import NoSuchRow, find, find_shop
from service.request_context import ContextDep, RequestContext

router = APIRouter(prefix="/me/notices", route_class=PageRoute, include_in_schema=False)
PAGE = "/me/notices"
CLOCKS = {"quiet_from": "Quiet from", "quiet_to": "Quiet until"}
Wanted = Annotated[str, Path(max_length=20)]


@router.get("")
def show(context: ContextDep) -> Response:
    """Where nobody signs in they are the shop's."""
    if context.asker.person_id is None and context.asker.is_owner:
        return RedirectResponse("/shop/settings#reminders", 303)
    with context.store.reading() as session:
        return _page(session, context)


@router.post("")
def change(post: FormPostDep) -> Response:
    context = post.context
    with context.store.reading() as session:
        form = post.form(_fields(session, _me(session, context)))

    def store(session: Session) -> Landing:
        hours = form.values(CLOCKS)
        values = notice_fields.values(form) | hours
        refuse_faults(form)
        return _saved(session, context, values)

    def again() -> Response:
        with context.store.reading() as session:
            return _page(session, context, form, 422)

    return post.write(form, store, again)


@router.post("/usual")
def usual(post: FormPostDep) -> Response:
    """As the shop has them, also where the shop changes them."""

    def store(session: Session) -> Landing:
        return _saved(session, post.context, dict.fromkeys(OWN))

    return post.write(Form.of([]), store)


@router.post("/restore")
def restore(post: FormPostDep) -> Response:
    """As it was before the last save; addresses that were added meanwhile stay."""

    def store(session: Session) -> Landing:
        kept = dict(flash.kept(session, post.text("removal")))
        me = _me(session, post.context)
        if "address" in kept:
            there = [*me.notice_addresses, kept.pop("address")]
            kept["notice_addresses"] = list(dict.fromkeys(there))
        notices.choose(session, me.id, kept)
        return Landing(PAGE, "saved_back")

    return post.write(Form.of([]), store)


@router.post("/addresses")
def add(post: FormPostDep) -> Response:
    """E-mail or a messenger of my own."""
    context = post.context
    form = Form.of(kind_of_form(), post.fields, context.reader())

    def store(session: Session) -> Landing:
        me = _me(session, context)
        given = made_address(form)
        refuse_faults(form)
        new = relay.checked("kind", given, (), context.settings.allowed_networks)
        if new not in me.notice_addresses:
            values = {"notice_addresses": [*me.notice_addresses, new]}
            notices.choose(session, me.id, values)
        undo = f"{PAGE}/addresses/{addresses.fingerprint(new)}/remove"
        return Landing(PAGE, "saved_address", undo=undo)

    def again() -> Response:
        with context.store.reading() as session:
            return _page(session, context, None, 422, adding=form)

    return post.write(form, store, again)


@router.post("/addresses/{wanted}/remove")
def remove(wanted: Wanted, post: FormPostDep) -> Response:
    def store(session: Session) -> Landing:
        me = _me(session, post.context)
        gone = _address(me, wanted)
        rest = [one for one in me.notice_addresses if one != gone]
        notices.choose(session, me.id, {"notice_addresses": rest})
        return Landing(PAGE, "saved_no_address", kept={"address": gone})

    return post.write(Form.of([]), store)


@router.post("/addresses/{wanted}/test")
def test_address(wanted: Wanted, post: FormPostDep) -> Response:
    """Send one, and say at once whether it was taken."""
    context, reader = post.context, post.context.reader()
    with context.store.reading() as session:
        address = _address(_me(session, context), wanted)
    channel = channels.relay_of(context.settings, address)
    why = channels.try_out(channel, context.now, reader)

    def store(session: Session) -> Landing:
        channels.keep_test(session, context.now, channel.name, why)
        return Landing(PAGE, "test_failed" if why else "test_taken", {"why": why})

    return post.write(Form.of([]), store)


def _saved(session: Session, context: RequestContext, values: Mapping[str, Any]) -> Landing:
    me = _me(session, context)
    before = notices.chosen(me)
    notices.choose(session, me.id, values)
    kept = {name: before[name] for name in OWN}
    return Landing(PAGE, "saved_notices", kept=kept)


def _me(session: Session, context: RequestContext) -> Person:
    if context.asker.person_id is None:
        raise NoSuchRow("address", "me", "nobody is signed in", "sign in first")
    return find(session, Person, context.asker.person_id)


def _address(me: Person, wanted: str) -> str:
    """My stored address of a fingerprint."""
    found = {addresses.fingerprint(one): one for one in me.notice_addresses}
    if wanted not in found:
        raise NoSuchRow("address", wanted, "no longer there", "one of those on the page")
    return found[wanted]


def _fields(session: Session, me: Person) -> list[Control]:
    rules = rules_of(find_shop(session), me)
    told = notice_fields.controls(rules)
    if me.may_hear is not None and me.role != "owner":
        kinds = told[0]
        options = tuple(one for one in kinds.options if one[0] in me.may_hear)
        told[0] = replace(kinds, options=options)
    clocks = [
        Control(name, words, "clock", default=f"{getattr(rules, name):%H:%M}", needed=True)
        for name, words in CLOCKS.items()
    ]
    return [*told, *clocks]


def _page(
    session: Session,
    context: RequestContext,
    form: Form | None = None,
    status: int = 200,
    adding: Form | None = None,
) -> Response:
    me, reader = _me(session, context), context.reader()
    mute = {one.name: one.reason for one in channels.failing(session, context.now)}
    phones = [one for one in deliveries.phones(session) if one.person_id == me.id]
    ways = [
        (f"/me/phone/{name}", one.device or "A phone", mute.get(name))
        for one in phones
        for name in [push.name_of(one.endpoint)]
    ]
    ways += [
        (
            f"{PAGE}/addresses/{addresses.fingerprint(one)}",
            addresses.masked(one),
            mute.get(relay.Relay(one).name),
        )
        for one in me.notice_addresses
    ]
    limited = me.may_hear if me.role != "owner" else None
    return render.page(
        "my_notices.html",
        status,
        title="My notices",
        reader=reader,
        form=form or Form.of(_fields(session, me), None, reader),
        adding=adding or Form.of(kind_of_form(), None, reader),
        kinds=KINDS,
        ways=ways,
        own=any(getattr(me, name) is not None for name in OWN),
        limited=limited is not None,
    )

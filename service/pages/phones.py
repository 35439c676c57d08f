"""Reminders on this phone: asked for, tried, taken back; each person has their own."""

from typing import Annotated

from fastapi import APIRouter, Path, Response
from sqlmodel import Session

from models.errors import InputError
from models.message import Message
from models.records import PushSubscription
from service.actions.notices import channels
from service.notify import push
from service.nouns.form import Form
from service.pages import render
from service.pages.flash import Landing
from service.pages.form_post import FormPostDep, PageRoute
from service.queries import deliveries
from service.queries.rows import NoSuchRow
from service.request_context import ContextDep, RequestContext
from service.words import say

router = APIRouter(prefix="/me/phone", route_class=PageRoute, include_in_schema=False)
PAGE = "/me/phone"
GIVEN = ("endpoint", "p256dh", "auth", "address")
LONGEST_DEVICE = 40
NOTES = ("script", "insecure", "unable", "refused", "failed", "here")
Wanted = Annotated[str, Path(max_length=40)]


@router.get("")
def show(context: ContextDep) -> Response:
    reader = context.reader()
    with context.store.reading() as session:
        mute = {one.name: one.reason for one in channels.failing(session, context.now)}
        mine = [
            (name := push.name_of(one.endpoint), one.device or "A phone", mute.get(name))
            for one in _own(session, context)
        ]
    return render.page(
        "phone.html",
        title="Reminders on this phone",
        reader=reader,
        mine=mine,
        push_key=push.public_key(context.settings.data),
        notes={one: say(Message(f"push_{one}"), reader) for one in NOTES},
        asker=context.asker,
    )


@router.post("")
def add(post: FormPostDep) -> Response:
    """This browser takes reminders; its script has asked it and sends what it answered."""
    values = {name: post.text(name) for name in GIVEN}
    values["device"] = "".join(c for c in post.text("device") if c.isprintable())[:LONGEST_DEVICE]
    context = post.context

    def store(session: Session) -> Landing:
        address = values["address"]
        if not address.startswith(("https://", "http://")) or len(address) > 200:
            raise InputError("address", address[:60], "not an address", "that of this page")
        channels.add_phone(session, context.now, context.settings, values, context.asker.person_id)
        return Landing(PAGE, "saved_phone")

    return post.write(Form.of([]), store)


@router.post("/{wanted}/remove")
def remove(wanted: Wanted, post: FormPostDep) -> Response:
    """No more reminders go there; that phone asks anew when it wants them again."""

    def store(session: Session) -> Landing:
        session.delete(_found(session, post.context, wanted))
        return Landing(PAGE, "saved_no_address")

    return post.write(Form.of([]), store)


@router.post("/{wanted}/test")
def test_phone(wanted: Wanted, post: FormPostDep) -> Response:
    """Send one, and say at once whether it was taken."""
    context, reader = post.context, post.context.reader()
    with context.store.reading() as session:
        channel = channels.phone_of(context.settings, _found(session, context, wanted))
    why = channels.try_out(channel, context.now, reader)

    def store(session: Session) -> Landing:
        channels.keep_test(session, context.now, channel.name, why)
        return Landing(PAGE, "test_failed" if why else "test_taken", {"why": why})

    return post.write(Form.of([]), store)


def _own(session: Session, context: RequestContext) -> list[PushSubscription]:
    """The phones of whoever asks: of an owner those of all."""
    asker = context.asker
    return [
        one
        for one in deliveries.phones(session)
        if asker.is_owner or one.person_id == asker.person_id
    ]


def _found(session: Session, context: RequestContext, wanted: str) -> PushSubscription:
    phone = channels.phone_named(_own(session, context), wanted)
    if phone is not None:
        return phone
    raise NoSuchRow("address", wanted, "no longer there", "one of those on the page")

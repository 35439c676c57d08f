"""Who works in the shop: asked to join by a link, let go, and the machines that may come in."""

from collections.abc import Callable

from fastapi import APIRouter, Response
from sqlmodel import Session

from models.records import Person, Place
from models.records.person import ROLES
from models.records.shop import NOTICES
from service.actions.people import join, machines, notices
from service.nouns.form import Control, Form
from service.pages import notice_fields, qr, render, view
from service.pages.flash import Landing
from service.pages.form_post import FormPost, FormPostDep, PageRoute, Refused, refuse_faults
from service.queries import people
from service.queries.rows import by_name, find
from service.request_context import ContextDep, Key, RequestContext

router = APIRouter(prefix="/shop/people", route_class=PageRoute, include_in_schema=False)
PAGE = "/shop/people"
ROLE_WORDS = {
    "owner": "owner: all of it, people and settings too",
    "helper": "helper: logs pours, readings, steps, covers, photos",
    "viewer": "viewer: only looks",
}
KIND_WORDS = (
    ("instrument", "instrument: writes readings of one place, nothing else"),
    ("screen", "screen: shows the pages, writes nothing"),
)
Told = tuple[str, str]  # a secret that is shown once, and what it is for


@router.get("")
def show(context: ContextDep) -> Response:
    return _page(context)


@router.post("/invite")
def invite(post: FormPostDep) -> Response:
    """A link for somebody new, shown this once."""
    form = post.form(_invitation())
    role = form.value("role")
    refused = form.wrong or role is None
    if refused:
        return _page(post.context, 422, invitation=form)
    with post.context.store.unit_of_work() as session:
        code = join.invite(session, post.context.now, str(role), str(form.value("name") or ""))
    return _page(post.context, told=(f"/join/{code}", f"{role}, once, within seven days"))


@router.post("/{person_id}/link")
def link(person_id: Key, post: FormPostDep) -> Response:
    """A link to a new password for who forgot theirs."""
    with post.context.store.unit_of_work() as session:
        person = find(session, Person, person_id)
        code = join.invite(session, post.context.now, person.role, person.name, person.id)
    return _page(post.context, told=(f"/join/{code}", f"{person.name}: a new password, once"))


@router.post("/{person_id}/role")
def role(person_id: Key, post: FormPostDep) -> Response:
    def store(session: Session) -> Landing:
        join.change_role(session, person_id, post.text("role"))
        return Landing(PAGE, "saved_role")

    return _write(post, store)


@router.post("/{person_id}/hears")
def hears(person_id: Key, post: FormPostDep) -> Response:
    """What of the notices a helper or viewer may be told."""

    def store(session: Session) -> Landing:
        person = find(session, Person, person_id)
        before = "|".join(NOTICES if person.may_hear is None else person.may_hear)
        kinds = [kind for text in post.fields.get("hears", []) for kind in text.split("|") if kind]
        notices.let_hear(session, person_id, kinds)
        undo = f"{PAGE}/{person_id}/hears"
        return Landing(PAGE, "saved_hears", {"name": person.name}, undo, {"hears": before})

    return _write(post, store)


@router.post("/{person_id}/out")
def out(person_id: Key, post: FormPostDep) -> Response:
    """Every browser of theirs is signed out."""

    def store(session: Session) -> Landing:
        find(session, Person, person_id)
        join.sign_out_everywhere(session, person_id)
        return Landing(PAGE, "saved_signed_out")

    return post.write(Form.of([]), store)


@router.post("/{person_id}/leave")
def leave(person_id: Key, post: FormPostDep) -> Response:
    def store(session: Session) -> Landing:
        join.leave(session, post.context.now, person_id)
        return Landing(PAGE, "saved_left")

    return _write(post, store)


@router.post("/machines")
def let_in(post: FormPostDep) -> Response:
    """A secret for a machine, shown this once."""
    form = post.form(_machine(post.context))

    def again() -> Response:
        return _page(post.context, 422, machine=form)

    try:
        kind, place = str(form.value("kind")), form.value("place_id")
        refuse_faults(form)
        with post.context.store.unit_of_work() as session:
            made = machines.let_in(
                session,
                post.context.now,
                str(form.value("name") or ""),
                kind,
                int(place) if place and kind == "instrument" else None,
            )
    except Refused:
        return again()
    return _page(post.context, told=(made, f"{form.shown('name')}: a token, shown this once"))


@router.post("/machines/{token_id}/revoke")
def revoke(token_id: Key, post: FormPostDep) -> Response:
    def store(session: Session) -> Landing:
        machines.revoke(session, post.context.now, token_id)
        return Landing(PAGE, "saved_revoked")

    return post.write(Form.of([]), store)


def _write(post: FormPost, work: Callable[[Session], Landing]) -> Response:
    """Done, or the page with what is wrong on top."""
    form = Form.of([], post.fields, post.context.reader())
    return post.write(form, work, lambda: _page(post.context, 422, refused=form))


def _invitation() -> list[Control]:
    roles = tuple((one, ROLE_WORDS[one]) for one in ("helper", "viewer", "owner"))
    return [
        Control("name", "Who is it for?", hint="a note for you; they choose their own name"),
        Control("role", "What may they do?", "radio", options=roles, default="helper", needed=True),
    ]


def _machine(context: RequestContext) -> list[Control]:
    with context.store.reading() as session:
        places = tuple((str(one.id), one.name) for one in by_name(session, Place))
    return [
        Control("name", "Name of the machine", needed=True),
        Control("kind", "Kind", "radio", options=KIND_WORDS, default="instrument", needed=True),
        Control(
            "place_id", "An instrument reads at", "key", options=(("", ""), *places), typed=True
        ),
    ]


def _page(
    context: RequestContext,
    status: int = 200,
    *,
    told: Told | None = None,
    refused: Form | None = None,
    invitation: Form | None = None,
    machine: Form | None = None,
) -> Response:
    clock = view.Clock(context.now, context.reader())
    with context.store.reading() as session:
        present = people.present(session)
        seen = {one.person_id: one.seen_at for one in reversed(people.sign_ins(session))}
        places = {one.id: one.name for one in by_name(session, Place)}
        waiting = people.open_invitations(session, context.now)
        tokens = people.tokens(session)
    link = told is not None and told[0].startswith("/")
    address = context.settings.address + told[0] if told and link else ""
    scanned = qr.address(context.settings, context.settings.address, told[0]) if told else ""
    return render.page(
        "people.html",
        status,
        title="People",
        tab="shop",
        reader=clock.reader,
        asker=context.asker,
        told=told,
        address=address or (told[0] if told else ""),
        code=qr.drawn(scanned) if link else "",
        present=[(one, clock(seen.get(one.id))) for one in present],
        roles=ROLES,
        kinds=[*notice_fields.KINDS_TOLD.items()],
        waiting=[(one.name, one.role, clock(one.until)) for one in waiting],
        tokens=[(one, places.get(one.place_id or 0, ""), clock(one.used_at)) for one in tokens],
        refused=refused or Form.of([]),
        invitation=invitation or Form.of(_invitation(), None, clock.reader),
        machine=machine or Form.of(_machine(context), None, clock.reader),
    )

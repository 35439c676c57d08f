"""What if, and the plan: a cover, heat or an hour is moved and its answer stands beside it; what is
meant stays where its maker has put it until it is put back.
"""

import json
from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import datetime
from typing import Any
from zoneinfo import ZoneInfo

from fastapi import APIRouter, Request, Response
from pydantic import ValidationError
from sqlmodel import Session

from models.air.place import ROOMS
from models.concrete.section import FACES
from models.errors import InputError
from models.facts.protection import COVERS
from models.records import Mix, Pour
from service import words
from service.actions.pours.change_protection import put_on
from service.actions.pours.log_pour import correct_pour
from service.actions.pours.set_plan import set_plan
from service.actions.shop.costs import of_trial
from service.actions.windows.try_plan import HEATED, merged, try_plan
from service.answers import read_answer
from service.nouns import blame
from service.nouns.cover import ProtectionCreate
from service.nouns.moments import PASSES, moment
from service.nouns.plan import PlanEntryWanted, PlanWanted
from service.nouns.what_if import NO_COVER, WhatIfRequest
from service.pages import outlook, page_data, render, view
from service.pages.flash import Landing
from service.pages.form_post import FormPost, FormPostDep, PageRoute
from service.pages.prices import difference
from service.queries.jobs import pours_due
from service.queries.pours import zone_of
from service.queries.rows import by_name, find, find_shop
from service.request_context import ContextDep, Key, RequestContext

router = APIRouter(prefix="/pours/{pour_id}", route_class=PageRoute, include_in_schema=False)
HEATS_C = (5.0, 10.0, 15.0, 20.0)
FIELDS = ("cover", "faces", "from", "until", "heat", "strip_at", "mix_id")
HOURLY, DAYS = 36, 6  # of the hours to choose from: each, then four a day
Options = list[tuple[str, str]]


@dataclass(frozen=True)
class Choice:
    """One thing that can be moved; what is chosen, by default what the plan has."""

    name: str
    label: str
    options: Options
    chosen: str


@router.get("/plan")
def show(pour_id: Key, request: Request, context: ContextDep) -> Response:
    """The controls with their answer, then everything that is meant."""
    return _page(context, pour_id, request.query_params)


@router.get("/plan/answer")
def answer(pour_id: Key, request: Request, context: ContextDep) -> Response:
    """The answer alone, for the script that puts it in place while a thumb moves."""
    found, wrong = _tried(context, pour_id, request.query_params)
    return render.page(
        "plan_answer.html",
        422 if wrong else 200,
        reader=_clock(context, pour_id).reader,
        wrong=wrong,
        told=found,
    )


def _page(
    context: RequestContext, pour_id: int, asked: Mapping[str, str], problem: str = ""
) -> Response:
    with context.store.reading() as session:
        due = pour_id in pours_due(session, context.now)
    data = page_data.of_pour(context, pour_id)
    if data.pour.closed_at is None and (due or data.projection is None):
        context.recompute(pour_id)
        data = page_data.of_pour(context, pour_id)
    clock = _clock(context, pour_id)
    told, wrong = _tried(context, pour_id, asked)
    rows: list[outlook.ActRow] = []
    if data.projection is not None and data.pour.closed_at is None:
        stored = read_answer(data.projection.answer)
        every = tuple(one.step for one in stored.plan)
        found = try_plan(context.store, context.bases, context.now, pour_id, WhatIfRequest(), every)
        rows = outlook.acts(stored.plan, stored.steps, found, clock)
    return render.page(
        "plan.html",
        422 if problem else 200,
        reader=clock.reader,
        title="What if",
        data=data,
        told=told,
        wrong=problem or wrong,
        choices=_choices(context, data, clock, asked),
        acts=rows,
        room=data.place.kind in ROOMS,
    )


def _clock(context: RequestContext, pour_id: int) -> view.Clock:
    with context.store.reading() as session:
        placed_at = find(session, Pour, pour_id, "pour_id").placed_at
        zone = zone_of(session, pour_id)
    return view.Clock(context.now, context.reader(zone, placed_at))


def _tried(
    context: RequestContext, pour_id: int, asked: Mapping[str, str]
) -> tuple[outlook.Outlook | None, str]:
    """The answer to what is chosen; or what is wrong with it."""
    with context.store.reading() as session:
        closed = find(session, Pour, pour_id, "pour_id").closed_at is not None
    if closed:
        return None, "This pour is closed: nothing of it can be moved."
    try:
        wanted = wanted_of(asked)
        found = try_plan(context.store, context.bases, context.now, pour_id, wanted)
    except InputError as error:
        return None, blame.plainly(error, context.reader())
    clock = _clock(context, pour_id)
    with context.store.reading() as session:
        zone = ZoneInfo(zone_of(session, pour_id))
        price = difference(of_trial(found, wanted, find_shop(session), zone), clock.reader)
    return replace(outlook.outlook(found, clock), price=price), ""


def wanted_of(asked: Mapping[str, str]) -> WhatIfRequest:
    """What is chosen on the page. Raises InputError for what no choice says."""
    values: dict[str, Any] = {name: asked[name] for name in FIELDS if asked.get(name)}
    if values.get("cover") in (None, NO_COVER):
        values.pop("faces", None)
    if values.get("cover") == HEATED:
        values.pop("faces", None)
        values.setdefault("heat", "10")
    try:
        for name, kind in (("heat", float), ("mix_id", int)):
            if name in values:
                values[name] = kind(values[name])
        return WhatIfRequest.model_validate(values)
    except (ValidationError, ValueError) as error:
        if isinstance(error, ValidationError):
            name = str(error.errors()[0]["loc"][0])
            raise InputError(
                name, asked.get(name), "not one of the choices", "one of them"
            ) from None
        raise InputError("choice", None, "not one of the choices", "one of them") from None


def _choices(
    context: RequestContext, data: page_data.PourData, clock: view.Clock, asked: Mapping[str, str]
) -> dict[str, Choice]:
    """What can be moved on this pour."""
    with context.store.reading() as session:
        owned = [str(one["kind"]) for one in find_shop(session).covers]
        mixes = by_name(session, Mix)
    begin = max(context.now, data.pour.placed_at)
    thick = [kind for kind in owned if COVERS[kind].R_m2K_W > COVERS["film"].R_m2K_W]
    kinds = dict.fromkeys([*thick, "blanket", "two blankets", HEATED])
    room = data.place.kind in ROOMS
    heats = [(f"{value:g}", clock.measure(value, "temperature_C")) for value in HEATS_C]
    more = " more" if _lies(data, context.now) else ""
    covers = [("", "as planned"), (NO_COVER, f"nothing{more}")]
    covers += [(kind, f"{words.word('cover', kind)}{more}") for kind in kinds]
    listed = (
        Choice("cover", "Cover", covers, ""),
        Choice("faces", "Where", [(one, words.word("faces", one)) for one in FACES], "sides"),
        Choice("from", "From", outlook.hours(begin, HOURLY, DAYS, clock, first="now"), ""),
        Choice("until", "Until", outlook.hours(begin, HOURLY, DAYS, clock, empty="left on"), ""),
        Choice("heat", "Electric heat", [("", "none" if room else "just enough"), *heats], ""),
        Choice(
            "strip_at",
            "Strip",
            outlook.hours(begin, 4 * HOURLY, DAYS, clock, first="at castclock's hour"),
            "",
        ),
        Choice("mix_id", "Mix", [("", data.mix.name)] + _others(mixes, data.mix.id), ""),
    )
    stripped = any(row.step == "strip" for row in data.done)
    gone = {"strip_at"} if stripped else set()
    gone |= {"mix_id"} if len(mixes) < 2 else set()
    return {
        one.name: Choice(one.name, one.label, one.options, asked.get(one.name) or one.chosen)
        for one in listed
        if one.name not in gone
    }


def _lies(data: page_data.PourData, now: datetime) -> bool:
    """Whether a cover is on: what is tried then comes on top of it."""
    return any(
        one.from_at <= now and (one.to_at is None or one.to_at > now) for one in data.protections
    )


def _others(mixes: Any, own: int) -> Options:
    return [(str(row.id), row.name) for row in mixes if row.id != own]


@router.post("/plan")
def do_it(pour_id: Key, post: FormPostDep) -> Response:
    """What was tried becomes the plan."""

    def store(session: Session) -> Landing:
        pour = _open(session, pour_id)
        before = _changed(pour)
        wanted = wanted_of({name: post.text(name) for name in FIELDS})
        entries = merged(_rows(pour), wanted, max(post.context.now, pour.placed_at))
        _keep(session, post.context.now, pour, [one for _, one in entries], wanted.mix_id)
        return before

    return _written(post, pour_id, store)


@router.post("/plan/laid")
def lay(pour_id: Key, post: FormPostDep) -> Response:
    """The cover that was tried lies on the piece now: it is logged, and meant no more."""

    def store(session: Session) -> Landing:
        pour, now = _open(session, pour_id), post.context.now
        wanted = wanted_of({name: post.text(name) for name in FIELDS})
        if wanted.cover in (None, NO_COVER):
            raise InputError("cover", None, "no cover is chosen", "the cover that lies there")
        cover = ProtectionCreate(
            kind=wanted.cover,
            faces=wanted.faces or "top",
            setpoint_C=wanted.heat if wanted.cover == HEATED else None,
            heater="electric" if wanted.cover == HEATED else None,
            to_at=wanted.until_at,
        )
        laid = put_on(session, now, pour_id, cover)
        bare = WhatIfRequest(cover=NO_COVER)
        entries = merged(_rows(pour), bare, now)
        set_plan(session, now, pour_id, PlanWanted(plan=[one for _, one in entries]))
        return Landing(
            f"/pours/{pour_id}/plan",
            "saved_cover",
            undo=f"/pours/{pour_id}/covers/{laid.id}/remove",
        )

    return _written(post, pour_id, store)


@router.post("/plan/move")
def move(pour_id: Key, post: FormPostDep) -> Response:
    """One act is meant at another hour, which stays until it is put back."""

    def store(session: Session) -> Landing:
        pour = _open(session, pour_id)
        before = _changed(pour)
        # what is meant in an hour that comes twice is meant in the later one: no page asks here
        at = moment("at", post.text("at"), zone_of(session, pour_id), PASSES[1])
        entry = _entry(post, at)
        rest = [one for one in _rows(pour) if not _same(one, post)]
        _keep(session, post.context.now, pour, [*rest, entry])
        return before

    return _written(post, pour_id, store)


@router.post("/plan/back")
def put_back(pour_id: Key, post: FormPostDep) -> Response:
    """One act goes back to castclock's hour, or out of the plan where castclock has none."""

    def store(session: Session) -> Landing:
        pour = _open(session, pour_id)
        before = _changed(pour)
        rest = [one for one in _rows(pour) if not _same(one, post)]
        _keep(session, post.context.now, pour, rest)
        return before

    return _written(post, pour_id, store)


@router.post("/plan/clear")
def clear(pour_id: Key, post: FormPostDep) -> Response:
    """Everything that was meant goes back to castclock's hours."""

    def store(session: Session) -> Landing:
        pour = _open(session, pour_id)
        before = _changed(pour)
        _keep(session, post.context.now, pour, [])
        return before

    return _written(post, pour_id, store)


@router.post("/plan/restore")
def restore(pour_id: Key, post: FormPostDep) -> Response:
    """The plan as it was before it was changed."""

    def store(session: Session) -> Landing:
        pour = _open(session, pour_id)
        before = _changed(pour)
        try:
            plan = PlanWanted.model_validate({"plan": json.loads(post.text("plan"))})
        except ValueError:
            raise InputError("plan", None, "cannot be read", "what the page had sent") from None
        mix = post.text("mix_id")
        _keep(session, post.context.now, pour, plan.plan, int(mix) if mix.isdigit() else None)
        return before

    return _written(post, pour_id, store)


def _changed(pour: Pour) -> Landing:
    """That the plan is changed, with the undo that puts back what stood before."""
    page = f"/pours/{pour.id}/plan"
    fields = {"plan": json.dumps(pour.plan), "mix_id": str(pour.mix_id)}
    return Landing(page, "saved_plan", undo=f"{page}/restore", fields=fields)


def _written(post: FormPost, pour_id: int, store: Any) -> Response:
    """The plan page again, with what is wrong above the controls where it was refused."""
    form = post.form([])
    return post.write(
        form,
        store,
        lambda: _page(
            post.context,
            pour_id,
            {name: post.text(name) for name in FIELDS},
            " ".join((*form.messages, *form.wrong.values())),
        ),
    )


def _open(session: Session, pour_id: int) -> Pour:
    pour = find(session, Pour, pour_id, "pour_id")
    if pour.closed_at is not None:
        raise InputError("pour", pour_id, "closed", "a pour that is open; open it again first")
    return pour


def _rows(pour: Pour) -> list[PlanEntryWanted]:
    return [PlanEntryWanted.model_validate(row) for row in pour.plan]


def _entry(post: FormPost, at: datetime) -> PlanEntryWanted:
    """The act of a row, as its form tells it."""
    names = ("step", "cover", "place", "faces", "heat")
    values = {name: post.text(name) for name in names if post.text(name)}
    values |= {"heat": f"{values['heat']} C"} if "heat" in values else {}
    try:
        return PlanEntryWanted.model_validate(values | {"at": at}, strict=False)
    except ValidationError:
        raise InputError("step", post.text("step"), "no act of a plan", "one of the list") from None


def _same(one: PlanEntryWanted, post: FormPost) -> bool:
    """Whether an entry of the plan is the act of a row: of acts done again, the one of its hour."""
    if one.step != post.text("step") or (one.cover or "") != post.text("cover"):
        return False
    return one.cover is None or one.at == datetime.fromisoformat(post.text("was"))


def _keep(
    session: Session,
    now: datetime,
    pour: Pour,
    plan: list[PlanEntryWanted],
    mix_id: int | None = None,
) -> None:
    if mix_id is not None and mix_id != pour.mix_id:
        correct_pour(session, now, pour.id, {"mix_id": mix_id})
    set_plan(session, now, pour.id, PlanWanted(plan=plan))

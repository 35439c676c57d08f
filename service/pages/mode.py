"""Pour mode: one screen for the two hours of the pour, for gloves and one glance."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

from fastapi import APIRouter, Request, Response
from fastapi.responses import RedirectResponse
from sqlmodel import Session

from models.errors import InputError
from models.facts.fresh import INTO_BELOW_MM, SLAB_MM
from models.planning import cold_joint, pouring
from models.planning.wetter import wetter
from models.records import Projection
from models.simulation.batch import BACKING, FACE
from models.simulation.batched import depth_mm
from service.actions.pours.mark_step_done import mark_step_done, undo_step
from service.actions.pours.stamp_batch import CountsFrom, stamp_batch, undo_batch
from service.actions.windows.try_plan import Ready, ready_of
from service.answers import StepWindowResponse, read_answer
from service.nouns import blame
from service.nouns.batch import LAYER_OPTIONS
from service.nouns.form import Control, Form, read
from service.pages import batch_card, page_data, render, view
from service.pages.amounts_view import Row, wetter_section
from service.pages.form_post import FormPost, FormPostDep, PageRoute, refuse_faults
from service.queries.jobs import pours_due
from service.queries.pours import newest
from service.queries.projections import latest
from service.queries.rows import poured_together
from service.request_context import ContextDep, Key, RequestContext
from service.words import say

router = APIRouter(route_class=PageRoute, include_in_schema=False)
FRESH = timedelta(hours=24)  # a pour that is older has no two hours left
STEPS = {"finish": "Float it", "cover": "Cover it"}
MARKED = {"finish": "Floated", "cover": "Covered"}
BAGS = Control("bags", "Bags a batch", dimension="count", needed=True)
LAYER = Control("layer", "Layer", "choice", options=LAYER_OPTIONS)
WATER = Control("water_l", "Water more", dimension="volume_l", needed=True)


@dataclass(frozen=True)
class Hand:
    """What is next for the hand: when, whether it may ring, whether it is done."""

    step: str
    title: str
    button: str
    probably: view.Moment | None
    safe: view.Moment | None
    latest: view.Moment | None
    done: view.Moment | None
    ring: str


@dataclass(frozen=True)
class Mixed:
    """What went in so far, and what is left of what the piece needs."""

    batches: int
    bags: float
    needed: int | None
    each: float
    last_id: int | None
    last: view.Moment | None

    @property
    def left(self) -> float | None:
        return None if self.needed is None else max(self.needed - self.bags, 0.0)

    @property
    def more(self) -> int | None:
        """Batches like the last that are still to come."""
        return None if self.left is None else -int(-self.left // self.each)


@router.get("/pour/mode")
def newest_pour(context: ContextDep) -> Response:
    """Pour mode of the pour that was logged last; without one it is logged first."""
    with context.store.reading() as session:
        pour = newest(session)
    if pour is None or pour.closed_at is not None or context.now - pour.placed_at > FRESH:
        return RedirectResponse("/pour", 303)
    return RedirectResponse(f"/pours/{pour.id}/mode", 303)


@router.get("/pours/{pour_id}/mode")
def show(pour_id: Key, request: Request, context: ContextDep) -> Response:
    return _page(context, pour_id, request.query_params)


def _page(
    context: RequestContext, pour_id: int, asked: Mapping[str, str], problem: str = ""
) -> Response:
    with context.store.reading() as session:
        due = pour_id in pours_due(session, context.now)
    data = page_data.of_pour(context, pour_id)
    if data.pour.closed_at is None and (due or data.projection is None):
        context.recompute(pour_id)
        data = page_data.of_pour(context, pour_id)
    clock = view.Clock(context.now, context.reader(data.place.timezone, data.pour.placed_at))
    ready = None
    if data.pour.closed_at is None:
        found = ready_of(context.store, context.bases, context.now, pour_id)
        ready = found if isinstance(found, Ready) else None
    with context.store.reading() as session:
        others = [row.id for row in poured_together(session, pour_id) if row.id != pour_id]
        answers = [latest(session, key) for key in others]
    mixed = _mixed(data, answers, clock)
    last_at = max((row.at for row in data.batches), default=data.pour.placed_at)
    counts = CountsFrom(data.pour.placed_at, max(last_at, data.pour.placed_at))
    ahead = data.pour.placed_at > context.now and not data.batches
    water, wrong = _watered(ready, asked, mixed, clock)
    return render.page(
        "mode.html",
        422 if problem else 200,
        tab="pour",
        reader=clock.reader,
        title="Pour mode",
        data=data,
        now=context.now.astimezone(UTC).isoformat(timespec="seconds"),
        problem=problem,
        mixed=mixed,
        joint=None if ahead else _joint(ready, counts, clock),
        backing=None if ahead else _backing(ready, counts, clock),
        layers=LAYER.read_by(clock.reader).options if _is_layered(data) else (),
        next_layer=_next_layer(data),
        into_mm=_goes_into_mm(ready),
        came_late=_came_late(data, clock),
        ahead=clock(data.pour.placed_at) if ahead else None,
        behind=clock(counts.placed_at) if counts.behind else None,
        hands=_hands(data, clock),
        card=batch_card.of_pour(context, data, mixed.each, asked.get("damp_pct", ""), clock.reader),
        damp_field=batch_card.DAMP.read_by(clock.reader),
        damp=asked.get("damp_pct", ""),
        water=water,
        water_wrong=wrong,
        water_field=WATER.read_by(clock.reader),
        water_typed=asked.get("water_l", ""),
    )


def _came_late(data: page_data.PourData, clock: view.Clock) -> list[str]:
    """What is said of batches that came too late, or too soon, on the one before."""
    if data.projection is None:
        return []
    codes = read_answer(data.projection.answer).warning_codes
    return [say(one.message, clock.reader) for one in codes if one.code in cold_joint.CODES]


def _next_layer(data: page_data.PourData) -> str:
    """A backing after its face coat; else what the last batch was."""
    last = data.batches[-1].layer if data.batches else None
    return BACKING if last == FACE else last or ""


def _mixed(
    data: page_data.PourData, others: Sequence[Projection | None], clock: view.Clock
) -> Mixed:
    """others : the answers of the pieces of the same mixing, which are filled from its batches"""
    batches = data.batches
    newest_row = max(batches, key=lambda row: (row.at, row.id), default=None)
    rows = (data.projection, *others)
    each_needs = [None if row is None else read_answer(row.answer).pour.bags for row in rows]
    told = [one for one in each_needs if one is not None]
    needed = sum(told) if len(told) == len(each_needs) else None
    each = next((row.bags for row in reversed(batches) if row.bags), None) or 1.0
    return Mixed(
        len(batches),
        sum(row.bags or 0.0 for row in batches),
        needed,
        each,
        None if newest_row is None else newest_row.id,
        None if newest_row is None else clock(newest_row.at),
    )


@dataclass(frozen=True)
class Backing:
    """When the backing goes on the face coat that is in."""

    begins: view.Moment | None
    until: view.Moment | None
    over: bool


def _backing(ready: Ready | None, counts: CountsFrom, clock: view.Clock) -> Backing | None:
    """None where no face coat went in last, or it cannot be told."""
    if ready is None or counts.behind:
        return None
    scenario, batches = ready.basis.scenario, ready.basis.scenario.batched.batches
    if not batches or batches[-1].layer != FACE:
        return None
    found = pouring.backs(scenario, ready.basis.stands)
    until = scenario.clock(found.sure_h, closes=True)
    return Backing(
        clock(scenario.clock(found.from_h)),
        clock(until),
        until is not None and until <= clock.now,
    )


def _is_layered(data: page_data.PourData) -> bool:
    """Whether a face coat and a backing are asked about: of a mix made for them, or told before."""
    return data.mix.kind == "glass-fibre" or any(row.layer for row in data.batches)


def _goes_into_mm(ready: Ready | None) -> float | None:
    """How far a poker goes into the batch below; None in what is no deeper than a slab."""
    if ready is None or depth_mm(ready.basis.scenario) <= SLAB_MM:
        return None
    return INTO_BELOW_MM


@dataclass(frozen=True)
class Joint:
    """Until when the next batch still joins the last; `over`: it does no more."""

    until: view.Moment | None
    even: view.Moment | None
    over: bool


def _joint(ready: Ready | None, counts: CountsFrom, clock: view.Clock) -> Joint | None:
    """None where it cannot be told: no weather, or hours that count from an earlier batch."""
    if ready is None or counts.behind:
        return None
    basis = ready.basis
    found = pouring.joins(basis.scenario, basis.stands)
    until = basis.scenario.clock(found.sure_h, closes=True)
    return Joint(
        clock(until),
        clock(basis.scenario.clock(found.even_h, closes=True)),
        until is not None and until <= clock.now,
    )


def _hands(data: page_data.PourData, clock: view.Clock) -> list[Hand]:
    """Float and cover, by the hour."""
    stored = (
        {}
        if data.projection is None
        else {one.step: one for one in read_answer(data.projection.answer).steps}
    )
    done = {row.step: row for row in data.done}
    return [
        _hand(step, stored.get(step), done[step].at if step in done else None, clock)
        for step in STEPS
        if step in stored or step in done or not stored  # nobody floats what is not trowelled
    ]


def _hand(
    step: str, window: StepWindowResponse | None, done: datetime | None, clock: view.Clock
) -> Hand:
    opens = None if window is None else window.earliest.p50 or window.earliest.safe
    return Hand(
        step,
        STEPS[step],
        MARKED[step],
        clock(None if window is None else window.earliest.p50),
        clock(None if window is None else window.earliest.safe),
        clock(None if window is None else window.latest),
        clock(done),
        "" if opens is None or done is not None else opens.astimezone(UTC).isoformat(),
    )


@dataclass(frozen=True)
class Water:
    """What more water costs, in words; what loosens it without."""

    water: str
    lost: str
    before: str
    after: str
    batch: str
    rows: tuple[Row, ...]
    instead: str


def _watered(
    ready: Ready | None, asked: Mapping[str, str], mixed: Mixed, clock: view.Clock
) -> tuple[Water | None, str]:
    typed = asked.get("water_l", "").strip()
    if not typed:
        return None, ""
    if ready is None:
        return None, "No weather here yet, so nothing can be told of this pour."
    field = WATER.read_by(clock.reader)
    try:
        litres = float(read(field, typed, "UTC"))
        if not 0 < litres <= 200:
            raise InputError(
                "water_l", typed, "not the water of a batch", "more than 0, up to 200 l"
            )
    except InputError as error:
        return None, blame.beside(error, field, clock.reader)
    basis = ready.basis
    found = pouring.watered(basis.scenario, basis.stands, litres, mixed.each)
    strength = basis.scenario.strength_told
    costs = wetter(basis.scenario.mixture, litres, found.volume_l)
    more = wetter_section(costs, clock.reader)
    return Water(
        clock.measure(litres, "volume_l"),
        f"{max(1, round(100 * (1 - found.fraction)))} %",
        clock.measure(found.before_MPa, "stress_MPa") if strength else "",
        clock.measure(found.after_MPa, "stress_MPa") if strength else "",
        f"a batch of {mixed.each:g} bags" if found.batch else "the whole piece",
        more.rows[1:],
        more.said,
    ), ""


@router.post("/pours/{pour_id}/mode/batch")
def stamp(pour_id: Key, post: FormPostDep) -> Response:
    """One tap: a batch went in; `at`, where a script tells it, is when it was tapped."""
    form = post.form([BAGS, LAYER])

    def store(session: Session) -> str:
        bags, layer = form.value("bags"), form.value("layer")
        refuse_faults(form)
        stamp_batch(session, post.context.now, pour_id, bags, _tapped(post), layer)
        return f"/pours/{pour_id}/mode"

    return _written(post, pour_id, store, form)


def _tapped(post: FormPost) -> datetime | None:
    text = post.text("at")
    if not text:
        return None
    try:
        at = datetime.fromisoformat(text)
    except ValueError:
        raise InputError("at", text, "not a time", "what the page had sent") from None
    return at if at.tzinfo is not None else at.replace(tzinfo=UTC)


@router.post("/pours/{pour_id}/mode/undo")
def undo(pour_id: Key, post: FormPostDep) -> Response:
    """That batch was stamped by mistake."""

    def store(session: Session) -> str:
        row = post.text("batch_id")
        if not row.isdigit():
            raise InputError("batch_id", row, "not a batch", "one of this pour")
        undo_batch(session, post.context.now, pour_id, int(row))
        return f"/pours/{pour_id}/mode"

    return _written(post, pour_id, store)


@router.post("/pours/{pour_id}/mode/{step}")
def mark(pour_id: Key, step: str, post: FormPostDep) -> Response:
    """Floated, covered; `undo` in the form takes it back."""

    def store(session: Session) -> str:
        now = post.context.now
        if step not in STEPS:
            raise InputError("step", step, "no step of the pour itself", " | ".join(STEPS))
        if post.text("undo"):
            undo_step(session, now, pour_id, step)
        else:
            mark_step_done(session, now, pour_id, step, min(_tapped(post) or now, now))
        return f"/pours/{pour_id}/mode"

    return _written(post, pour_id, store)


def _written(
    post: FormPost, pour_id: int, store: Callable[[Session], str], form: Form | None = None
) -> Response:
    form = form or post.form([])
    return post.write(
        form,
        store,
        lambda: _page(post.context, pour_id, {}, " ".join((*form.messages, *form.wrong.values()))),
    )

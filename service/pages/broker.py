"""Instruments that write to a broker (MQTT): which topics are heard, and as what they are read."""

from fastapi import APIRouter, Response
from sqlmodel import Session

from models.records import Place, Topic
from service.actions.pours import hear
from service.actions.shop import broker
from service.json_path import EXAMPLE
from service.nouns.form import Control, Form
from service.pages import render, view
from service.pages.flash import Landing
from service.pages.form_post import FormPostDep, PageRoute, refuse_faults
from service.queries.part import Part
from service.queries.poured import piece_label
from service.queries.pours import page_of
from service.queries.rows import by_name
from service.queries.topics import topics
from service.request_context import ContextDep, Key, RequestContext
from service.store.shops import FIRST

router = APIRouter(prefix="/shop/broker", route_class=PageRoute, include_in_schema=False)
PAGE = "/shop/broker"
KIND_WORDS = {
    "air": "Air",
    "humidity": "Humidity",
    "concrete": "In the concrete",
    "surface": "On the face",
    "tile": "Witness tile",
}
UNITS = (("C", "\u00b0C"), ("F", "\u00b0F"))
MOST_POURS = 50
READ = ("name", "pattern", "kind", "unit", "value_path", "at_path")


@router.get("")
def show(context: ContextDep) -> Response:
    return _page(context)


@router.post("")
def add(post: FormPostDep) -> Response:
    """One more instrument is heard."""
    form = post.form(_fields(post.context))

    def store(session: Session) -> Landing:
        values = {name: value for name, value in form.values(READ).items() if value is not None}
        noun, _, key = str(form.value("target") or "").partition(":")
        refuse_faults(form)
        with form.named(""):
            row = hear.listen_to(session, post.context.now, values, (noun, int(key)))
        return Landing(PAGE, "saved_topic", {"name": row.name}, undo=f"{PAGE}/{row.id}/remove")

    return post.write(form, store, lambda: _page(post.context, form, 422))


@router.post("/{topic_id}/remove")
def remove(topic_id: Key, post: FormPostDep) -> Response:
    """It is heard no more; its readings stay."""

    def store(session: Session) -> Landing:
        hear.leave(session, topic_id)
        return Landing(PAGE, "saved_no_topic")

    return post.write(Form.of([]), store)


def _fields(context: RequestContext) -> list[Control]:
    with context.store.reading() as session:
        places = [
            (f"place:{one.id}", f"{one.name}: the air there") for one in by_name(session, Place)
        ]
        pours = [
            (f"pour:{one.id}", piece_label(one))
            for one in page_of(session, Part(MOST_POURS), active=True)
        ]
    return [
        Control("name", "Name of the instrument", needed=True, placeholder="Yard"),
        Control("pattern", "Topic", needed=True, hint="shed/+/air: + is any one level, # the rest"),
        Control(
            "target", "It reads at", "choice", options=(*places, *pours), needed=True, typed=True
        ),
        Control("kind", "What", "radio", options=tuple(KIND_WORDS.items()), default="air"),
        Control(
            "value_path",
            "Where the value stands in JSON",
            hint=f"empty: the message is the value; else {EXAMPLE}",
        ),
        Control(
            "unit",
            "Degrees without a unit are",
            "radio",
            options=UNITS,
            default=context.reader().units.temperature,
            needed=True,
        ),
        Control("at_path", "Where its time stands in JSON", hint="empty: it counts as it arrives"),
    ]


def _page(context: RequestContext, form: Form | None = None, status: int = 200) -> Response:
    clock = view.Clock(context.now, context.reader())
    with context.store.reading() as session:
        places = {one.id: one.name for one in by_name(session, Place)}
        heard = [(one, _where(one, places), clock(one.heard_at)) for one in topics(session)]
        away = broker.away(session, context.settings, context.now)
    address, level = context.settings.broker, broker.own_level(context.asker.shop_id)
    host = "" if address is None else f"{address.host}:{address.port}"
    return render.page(
        "broker.html",
        status,
        title="Instruments at a broker",
        tab="shop",
        reader=clock.reader,
        host=host if context.asker.shop_id == FIRST else host and "this server",
        level=level,
        away=away,
        since=None if away is None else clock(away.since),
        heard=heard,
        kinds=KIND_WORDS,
        form=form or Form.of(_fields(context), None, clock.reader),
    )


def _where(one: Topic, places: dict[int, str]) -> str:
    return places.get(one.place_id, "") if one.place_id else f"piece #{one.pour_id}"

"""What is put down about a pour later: readings, covers, tests, batches, and their undoing."""

import math
from collections.abc import Callable, Container, Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from functools import partial
from typing import Annotated, TypeVar
from zoneinfo import ZoneInfo

from fastapi import APIRouter, Path, Query, Response
from sqlmodel import Session

from models.errors import InputError
from models.records import Batch, Mix, Pour, ProtectionPeriod, StrengthTest, WeatherRun
from models.records import Reading as ReadingRow
from models.simulation.scenario import TEMPERATURE_KINDS
from service.actions.changes import added
from service.actions.pours import doubtful
from service.actions.pours.change_protection import put_on, remove_protection, take_off
from service.actions.pours.log_batch import log_batch, remove_batch
from service.actions.pours.note import add_note
from service.actions.pours.put_back import copy_of, put_back
from service.actions.pours.record_reading import mark_reading, record_reading, remove_reading
from service.actions.pours.record_strength_test import record_strength_test, remove_strength_test
from service.actions.weather.refresh_forecasts import type_weather
from service.nouns import batch, cover, reading, strength_test
from service.nouns.base import RequestBody
from service.nouns.batch import BatchCreate
from service.nouns.cover import ProtectionCreate
from service.nouns.form import Control, Form
from service.nouns.reading import ReadingCreate
from service.nouns.step import moment_of
from service.nouns.strength_test import StrengthTestCreate
from service.nouns.tonight import BOTH
from service.pages import flash, page_data, render, sheet, view
from service.pages.flash import Landing
from service.pages.form_post import FormPostDep, PageRoute, form_action, refuse_faults
from service.queries.pours import zone_of
from service.queries.rows import NoSuchRow, by_name, find, mixing_of
from service.request_context import ContextDep, Key, RequestContext

C = TypeVar("C", bound=RequestBody)
RowAction = Annotated[str, Path(max_length=20)]
Work = Callable[..., object]  # of a session, now, the row; of what comes off also when
Logged = Batch | ProtectionPeriod | ReadingRow | StrengthTest
AT = {"from_at": "at", "strength_test[0].at": "at"}  # what the fields of time are called elsewhere
HOUR = timedelta(hours=1)
MOST_SPAN_H = 48  # of one reading of low and high
router = APIRouter(prefix="/pours/{pour_id}", route_class=PageRoute, include_in_schema=False)


@dataclass(frozen=True)
class Entry:
    """One kind of entry: its heading, the words of its button, its fields, how it is stored."""

    heading: str
    button: str
    controls: Iterable[Control]
    store: Callable[[Session, datetime, Form, Pour, datetime], Logged | WeatherRun | str]
    rows: str = "readings"  # where what was stored is taken back; nothing: nowhere here


def _entry(
    heading: str,
    button: str,
    controls: Iterable[Control],
    noun: type[C],
    record: Callable[[Session, datetime, int, C], Logged],
    rows: str = "readings",
    **of_kinds: Container[str],
) -> Entry:
    """of_kinds : fields that count for some kinds alone, and those kinds"""

    def store(session: Session, now: datetime, form: Form, pour: Pour, at: datetime) -> Logged:
        values = form.values_of(noun, unread={"at"})
        values |= {name: at for name in ("at", "from_at") if name in noun.model_fields}
        for name, kinds in of_kinds.items():
            if values["kind"] not in kinds:
                values[name] = None
        refuse_faults(form)
        with form.named("", AT):
            row = record(session, now, pour.id, noun(**values))
        if noun is ReadingCreate:
            found = doubtful.of_typed(session, now, pour.id, values, form, before=row.id)
            doubtful.ask(found, form.confirmed)
        return row

    return Entry(heading, button, controls, store, rows)


def _reading(
    heading: str, button: str, controls: Iterable[Control], **of_kinds: Container[str]
) -> Entry:
    return _entry(heading, button, controls, ReadingCreate, record_reading, "readings", **of_kinds)


def _type_weather(
    session: Session, now: datetime, form: Form, pour: Pour, _at: datetime
) -> WeatherRun:
    night = form.values(one.name for one in BOTH)
    refuse_faults(form)
    found = doubtful.of_night(session, now, pour.place_id, night, form)
    run = type_weather(session, now, pour.place_id, **night)
    doubtful.ask(found, form.confirmed)
    return run


OF_KIND = {  # fields that count for some kinds alone
    "value_C": TEMPERATURE_KINDS,
    "value_max_C": ("air-min-max",),
    "rh_pct": ("humidity",),
    "mass_g": ("tile",),
}
SAID = {"set": "saved_set", "film": "saved_dryness", "note": "saved_note"}


def _put_down(
    session: Session, now: datetime, form: Form, pour: Pour, at: datetime
) -> ReadingRow | str:
    """The reading, or the line of a note; Doubtful where it is asked first whether it is so."""
    kind = str(form.value("kind"))
    if kind == "note":
        text = form.value("line") or ""
        if not text:
            form.refuse(InputError("line", "", "empty", "a few words"))
        refuse_faults(form)
        return add_note(session, pour.id, text, at.astimezone(ZoneInfo(zone_of(session, pour.id))))
    if kind == "photo":
        form.refuse(InputError("kind", "", "a photo has its own button", "Keep the photo"))
        refuse_faults(form)
    unread = {name for name, kinds in OF_KIND.items() if kind not in kinds}
    values = form.values_of(ReadingCreate, unread={"at", *unread}) | {"at": at}
    if kind in reading.SEEN_WORDS:
        values["kind"] = form.value(kind)
    refuse_faults(form)
    with form.named(""):
        row = record_reading(session, now, pour.id, ReadingCreate(**values))
    doubtful.ask(
        doubtful.of_typed(session, now, pour.id, values, form, before=row.id), form.confirmed
    )
    return row


_WARM = ("heated enclosure",)
ENTRIES = {
    "reading": Entry("Add", "Save", reading.CONTROLS, _put_down),
    "set": _reading("It has set", "Save what was seen", reading.SET_CONTROLS),
    "look": _reading("Look for frost", "Save what was seen", reading.LOOK_CONTROLS),
    "dryness": _reading(
        "How dry is it?", "Save what was found", reading.DRYING_CONTROLS, mass_g=("tile",)
    ),
    "cover": _entry(
        "Put a cover on",
        "Cover is on",
        cover.CONTROLS,
        ProtectionCreate,
        put_on,
        "covers",
        setpoint_C=_WARM,
        heater=_WARM,
    ),
    "test": _entry(
        "A strength test",
        "Save the test",
        strength_test.CONTROLS,
        StrengthTestCreate,
        record_strength_test,
        "tests",
    ),
    "batch": _entry(
        "A batch", "Save the batch", batch.controls(), BatchCreate, log_batch, "batches"
    ),
    "weather": Entry("Type the weather", "Use these temperatures", BOTH, _type_weather, ""),
}


def form_page(
    context: RequestContext,
    pour_id: int,
    kind: str,
    form: Form,
    status: int = 200,
    *,
    since_pour: bool = False,
) -> Response:
    """A form about one pour, with what was typed."""
    data = page_data.of_pour(context, pour_id)
    reader = context.reader(data.place.timezone, data.pour.placed_at)
    last: list[tuple[str, str]] = []
    if kind == "reading":
        last = sheet.last(data.readings, view.Clock(context.now, reader))
        if not since_pour:
            sheet.as_last_time(form, data.readings)
    return render.page(
        f"{kind}.html",
        status,
        reader=reader,
        last=last,
        since_pour=since_pour,
        title=ENTRIES[kind].heading,
        data=data,
        form=form,
        button=ENTRIES[kind].button,
        action=f"/pours/{pour_id}/{kind}",
    )


@router.get("/{kind}/add")
def ask(
    pour_id: Key, kind: RowAction, context: ContextDep, since: Annotated[str, Query()] = ""
) -> Response:
    """The form of a reading, a cover, a test, or of tonight's weather.

    since : `pour` for the low and the high of the air since the pour
    """
    if kind not in ENTRIES:
        raise NoSuchRow("address", kind, "nothing is there", " | ".join(ENTRIES))
    form = Form.of(_controls(kind, context), None, context.reader())
    if kind == "reading" and since == "pour":
        with context.store.reading() as session:
            age = context.now - find(session, Pour, pour_id, "pour_id").placed_at
        hours = min(max(math.ceil(age / HOUR), 1), MOST_SPAN_H)
        form.fields["span_h"] = replace(form.fields["span_h"], default=f"{hours} h")
        form.fields["kind"] = replace(form.fields["kind"], default="air-min-max")
    return form_page(context, pour_id, kind, form, since_pour=since == "pour")


def _controls(kind: str, context: RequestContext) -> Iterable[Control]:
    """The fields of a form; a batch may be of any mix that the shop has."""
    if kind != "batch":
        return ENTRIES[kind].controls
    with context.store.reading() as session:
        return batch.controls([(str(row.id), row.name) for row in by_name(session, Mix)])


def _at(session: Session, tapped: datetime, form: Form, pour_id: int) -> datetime:
    """When it was: by the chips, by the clock beside them, or when it was tapped."""
    if "at" not in form.fields:
        return tapped
    return moment_of(form, tapped, zone_of(session, pour_id))


def _adding(kind: str) -> Callable[..., Response]:
    entry = ENTRIES[kind]

    def add(pour_id: Key, post: FormPostDep) -> Response:
        """Store what a form says about a pour, go back to the pour."""
        form, now = post.form(_controls(kind, post.context)), post.context.now

        def store(session: Session) -> Landing:
            pour = find(session, Pour, pour_id, "pour_id")
            at = _at(session, post.happened_at, form, pour_id)
            row = entry.store(session, now, form, pour, at)
            page = f"/pours/{pour_id}"
            if isinstance(row, str):
                undo = f"{page}/note/remove"
                return Landing(page, "saved_note", undo=undo, fields={"line": row})
            said = SAID.get(str(form.value("kind")) if kind == "reading" else "")
            if not entry.rows:
                return Landing(page, f"saved_{kind}", undo=flash.UNDO, kept=added([row]))
            undo = f"{page}/{entry.rows}/{row.id}/remove"
            return Landing(page, said or f"saved_{kind}", undo=undo)

        return post.write(form, store, lambda: form_page(post.context, pour_id, kind, form, 422))

    return add


for _kind in ENTRIES:
    router.post(f"/{_kind}")(_adding(_kind))


# what stands among the entries of a pour: its noun, its table, and what may be done with it
LOGGED: dict[str, tuple[str, type[Logged], Mapping[str, Work]]] = {
    "readings": (
        "reading",
        ReadingRow,
        {
            "remove": remove_reading,
            "wrong": partial(mark_reading, wrong=True),
            "right": partial(mark_reading, wrong=False),
        },
    ),
    "tests": ("test", StrengthTest, {"remove": remove_strength_test}),
    "batches": ("batch", Batch, {"remove": remove_batch}),
    "covers": (
        "cover",
        ProtectionPeriod,
        {"remove": remove_protection, "off": take_off},
    ),
}
SAVED = {"remove": "saved_removed", "off": "saved_off"}
OPPOSITE = {"wrong": "right", "right": "wrong"}


def _changing(kind: str) -> Callable[..., Response]:
    noun, table, row_actions = LOGGED[kind]

    def change(pour_id: Key, row_id: Key, action: RowAction, post: FormPostDep) -> Response:
        """It was logged by mistake, its instrument was wrong or was not after all, it is off."""
        page = f"/pours/{pour_id}"

        def work(session: Session, now: datetime) -> Landing:
            row = find(session, table, row_id, noun)
            pour = find(session, Pour, pour_id)
            beside = isinstance(row, ReadingRow) and row.place_id == pour.place_id
            own = mixing_of(session, pour_id) if isinstance(row, Batch) else pour_id
            if row.pour_id != own and not beside:
                wrong = f"no such {noun} of pour {pour_id}"
                raise NoSuchRow(noun, row_id, wrong, "one of this pour's")
            if action not in row_actions:
                raise NoSuchRow("address", action, "nothing is there", " | ".join(row_actions))
            copy = copy_of(row)
            at = (post.happened_at,) if action == "off" else ()
            row_actions[action](session, now, row_id, *at)
            if action in OPPOSITE:
                undo = f"{page}/{kind}/{row_id}/{OPPOSITE[action]}"
                return Landing(page, f"saved_{action}", undo=undo)
            return Landing(page, SAVED[action], kept=copy)

        return form_action(post, pour_id, work, action)

    return change


for _kind in LOGGED:
    router.post(f"/{_kind}/{{row_id}}/{{action}}")(_changing(_kind))


@router.post("/restore")
def restore(pour_id: Key, post: FormPostDep) -> Response:
    """What was just removed was not logged by mistake."""
    removal = post.text("removal")

    def work(session: Session, now: datetime) -> None:
        put_back(session, now, pour_id, flash.kept(session, removal))

    return form_action(post, pour_id, work, "back")

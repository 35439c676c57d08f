"""What is put down about a pour later: readings, steps, covers, tests, and their undoing."""

from collections.abc import Callable
from datetime import datetime
from typing import Annotated, Any, Protocol

from fastapi import APIRouter, Path, Response
from sqlmodel import Session

from models.facts.protection import COVERS
from models.projection.scenario import READING_KINDS, TEST_KINDS
from models.records import Batch, Pour, ProtectionPeriod, StrengthTest
from models.records import Reading as ReadingRow
from service.actions import doubtful
from service.actions.change_protection import put_on, remove_protection, take_off
from service.actions.log_batch import log_batch, remove_batch
from service.actions.mark_step_done import mark_step_done, undo_step
from service.actions.record_reading import mark_reading, record_reading, remove_reading
from service.actions.record_strength_test import record_strength_test, remove_strength_test
from service.actions.refresh_forecasts import type_weather
from service.door import Door
from service.nouns.controls import listed
from service.nouns.form import Control, Form
from service.pages import look, render, view
from service.pages.due import reckon
from service.pages.log import refuse_faults
from service.pages.sent import DoorDep, PageRoute, Refused, Sent, SentDep
from service.queries.pours import zone_of
from service.queries.rows import NoSuchRow, find, of_pour
from service.words import word

router = APIRouter(prefix="/pours/{pour_id}", route_class=PageRoute, include_in_schema=False)
PourId = Annotated[int, Path(ge=1, le=2**31 - 1)]
RowId = Annotated[int, Path(ge=1, le=2**31 - 1)]
Step = Annotated[str, Path(max_length=20)]

READING_WORDS = {
    "air-min-max": "air, low and high",
    "air": "air, now",
    "concrete": "in the concrete",
    "surface": "on the face",
}
SET_WORDS = {
    "initial-set": "firm: a thumb leaves no mark",
    "final-set": "hard: a nail leaves no dent",
}
DRYING_WORDS = {
    "tile": "witness tile, weighed",
    "film-wet": "taped film: water or a dark patch under it",
    "film-dry": "taped film: dry under it",
}
TEST_WORDS = {"cube": "cube, crushed", "cylinder": "cylinder, crushed", "bar": "bar, bent"}
MOMENT = Control("at", "When (empty: now)", "moment")

READING = [
    Control(
        "kind",
        "Where",
        "radio",
        default="air-min-max",
        needed=True,
        options=listed(
            {kind: READING_WORDS[kind] for kind in READING_WORDS if kind in READING_KINDS}
        ),
    ),
    Control("value_C", "Temperature", hint="4 C or 39 F", needed=True, dimension="temperature_C"),
    Control("value_max_C", "High", hint="11 C or 52 F", dimension="temperature_C"),
    Control("span_h", "over the last", dimension="time_h", default="12 h"),
    MOMENT,
    Control("note", "Note"),
]
COVER = [
    Control(
        "kind",
        "Cover",
        "radio",
        default="blanket",
        needed=True,
        options=listed({kind: word("cover", kind) for kind in COVERS}),
    ),
    Control("setpoint_C", "Enclosure kept at", default="15 C", dimension="temperature_C"),
    Control(
        "faces",
        "Where",
        "radio",
        default="top",
        needed=True,
        options=(("top", "over the top"), ("all", "all round, underside too")),
    ),
    Control(
        "R_m2K_W",
        "Its own insulation value",
        dimension="resistance_m2K_W",
        hint="0.5 m2K/W; empty: typical",
    ),
    MOMENT,
]
SET = [
    Control(
        "kind",
        "What was seen",
        "radio",
        default="initial-set",
        needed=True,
        options=listed(SET_WORDS),
    ),
    MOMENT,
    Control("note", "Note"),
]
DRYING = [
    Control(
        "kind",
        "What was looked at",
        "radio",
        default="tile",
        needed=True,
        options=listed(DRYING_WORDS),
    ),
    Control("mass_g", "Mass of the tile", dimension="mass_g", hint="1840 g or 64.9 oz"),
    MOMENT,
    Control("note", "Note"),
]
TEST = [
    Control(
        "kind",
        "What was broken",
        "radio",
        default="cube",
        needed=True,
        options=listed({kind: TEST_WORDS[kind] for kind in TEST_KINDS}),
    ),
    Control(
        "MPa",
        "Strength",
        dimension="stress_MPa",
        hint="12.5 MPa or 1800 psi",
        needed=True,
    ),
    MOMENT,
    Control("note", "Note"),
]
BATCH = [
    Control("bags", "Bags", dimension="count", hint="3 or 2 1/2"),
    Control("water_l", "Water", dimension="volume_l", hint="6 l or 6.3 qt"),
    Control("concrete_C", "Its temperature", hint="18 C or 64 F", dimension="temperature_C"),
    MOMENT,
    Control("note", "Note"),
]
NIGHT = [
    Control(
        "night_low_C", "Tonight's low", hint="-1 C or 30 F", needed=True, dimension="temperature_C"
    ),
    Control(
        "day_high_C", "Tomorrow's high", hint="9 C or 48 F", needed=True, dimension="temperature_C"
    ),
]
FORMS = {
    "reading": ("Add a reading", "Save the reading", READING),
    "set": ("It has set", "Save what was seen", SET),
    "dryness": ("How dry is it?", "Save what was found", DRYING),
    "cover": ("Put a cover on", "Cover is on", COVER),
    "test": ("A strength test", "Save the test", TEST),
    "batch": ("A batch", "Save the batch", BATCH),
    "weather": ("Type the weather", "Use these two", NIGHT),
}


class Mixed(Protocol):
    """A batch, from the rows or from the record."""

    @property
    def bags(self) -> float | None: ...

    @property
    def water_l(self) -> float | None: ...

    @property
    def concrete_C(self) -> float | None: ...


def batch_words(one: Mixed) -> str:
    """`batch of 3 bags, 6 l of water, 18 C`."""
    parts = [
        f"{one.bags:g} bags" if one.bags is not None else "",
        f"{view.both(one.water_l, 'volume_l')} of water" if one.water_l is not None else "",
        view.both(one.concrete_C, "temperature_C") if one.concrete_C is not None else "",
    ]
    return "batch of " + ", ".join(part for part in parts if part)


def form_page(door: Door, pour_id: int, kind: str, form: Form, status: int = 200) -> Response:
    """A form about one pour, with what was typed."""
    heading, button, _ = FORMS[kind]
    with door.store.reading() as session:
        seen = look.pour(session, door.now, pour_id)
    return render.page(
        f"{kind}.html",
        status,
        title=heading,
        tab="",
        seen=seen,
        form=form,
        button=button,
        action=f"/pours/{pour_id}/{kind}",
        zone=seen.place.timezone,
    )


@router.get("/{kind}/add")
def ask(pour_id: PourId, kind: Annotated[str, Path(max_length=20)], door: DoorDep) -> Response:
    """The form of a reading, a cover, a test, or of tonight's weather."""
    if kind not in FORMS:
        raise NoSuchRow("address", kind, "nothing is there", " | ".join(FORMS))
    with door.store.reading() as session:
        units = look.units(session)
    return form_page(door, pour_id, kind, Form.of(FORMS[kind][2], None, units))


def _take(
    sent: Sent, pour_id: int, kind: str, work: Callable[[Session, Form, Pour, datetime], object]
) -> Response:
    """Store what a form says about a pour, reckon it anew, go back to the pour."""
    with sent.door.store.reading() as session:
        units = look.units(session)
    form = Form.of(FORMS[kind][2], sent.fields, units)

    def store(session: Session) -> str:
        pour = find(session, Pour, pour_id, "pour_id")
        zone = zone_of(session, pour_id)
        at = (form.value("at", zone) if "at" in form.fields else None) or sent.door.now
        work(session, form, pour, at)
        return f"/pours/{pour_id}?said={kind}"

    try:
        return sent.once(form, store, lambda: reckon(sent.door, pour_id))
    except Refused:
        return form_page(sent.door, pour_id, kind, form, 422)


@router.post("/reading")
def add_reading(pour_id: PourId, sent: SentDep) -> Response:
    def store(session: Session, form: Form, pour: Pour, at: datetime) -> None:
        values = form.values(("kind", "value_C", "value_max_C", "span_h", "note"))
        if values["kind"] != "air-min-max":
            values["value_max_C"] = None
        refuse_faults(form)
        values["span_h"] = values["span_h"] or 12.0
        values["note"] = values["note"] or ""
        record_reading(session, sent.door.now, pour.id, at=at, **values)
        told, now = values | {"at": at}, sent.door.now
        found = doubtful.of_reading(session, now, pour.id, values["kind"], told, form.typed_F)
        doubtful.ask(found, form.confirmed)

    return _take(sent, pour_id, "reading", store)


@router.post("/set")
def add_set(pour_id: PourId, sent: SentDep) -> Response:
    def store(session: Session, form: Form, pour: Pour, at: datetime) -> None:
        values = form.values(("kind", "note"))
        refuse_faults(form)
        values["note"] = values["note"] or ""
        record_reading(session, sent.door.now, pour.id, at=at, **values)

    return _take(sent, pour_id, "set", store)


@router.post("/dryness")
def add_dryness(pour_id: PourId, sent: SentDep) -> Response:
    def store(session: Session, form: Form, pour: Pour, at: datetime) -> None:
        values = form.values(("kind", "mass_g", "note"))
        if values["kind"] != "tile":
            values["mass_g"] = None
        refuse_faults(form)
        values["note"] = values["note"] or ""
        record_reading(session, sent.door.now, pour.id, at=at, **values)

    return _take(sent, pour_id, "dryness", store)


@router.post("/cover")
def add_cover(pour_id: PourId, sent: SentDep) -> Response:
    def store(session: Session, form: Form, pour: Pour, at: datetime) -> None:
        values = form.values(("kind", "faces", "R_m2K_W", "setpoint_C"))
        if values["kind"] != "heated enclosure":
            values["setpoint_C"] = None
        refuse_faults(form)
        with form.named("", {"from_at": "at"}):
            put_on(session, sent.door.now, pour.id, at=at, **values)

    return _take(sent, pour_id, "cover", store)


@router.post("/test")
def add_test(pour_id: PourId, sent: SentDep) -> Response:
    def store(session: Session, form: Form, pour: Pour, at: datetime) -> None:
        values = form.values(("kind", "MPa", "note"))
        refuse_faults(form)
        values["note"] = values["note"] or ""
        with form.named("", {"strength_test[0].at": "at"}):
            record_strength_test(session, sent.door.now, pour.id, at=at, **values)

    return _take(sent, pour_id, "test", store)


@router.post("/batch")
def add_batch(pour_id: PourId, sent: SentDep) -> Response:
    def store(session: Session, form: Form, pour: Pour, at: datetime) -> None:
        values = form.values(("bags", "water_l", "concrete_C", "note"))
        refuse_faults(form)
        values["note"] = values["note"] or ""
        log_batch(session, sent.door.now, pour.id, at=at, **values)

    return _take(sent, pour_id, "batch", store)


@router.post("/weather")
def add_weather(pour_id: PourId, sent: SentDep) -> Response:
    def store(session: Session, form: Form, pour: Pour, _at: datetime) -> None:
        low, high = form.value("night_low_C"), form.value("day_high_C")
        refuse_faults(form)
        found = doubtful.of_night(
            session, sent.door.now, pour.place_id, low, high, form.typed_F, form.with_unit
        )
        type_weather(session, sent.door.now, pour.place_id, low, high)
        doubtful.ask(found, form.confirmed)

    return _take(sent, pour_id, "weather", store)


@router.get("/steps")
def ask_steps(pour_id: PourId, door: DoorDep) -> Response:
    """A big button for every step that is not done yet."""
    return _steps_page(door, pour_id, Form.of([MOMENT]))


def _steps_page(door: Door, pour_id: int, form: Form, status: int = 200) -> Response:
    with door.store.reading() as session:
        seen = look.pour(session, door.now, pour_id)
    clock = view.Clock(door.now, seen.place.timezone)
    row = seen.projection
    told = [] if row is None else [view.step(o, clock, row.checked_at) for o in row.answer["steps"]]
    return render.page(
        "steps.html",
        status,
        title="Mark a step done",
        tab="",
        seen=seen,
        form=form,
        open=[step for step in told if step.state != "done"],
        patched=any(row.step == "patch" for row in seen.done),
        done=[(row.step, view.title(row.step), clock(row.at)) for row in reversed(seen.done)],
        zone=seen.place.timezone,
    )


@router.post("/steps")
def mark(pour_id: PourId, sent: SentDep) -> Response:
    form = Form.of([MOMENT, Control("step", "Step", needed=True)], sent.fields)

    def store(session: Session) -> str:
        at = form.value("at", zone_of(session, pour_id)) or sent.door.now
        step = form.value("step")
        refuse_faults(form)
        mark_step_done(session, sent.door.now, pour_id, step, at)
        return f"/pours/{pour_id}?said=done"

    try:
        return sent.once(form, store, lambda: reckon(sent.door, pour_id))
    except Refused:
        return _steps_page(sent.door, pour_id, form, 422)


def press(
    sent: Sent, pour_id: int, work: Callable[[Session, datetime], object], said: str
) -> Response:
    """A button without fields."""

    def store(session: Session) -> str:
        find(session, Pour, pour_id, "pour_id")
        work(session, sent.door.now)
        return f"/pours/{pour_id}?said={said}"

    return sent.once(Form.of([]), store, lambda: reckon(sent.door, pour_id))


def _of_this_pour(found: Any, pour_id: int, what: str) -> None:
    if found.pour_id != pour_id:
        raise NoSuchRow(what, found.id, f"no such {what} of pour {pour_id}", "one of this pour's")


@router.post("/steps/{step}/undo")
def undo(pour_id: PourId, step: Step, sent: SentDep) -> Response:
    return press(sent, pour_id, lambda s, now: undo_step(s, now, pour_id, step), "undone")


def _reading_of_place(session: Session, pour_id: int, row_id: int) -> None:
    row = find(session, ReadingRow, row_id, "reading")
    if row.place_id != find(session, Pour, pour_id).place_id:
        _of_this_pour(row, pour_id, "reading")


@router.post("/readings/{row_id}/{deed}")
def change_reading(pour_id: PourId, row_id: RowId, deed: Step, sent: SentDep) -> Response:
    """It was logged by mistake, or its instrument was wrong, or was not after all."""

    def work(session: Session, now: datetime) -> None:
        _reading_of_place(session, pour_id, row_id)
        if deed == "remove":
            remove_reading(session, now, row_id)
        elif deed in ("wrong", "right"):
            mark_reading(session, now, row_id, wrong=deed == "wrong")
        else:
            raise NoSuchRow("address", deed, "nothing is there", "remove | wrong | right")

    return press(sent, pour_id, work, "removed" if deed == "remove" else "marked")


@router.post("/tests/{row_id}/remove")
def drop_test(pour_id: PourId, row_id: RowId, sent: SentDep) -> Response:
    def work(session: Session, now: datetime) -> None:
        _of_this_pour(find(session, StrengthTest, row_id, "test"), pour_id, "test")
        remove_strength_test(session, now, row_id)

    return press(sent, pour_id, work, "removed")


@router.post("/batches/{row_id}/remove")
def drop_batch(pour_id: PourId, row_id: RowId, sent: SentDep) -> Response:
    def work(session: Session, _now: datetime) -> None:
        _of_this_pour(find(session, Batch, row_id, "batch"), pour_id, "batch")
        remove_batch(session, row_id)

    return press(sent, pour_id, work, "removed")


@router.post("/covers/{row_id}/{deed}")
def change_cover(pour_id: PourId, row_id: RowId, deed: Step, sent: SentDep) -> Response:
    """A cover comes off now, or was never on."""

    def work(session: Session, now: datetime) -> None:
        known = [row.id for row in of_pour(session, ProtectionPeriod, pour_id, "from_at")]
        if row_id not in known:
            raise NoSuchRow("cover", row_id, "no such cover", f"one of {known}")
        if deed == "off":
            take_off(session, now, row_id, now)
        elif deed == "remove":
            remove_protection(session, now, row_id)
        else:
            raise NoSuchRow("address", deed, "nothing is there", "off | remove")

    return press(sent, pour_id, work, "off" if deed == "off" else "removed")

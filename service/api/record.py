"""The record of a piece: as JSON, and as CSV with a row for each event."""

from collections.abc import Iterator
from dataclasses import asdict
from datetime import datetime

from fastapi import APIRouter, Response

from models.planning.predicted import Band
from models.simulation.scenario import SET_KINDS
from service.actions.record.parts import Record, StepRecord
from service.actions.record.pour_record import read_pour_record
from service.csv_rows import text_of
from service.request_context import ContextDep, Key

router = APIRouter(tags=["record"])
Cell = str | float | None
Row = dict[str, Cell]
BANDS = ("foreseen_{}_C", "foreseen_max_{}_C", "foreseen_{}_MPa", "foreseen_{}_h")
HEADER = (
    "pour_id",
    "piece",
    "at",
    "until",
    "age_h",
    "event",
    "what",
    "likely_at",
    "sure_at",
    "latest_at",
    "value_C",
    "value_max_C",
    "mass_g",
    "strength_MPa",
    "rain_mm",
    "water_l",
    "bags",
    *(name.format(part) for name in BANDS for part in ("p10", "p50", "p90")),
    "state",
    "text",
    "rh_pct",
)


@router.get("/pours/{pour_id}/record")
def read_record(pour_id: Key, context: ContextDep) -> Record:
    """Everything logged, told and seen of one pour; times carry the offset of its place."""
    return read_pour_record(context.store, context.now, pour_id)


@router.get(
    "/pours/{pour_id}/record.csv",
    response_class=Response,
    responses={200: {"content": {"text/csv": {"schema": {"type": "string"}}}}},
)
def read_record_csv(pour_id: Key, context: ContextDep) -> Response:
    """A row for each event, oldest first; units in the names of the columns."""
    record = read_pour_record(context.store, context.now, pour_id)
    name = f'attachment; filename="record-of-pour-{pour_id}.csv"'
    return Response(
        text_of(HEADER, events(record)),
        media_type="text/csv; charset=utf-8",
        headers={"Content-Disposition": name, "Cache-Control": "no-store"},
    )


def events(record: Record) -> list[Row]:
    """Every event as cells under the names of the header, oldest first."""
    found = sorted(
        (*_logged(record), *_measured(record), *_surroundings(record)),
        key=lambda one: (one[0], one[1]),
    )
    return [
        {
            "pour_id": record.pour_id,
            "piece": record.piece["name"],
            "at": _iso(at),
            "age_h": round((at - record.placed_at).total_seconds() / 3600, 2),
            "event": event,
            **cells,
        }
        for at, event, cells in found
    ]


Event = tuple[datetime, str, Row]


def _logged(record: Record) -> Iterator[Event]:
    """The pour, what lay on it, what was told of its steps, when they were done."""
    poured = _mixed(record.concrete_C, record.bags, record.water_added_l, record.note)
    yield record.placed_at, "poured", {"what": record.mix["name"], **poured}
    for batch in record.batches:
        cells = _mixed(batch.concrete_C, batch.bags, batch.water_l, batch.note)
        yield batch.at, "batch", {**cells, "what": batch.layer or ""}
    for lay in record.protections:
        cover: Row = {"what": lay.kind, "value_C": lay.setpoint_C, "text": lay.faces}
        yield lay.from_at, "protection", {**cover, "until": _iso(lay.to_at)}
    for step in record.steps:
        yield from _of_step(step)
    for undone in record.undone:
        yield undone["undone_at"], "step undone", {"what": undone["step"]}
    if record.closed_at is not None:
        yield record.closed_at, "closed", {"text": record.closed_why}


def _mixed(concrete_C: float | None, bags: float | None, water_l: float | None, note: str) -> Row:
    return {"value_C": concrete_C, "bags": bags, "water_l": water_l, "text": note}


def _of_step(step: StepRecord) -> Iterator[Event]:
    for event, answer in (
        ("first told", step.first_told),
        ("told before it was done", step.before_done),
        ("told last", step.newest),
    ):
        if answer is not None:
            cells: Row = {
                "what": step.step,
                "likely_at": _iso(answer.likely_at),
                "sure_at": _iso(answer.sure_at),
                "latest_at": _iso(answer.latest_at),
                "state": answer.state,
                "text": answer.because,
            }
            yield answer.told_at, event, cells
    if step.done_at is not None:
        yield step.done_at, "done", {"what": step.step}


def _measured(record: Record) -> Iterator[Event]:
    """Readings, sets and tests beside what the model says of them."""
    for read in record.readings:
        setting = read.kind in SET_KINDS
        cells: Row = {
            "what": read.kind,
            "value_C": read.value_C,
            "value_max_C": read.value_max_C,
            "mass_g": read.mass_g,
            "rh_pct": read.rh_pct,
            "text": read.note,
            "state": "" if read.of_this_piece else "read at another piece",
            **_band("foreseen_{}_h" if setting else "foreseen_{}_C", read.foreseen),
            **_band("foreseen_max_{}_C", read.foreseen_max),
        }
        yield read.at, "set seen" if setting else "reading", cells
    for test in record.strength_tests:
        result: Row = {"what": test.kind, "strength_MPa": test.strength_MPa, "text": test.note}
        yield test.at, "strength test", result | _band("foreseen_{}_MPa", test.foreseen_MPa)


def _surroundings(record: Record) -> Iterator[Event]:
    """Weather, notices, moved windows, photos, faults."""
    zone = record.placed_at.tzinfo
    for day in record.days:
        begins = datetime.combine(day.date, datetime.min.time(), tzinfo=zone)
        air: Row = {
            "what": f"{day.hours} hours known",
            "value_C": day.low_C,
            "value_max_C": day.high_C,
            "rain_mm": day.rain_mm,
        }
        yield max(begins, record.placed_at), "weather", air
    for notice in record.reminders:
        cells: Row = {"what": notice.step, "state": notice.state, "text": notice.kind}
        yield notice.done_at or notice.due_at, "notice", cells
    for move in record.moves:
        yield move.at, "windows moved", {"text": move.why}
    for fault in record.faults:
        causes = ", ".join(one.cause for one in fault.causes.speaks_for)
        text = "; ".join(one for one in (fault.note, causes) if one)
        yield fault.at, "fault", {"what": fault.kind, "text": text}
    for photo in record.photos:
        yield photo.at, "photo", {"what": photo.step or "the piece", "text": photo.note}


def _band(name: str, band: Band | None) -> Row:
    if band is None:
        return {}
    return {name.format(part): value for part, value in asdict(band).items()}


def _iso(at: datetime | None) -> str | None:
    return None if at is None else at.isoformat(timespec="seconds")

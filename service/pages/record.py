"""The record of a piece and the care sheet of its owner, each on a page to print."""

from datetime import datetime
from typing import Any

from fastapi import APIRouter, Response

from models.message import Message
from models.planning.predicted import Band
from models.simulation.scenario import SET_KINDS
from service.actions.record.care_sheet import care_sheet
from service.actions.record.parts import Mixed, Read, Record, StepRecord
from service.actions.record.pour_record import read_pour_record
from service.nouns.place import PLACE_WORDS
from service.nouns.reading import DRYING_WORDS, LOOK_WORDS, READING_WORDS, SET_WORDS
from service.nouns.strength_test import TEST_WORDS
from service.pages import picture, render, view
from service.pages.form_post import PageRoute
from service.request_context import ContextDep, Key
from service.words import Reader, measure, say
from service.words.instants import which

router = APIRouter(prefix="/pours/{pour_id}", route_class=PageRoute, include_in_schema=False)
SHOWN_MOVES = 5
CALIBRATED_WORDS = {
    "lag_h": "air lags {:.1f} h",
    "offset_K": "air {:+.1f} K",
    "strength_factor": "strength × {:.2f}",
    "set_factor": "setting time × {:.2f}",
}


@router.get("/record")
def record_page(pour_id: Key, context: ContextDep) -> Response:
    record = read_pour_record(context.store, context.now, pour_id)
    reader = context.reader(record.timezone, record.placed_at)
    sent = [one for one in record.reminders if one.state == "sent"]
    return render.page(
        "record.html",
        title=f"Record: {record.piece['name']}",
        reader=reader,
        record=record,
        day=_Day(record.placed_at),
        facts=_facts(record, reader),
        steps=[_step(step, _Day(record.placed_at)) for step in record.steps],
        batches=[(one.at, _batch(one, reader)) for one in record.batches],
        measured=_measured(record, reader),
        covers=[(view.laid_words(lay.kind, lay.faces), lay) for lay in record.protections],
        weather=picture.days(record.days, record.piece["name"]),
        sent=sent,
        moves=record.moves[-SHOWN_MOVES:],
        earlier_moves=max(0, len(record.moves) - SHOWN_MOVES),
        step_words=view.title,
    )


@router.get("/care")
def care_page(pour_id: Key, context: ContextDep) -> Response:
    with context.store.reading() as session:
        sheet = care_sheet(session, pour_id)
    reader = context.reader(sheet.timezone, sheet.placed_at)
    low, high = sheet.reseal_years
    months = {"from_months": 12 * low, "to_months": 12 * high}
    years = {"from_years": low, "to_years": high}
    reseal = (
        Message("care_reseal_months", months) if high <= 1 else Message("care_reseal_years", years)
    )
    return render.page(
        "care.html",
        title=f"Care: {sheet.piece}",
        reader=reader,
        sheet=sheet,
        shape=say(sheet.shape, reader),
        reseal=say(reseal, reader),
        say=lambda message: say(message, reader),
        by_code=lambda code: say(Message(code), reader),
        day=_Day(sheet.placed_at),
        mass=measure(sheet.mass_kg, "mass_kg", reader),
    )


class _Day:
    """Instants for paper: never "tomorrow", and the year where it is another."""

    def __init__(self, placed_at: datetime) -> None:
        self._year = placed_at.year

    def __call__(self, at: datetime | None, none: str = "–") -> str:
        if at is None:
            return none
        year = "" if at.year == self._year else f" {at.year}"
        return f"{at:%a} {at.day} {at:%b}{year} {at:%H:%M}{which(at)}"


def _facts(record: Record, reader: Reader) -> list[tuple[str, str]]:
    piece, sealer = record.piece, record.sealer
    sides = [piece[f"{part}_mm"] for part in ("length", "width", "thickness", "height")]
    size = " × ".join(f"{side:g}" for side in sides if side is not None)
    wall = f", wall {piece['wall_mm']:g} mm" if piece["wall_mm"] is not None else ""
    count = len(piece["openings"])
    holes = f", {count} opening{'s' * (count > 1)}" if count else ""
    mass = measure(record.mass_kg, "mass_kg", reader)
    facts = [("Piece", _joined(f"{piece['shape']} {size} mm{wall}{holes}", mass))]
    facts.append(("Mix", _mix(record.mix)))
    facts.append(
        (
            "Mould",
            f"{record.mould['name']}: {record.mould['material']}" if record.mould else "not told",
        )
    )
    facts.append(("Place", f"{record.place['name']}: {PLACE_WORDS[record.place['kind']]}"))
    facts.append(
        (
            "As placed",
            _joined(
                measure(record.concrete_C, "temperature_C", reader),
                f"{record.bags:g} bags" if record.bags is not None else "",
                f"{record.bags_needed:g} bags needed" if record.bags_needed is not None else "",
                f"{measure(record.water_added_l, 'volume_l', reader)} of water above the label"
                if record.water_added_l
                else "no water above the label",
            ),
        )
    )
    litres = measure(sealer.litres_a_coat, "volume_l", reader)
    amount = f"about {litres} a coat for top and edges" if litres else ""
    coats = f"{sealer.coats_done} of {sealer.coats} coats on"
    if not sealer.coats:
        coats, amount = f"{sealer.coats_done} coats on" if sealer.coats_done else "", ""
    named = (
        sealer.name if sealer.name == sealer.chemistry else f"{sealer.name} ({sealer.chemistry})"
    )
    facts.append(("Sealer", _joined(named, coats, amount)))
    calibrated = [
        words.format(record.learned[name])
        for name, words in CALIBRATED_WORDS.items()
        if name in record.learned
    ]
    if calibrated:
        facts.append(("Learned before", ", ".join(calibrated)))
    if record.note:
        facts.append(("Note", record.note))
    return facts


def _mix(mix: dict[str, Any]) -> str:
    label = ", ".join(
        f"{point['MPa']:.3g} MPa at {point['age_h'] / 24:g} d" for point in mix["label"]
    )
    ratio = f"w/c {mix['water_cement']:g}" if mix["water_cement"] else ""
    return _joined(f"{mix['name']} ({mix['kind']})", label, ratio)


def _joined(*parts: str) -> str:
    return "; ".join(part for part in parts if part) or "not told"


def _step(step: StepRecord, day: _Day) -> tuple[str, str, str, str, str]:
    """Name, likely and sure as told first, sure as told last, done."""
    first = step.first_told
    last = step.before_done if step.done_at is not None else step.newest
    nothing = "not foreseen" if first is None else "no hour"
    return (
        view.title(step.step),
        day(first.likely_at if first else None, nothing),
        day(first.sure_at if first else None, nothing),
        day(last.sure_at if last else None, "not foreseen" if last is None else last.state),
        day(step.done_at, "not marked"),
    )


def _batch(one: Mixed, reader: Reader) -> str:
    words = view.batch_words(one.bags, one.water_l, one.concrete_C, reader)
    return f"{words} ({one.note})" if one.note else words


def _measured(record: Record, reader: Reader) -> list[tuple[datetime, str, str, str]]:
    """When, what, as it was seen, what the model says of it."""
    rows = [(one.at, *_read(one)) for one in record.readings]
    for test in record.strength_tests:
        words = TEST_WORDS[test.kind].split(",")[0]
        rows.append(
            (
                test.at,
                words,
                measure(test.strength_MPa, "stress_MPa", reader),
                _band(test.foreseen_MPa, "MPa"),
            )
        )
    return sorted(rows, key=lambda row: row[0])


def _read(one: Read) -> tuple[str, str, str]:
    note = f" ({one.note})" if one.note else ""
    if one.kind in SET_KINDS:
        return f"set, {SET_WORDS[one.kind]}{note}", f"{one.age_h:g} h", _band(one.foreseen, "h")
    beside = "" if one.of_this_piece else ", at another piece"
    if one.kind in LOOK_WORDS:
        return f"{LOOK_WORDS[one.kind]}{beside}{note}", "", ""
    if one.kind in DRYING_WORDS:
        mass = "" if one.mass_g is None else f"{one.mass_g:g} g"
        return f"{DRYING_WORDS[one.kind]}{beside}{note}", mass, ""
    if one.kind == "humidity":
        return f"humidity of the air{beside}{note}", f"{one.rh_pct:g} %", ""
    words = READING_WORDS[one.kind].split(",")[0] + beside + note
    if one.kind != "air-min-max":
        return words, f"{one.value_C:g} °C", _band(one.foreseen, "°C")
    return (
        f"{words}, {one.span_h:g} h",
        f"{one.value_C:g} to {one.value_max_C:g} °C",
        f"{_band(one.foreseen, '')}; {_band(one.foreseen_max, '°C')}",
    )


def _band(band: Band | None, unit: str) -> str:
    if band is None or band.p50 is None:
        return "–"
    low, mid, high = ("…" if v is None else f"{v:.1f}" for v in (band.p10, band.p50, band.p90))
    return f"{mid} ({low} to {high}) {unit}".rstrip()

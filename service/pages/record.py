"""The record of a piece, to read on a phone and to print."""

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date, datetime, time
from itertools import starmap
from typing import Any
from zoneinfo import ZoneInfo

from fastapi import APIRouter, Response
from markupsafe import Markup

from models.planning.predicted import Band
from models.records import Shop
from models.simulation.scenario import SET_KINDS
from service.actions.record.parts import Mixed, Read, Record, SealedWith, StepRecord
from service.actions.record.pour_record import read_pour_record
from service.actions.windows.scenario_rows import shape_of
from service.answers import read_answer, read_concrete
from service.nouns.place import PLACE_WORDS
from service.nouns.reading import DRYING_WORDS, LOOK_WORDS, READING_WORDS, SET_WORDS
from service.nouns.strength_test import TEST_WORDS
from service.pages import faults, page_data, picture, render, timeline_picture, view
from service.pages.assumed import of_pour
from service.pages.form_post import PageRoute
from service.pages.prices import cost_rows
from service.piece_drawing import drawing
from service.queries.rows import find_shop
from service.request_context import ContextDep, Key
from service.words import Reader, instant, measure, word
from service.words.instants import deserved, on_day
from service.words.measures import bare

router = APIRouter(prefix="/pours/{pour_id}", route_class=PageRoute, include_in_schema=False)
SHOWN_MOVES = 5
NOON = time(12)
PLURALS = {
    "pour": "pours",
    "batch": "batches",
    "step": "steps",
    "reading": "readings",
    "test": "tests",
    "cover": "covers",
    "photo": "photos",
    "fault": "faults",
}


@router.get("/record")
def record_page(pour_id: Key, context: ContextDep) -> Response:
    data = page_data.of_pour(context, pour_id)
    reader = context.reader(data.place.timezone, data.pour.placed_at)
    record = read_pour_record(context.store, context.now, pour_id, reader)
    sent = [one for one in record.reminders if one.state == "sent"]
    with context.store.reading() as session:
        shop = find_shop(session)
    shape = shape_of(data.piece)
    day, zone = _Day(record, reader), ZoneInfo(record.timezone)

    on_paper = replace(reader, now=None)  # of hours that have come as of all others

    def on(told: date) -> str:
        return instant(datetime.combine(told, NOON, zone), "day", reader)

    return render.page(
        "record.html",
        title=f"Record: {record.piece['name']}",
        reader=reader,
        shop=shop.name,
        timeline=_timeline(data, shop, view.Clock(context.now, on_paper, paper=True)),
        record=record,
        day=day,
        date=lambda at: instant(at, "date", reader),
        on=on,
        facts=_facts(record, reader),
        drawing=drawing(shape, data.piece.name, reader, marks=faults.marks(record.faults)),
        wrong=[faults.recorded(one, shape, reader) for one in record.faults],
        cost=cost_rows(record.cost, reader) if record.cost else None,
        assumed=of_pour(record.assumed, page_data.usual(context, data), reader),
        steps=[_step(step, day, on_paper) for step in record.steps if _shown(record, step)],
        others=[view.title(one.step, reader) for one in record.steps if not _shown(record, one)],
        batches=[(one.at, _batch(one, reader)) for one in record.batches],
        measured=_measured(record, reader),
        covers=[(view.laid_words(lay.kind, lay.faces), lay) for lay in record.protections],
        weather=picture.days(record.days, record.piece["name"], reader, on),
        sent=sent,
        moves=record.moves[-SHOWN_MOVES:],
        earlier_moves=max(0, len(record.moves) - SHOWN_MOVES),
        step_words=lambda step: view.title(step, reader),
        logged=_logged(record),
    )


def _logged(record: Record) -> list[tuple[str, str]]:
    """Who logged what: `Ann`, `pour, 2 readings`."""
    counted: dict[str, Counter[str]] = {}
    for one in record.logged:
        counted.setdefault(one.name, Counter())[one.what] += 1
    return [(name, ", ".join(starmap(_many, of.items()))) for name, of in counted.items()]


def _many(what: str, count: int) -> str:
    return what if count == 1 else f"{count} {PLURALS[what]}"


def _timeline(data: page_data.PourData, shop: Shop, clock: view.Clock) -> Markup | None:
    """What was done, and when it had been said to be safe, drawn."""
    if data.projection is None:
        return None
    answer, concrete = read_answer(data.projection.answer), read_concrete(data.projection.concrete)
    around = timeline_picture.Around.rows(data.place, shop)
    return timeline_picture.of(answer, concrete, around, clock.reader, clock, data.piece.name)


class _Day:
    """Instants for paper: never "tomorrow", and the year where it is another."""

    def __init__(self, record: Record, reader: Reader) -> None:
        self._year, self._reader = record.placed_at.year, reader

    def __call__(self, at: datetime | None, none: str = "–") -> str:
        if at is None:
            return none
        if at.year == self._year:
            return instant(at, "", self._reader)
        return on_day(instant(at, "date", self._reader), at, self._reader)


def _facts(record: Record, reader: Reader) -> list[tuple[str, str]]:
    piece, sealer = record.piece, record.sealer
    sides = [piece[f"{part}_mm"] for part in ("length", "width", "thickness", "height")]
    told = [side for side in sides if side is not None]
    size = " × ".join(bare(side, "length_mm", reader) for side in told[:-1])
    size += f" × {measure(told[-1], 'length_mm', reader)}"
    wall = measure(piece["wall_mm"], "length_mm", reader)
    wall = f", wall {wall}" if wall else ""
    count = len(piece["openings"])
    holes = f", {count} opening{'s' * (count > 1)}" if count else ""
    mass = measure(record.mass_kg, "mass_kg", reader)
    facts = [
        ("Piece", _joined(f"{word('shape', piece['shape'], reader)} {size}{wall}{holes}", mass))
    ]
    facts.append(("Mix", _mix(record.mix, reader)))
    facts.append(
        (
            "Mould",
            _joined(
                f"{record.mould['name']}: {record.mould['material']}",
                f"its use number {record.mould_use}" if record.mould_use else "",
                record.mould["release_agent"],
            )
            if record.mould
            else "not written down",
        )
    )
    if record.series_number and (record.series_of or record.series_number > 1):
        of = f" of {record.series_of}" if record.series_of else ""
        facts.append(("Series", f"number {record.series_number}{of}"))
    facts.append(("Place", f"{record.place['name']}: {PLACE_WORDS[record.place['kind']]}"))
    facts.append(
        (
            "As placed",
            _joined(
                measure(record.concrete_C, "temperature_C", reader),
                f"{record.bags:g} bags" if record.bags is not None else "",
                f"{record.bags_needed:g} bags needed" if record.bags_needed is not None else "",
                f"{measure(record.water_added_l, 'volume_l', reader)} of extra water"
                if record.water_added_l
                else "no extra water",
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
    if len(sealer.products) > 1:
        named, amount = "", ""
        coats = _joined(coats, *(_product(one, reader) for one in sealer.products))
    facts.append(("Sealer", _joined(named, coats, amount)))
    if record.learned:
        facts.append(("Learned before", ", ".join(_learned(record.learned, reader))))
    if record.note:
        facts.append(("Note", record.note))
    return facts


def _product(one: SealedWith, reader: Reader) -> str:
    """One product of a finish: `House wax (wax), 2 coats, about 0.1 L a coat`."""
    named = one.name if one.name == one.chemistry else f"{one.name} ({one.chemistry})"
    litres = measure(one.litres_a_coat, "volume_l", reader)
    coats = f"{one.coats} coat{'' if one.coats == 1 else 's'}"
    return f"{named}, {coats}{f', about {litres} a coat' if litres else ''}"


def _learned(learned: Mapping[str, float], reader: Reader) -> list[str]:
    """What the place and the mix had taught before this pour."""
    warmer = measure(learned.get("offset_K"), "temperature_difference_K", reader)
    words = {
        "lag_h": "air follows outdoors by {:.1f} h",
        "offset_K": f"air {warmer} warmer than outdoors",
        "strength_factor": "strength × {:.2f}",
        "set_factor": "setting time × {:.2f}",
    }
    return [words[name].format(value) for name, value in learned.items() if name in words]


def _mix(mix: dict[str, Any], reader: Reader) -> str:
    label = ", ".join(
        f"{measure(point['MPa'], 'stress_MPa', reader)} at {point['age_h'] / 24:g} d"
        for point in mix["label"]
    )
    ratio = f"w/c {mix['water_cement']:g}" if mix["water_cement"] else ""
    return _joined(f"{mix['name']} ({mix['kind']})", label, ratio)


def _joined(*parts: str) -> str:
    return "; ".join(part for part in parts if part) or "not written down"


@dataclass(frozen=True)
class StepLine:
    """One step: what was said of it first and last, and when it was done; nothing where not."""

    title: str
    likely: str
    safe: str
    last: str
    done: str


def _step(step: StepRecord, day: _Day, on_paper: Reader) -> StepLine:
    """Its hours as fine as they deserved when they were told, as on the page of the piece."""

    def told(at: datetime | None) -> str:
        return day(at and deserved(at, on_paper, up=True), "")

    first = step.first_told
    last = step.before_done if step.done_at is not None else step.newest
    return StepLine(
        title=view.title(step.step, on_paper),
        likely=told(first.likely_at if first else None),
        safe=told(first.sure_at if first else None),
        last=told(last.sure_at if last else None),
        done=day(step.done_at, ""),
    )


def _shown(record: Record, step: StepRecord) -> bool:
    """What was done; while the pour goes on, what an hour was said of too."""
    if step.done_at is not None or record.closed_at is not None:
        return step.done_at is not None
    told = (step.first_told, step.before_done, step.newest)
    return any(one is not None and (one.likely_at or one.sure_at) for one in told)


def _batch(one: Mixed, reader: Reader) -> str:
    words = view.batch_words(one, reader)
    return f"{words} ({one.note})" if one.note else words


@dataclass(frozen=True)
class Seen:
    """What was measured or seen, and what had been expected of it."""

    at: datetime
    what: str
    value: str
    expected: str


def _measured(record: Record, reader: Reader) -> list[Seen]:
    rows = [Seen(one.at, *_read(one, reader)) for one in record.readings]
    for test in record.strength_tests:
        words = TEST_WORDS[test.kind].split(",")[0]
        value = measure(test.strength_MPa, "stress_MPa", reader)
        rows.append(Seen(test.at, words, value, _band(test.foreseen_MPa, "stress_MPa", reader)))
    return sorted(rows, key=lambda row: row.at)


def _read(one: Read, reader: Reader) -> tuple[str, str, str]:
    note = f" ({one.note})" if one.note else ""
    note += ", the instrument was wrong" if one.wrong else ""
    note += ", beside another: not counted" if one.spare else ""
    if one.kind in SET_KINDS:
        return f"set, {SET_WORDS[one.kind]}{note}", f"after {one.age_h:.1f} h", _hours(one.foreseen)
    beside = "" if one.of_this_piece else ", at another piece"
    if one.kind in LOOK_WORDS:
        return f"{LOOK_WORDS[one.kind]}{beside}{note}", "", ""
    if one.kind in DRYING_WORDS:
        mass = measure(one.mass_g, "mass_g", reader)
        return f"{DRYING_WORDS[one.kind]}{beside}{note}", mass, ""
    if one.kind == "humidity":
        return f"humidity of the air{beside}{note}", f"{one.rh_pct:g} %", ""
    words = READING_WORDS[one.kind].split(",")[0] + beside + note
    value = measure(one.value_C, "temperature_C", reader)
    expected = _band(one.foreseen, "temperature_C", reader)
    if one.kind != "air-min-max":
        return words, value, expected
    high = measure(one.value_max_C, "temperature_C", reader)
    expected_high = _band(one.foreseen_max, "temperature_C", reader)
    return f"{words}, over {one.span_h:g} h", f"{value} to {high}", f"{expected}; {expected_high}"


def _band(band: Band | None, dimension: str, reader: Reader) -> str:
    """The middle, and between which two 8 in 10 fall."""
    if band is None or band.p50 is None:
        return "–"
    ends = [bare(end, dimension, reader) or "…" for end in (band.p10, band.p90)]
    return f"{measure(band.p50, dimension, reader)} ({' to '.join(ends)})"


def _hours(band: Band | None) -> str:
    if band is None or band.p50 is None:
        return "–"
    ends = ["…" if end is None else f"{end:.1f}" for end in (band.p10, band.p90)]
    return f"after {band.p50:.1f} h ({' to '.join(ends)})"

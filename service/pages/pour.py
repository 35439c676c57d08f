"""One pour: its windows, its pictures, what was logged, what may be done."""

from dataclasses import dataclass, replace
from typing import Any

from fastapi import APIRouter, Response
from markupsafe import Markup

from models.message import Message
from models.records import Batch, Pour, Projection, Reading, Shop, StrengthTest
from service.actions.pours.log_pour import CLOSE_REASONS
from service.answers import PourSummaryResponse, read_answer, read_concrete, told
from service.nouns.form import Form
from service.nouns.place import PLACE_WORDS
from service.nouns.reading import DRYING_WORDS, LOOK_WORDS, READING_WORDS, SET_WORDS
from service.nouns.strength_test import TEST_WORDS
from service.nouns.tonight import NIGHT
from service.pages import page_data, render, timeline_picture, view
from service.pages.form_post import PageRoute
from service.queries.jobs import pours_due
from service.queries.rows import find_shop, units_of
from service.request_context import ContextDep, Key, RequestContext
from service.words import say

router = APIRouter(route_class=PageRoute, include_in_schema=False)
SHOWN_READINGS = 8


@dataclass(frozen=True)
class Undo:
    """The button that takes back what was just done."""

    action: str
    words: str
    why: str = ""


@dataclass(frozen=True)
class Entry:
    """One thing that was logged: words, when, and how it is taken back."""

    words: str
    at: view.Moment | None
    undo: Undo | None
    mark: Undo | None = None  # kept, and counted or not


@router.get("/pours/{pour_id}")
def show(pour_id: Key, context: ContextDep) -> Response:
    with context.store.reading() as session:
        due, units = pour_id in pours_due(session, context.now), units_of(session)
        shop = find_shop(session)
    data = page_data.of_pour(context, pour_id)
    if data.pour.closed_at is None and (due or _late(context, data.projection)):
        context.recompute(pour_id)
        data = page_data.of_pour(context, pour_id)
    clock = view.Clock(context.now, context.reader(data.place.timezone, data.pour.placed_at))
    return render.page(
        "pour.html",
        title=data.piece.name,
        reader=clock.reader,
        data=data,
        clock=clock,
        facts=_facts(data, clock),
        logged=_logged(data, clock),
        covers=_covers(data, clock),
        close_words=CLOSE_REASONS,
        attribution=page_data.credit(context.weather, [data.weather]),
        **_windows(data.projection, clock),
        timeline=_timeline(data, shop, clock),
        night=Form.of(NIGHT, None, units),
    )


def _late(context: RequestContext, projection: Projection | None) -> bool:
    return projection is None or view.outdated(
        read_answer(projection.answer).steps, context.now, projection.checked_at
    )


def _timeline(data: page_data.PourData, shop: Shop, clock: view.Clock) -> Markup | None:
    """The picture of an open pour that was reckoned."""
    if data.projection is None or data.pour.closed_at is not None:
        return None
    answer, concrete = read_answer(data.projection.answer), read_concrete(data.projection.concrete)
    around = timeline_picture.Around.rows(data.place, shop)
    return timeline_picture.of(answer, concrete, around, clock.reader, clock, data.piece.name)


def _windows(projection: Projection | None, clock: view.Clock) -> dict[str, Any]:
    """Windows and warnings of the newest reckoning; empty when there is none."""
    empty: dict[str, Any] = {
        "steps": [],
        "warnings": [],
        "urgent": [],
        "evidence": "",
        "caution": "",
        "checked": None,
        "moved": "",
        "blocked": projection is None,
        "plan": None,
        "acts": [],
    }
    if projection is None:
        return empty
    answer = told(read_answer(projection.answer), clock.reader)
    concrete = read_concrete(projection.concrete)
    steps = answer.steps
    urgent = [text for _, text in view.urgent_warnings(answer)]
    return {
        **empty,
        "steps": view.steps(steps, clock, projection.checked_at),
        "urgent": urgent,
        "warnings": [*urgent, *(text for text in answer.warnings if text not in urgent)],
        "evidence": answer.evidence,
        "caution": answer.pour.caution,
        "checked": clock(projection.checked_at),
        "moved": say(Message(**projection.moved), clock.reader) if projection.moved else "",
        "blocked": concrete is None,
        "plan": answer.coat_plan,
        "acts": view.acts(answer.plan, clock),
    }


def _facts(data: page_data.PourData, clock: view.Clock) -> list[tuple[str, str]]:
    """What was poured, measures as its reader measures."""
    piece, pour = data.piece, data.pour
    summary = read_answer(data.projection.answer).pour if data.projection else PourSummaryResponse()
    measures = [
        (name, getattr(piece, f"{part}_mm"))
        for name, part in (
            ("Length", "length"),
            ("Width", "width"),
            ("Thickness", "thickness"),
            ("Height", "height"),
            ("Wall", "wall"),
        )
    ]
    facts = [(name, clock.measure(mm, "length_mm")) for name, mm in measures if mm is not None]
    for k, hole in enumerate(piece.openings):
        sizes = " × ".join(
            clock.measure(hole[part], "length_mm") for part in ("length_mm", "width_mm")
        )
        facts.append((f"Opening {k + 1}", sizes))
    if summary.volume_l is not None:
        facts.append(("Volume", clock.measure(summary.volume_l, "concrete_l")))
        facts.append(("Mass", clock.measure(summary.mass_kg, "mass_kg")))
        if summary.bags is not None:
            facts.append(("Bags needed", f"{summary.bags} ({summary.bags_net} net)"))
    place = f"{data.place.name}: {PLACE_WORDS[data.place.kind]}"
    facts += [("Mix", data.mix.name), ("Place", place)]
    facts.append(("Mould", data.mould.name if data.mould else "melamine, 16 mm (not told)"))
    facts.append(("Sealer", data.sealer.name if data.sealer else "not chosen yet"))
    return facts + _poured(pour, clock)


def _poured(pour: Pour, clock: view.Clock) -> list[tuple[str, str]]:
    facts = []
    if pour.concrete_C is not None:
        facts.append(("Concrete as placed", clock.measure(pour.concrete_C, "temperature_C")))
    if pour.water_added_l:
        facts.append(("Water above the label", clock.measure(pour.water_added_l, "volume_l")))
    if pour.bags is not None:
        facts.append(("Bags poured", f"{pour.bags:g}"))
    if pour.note:
        facts.append(("Note", pour.note))
    return facts


def _logged(data: page_data.PourData, clock: view.Clock) -> list[Entry]:
    """Steps, tests, batches and readings, newest first in each."""
    base = f"/pours/{data.pour.id}"

    def entry(path: str, row: Batch | Reading | StrengthTest, words: str) -> Entry:
        return Entry(words, clock(row.at), Undo(f"{base}/{path}/{row.id}/remove", "Remove"))

    steps = [
        Entry(view.title(row.step), clock(row.at), Undo(f"{base}/steps/{row.step}/undo", "Undo"))
        for row in reversed(data.done)
    ]
    tests = [
        entry(
            "tests",
            row,
            f"{TEST_WORDS[row.kind].split(',')[0]} {clock.measure(row.MPa, 'stress_MPa')}",
        )
        for row in reversed(data.tests)
    ]
    batches = [
        entry("batches", row, view.batch_words(row.bags, row.water_l, row.concrete_C, clock.reader))
        for row in reversed(data.batches)
    ]
    readings = [
        replace(entry("readings", row, _reading(row, clock)), mark=_mark(row, base))
        for row in data.readings[: -SHOWN_READINGS - 1 : -1]
    ]
    return steps + tests + batches + readings


def _mark(row: Reading, base: str) -> Undo:
    mark = ("right", "It counts after all") if row.wrong else ("wrong", "Instrument was wrong")
    return Undo(f"{base}/readings/{row.id}/{mark[0]}", mark[1])


def _reading(row: Reading, clock: view.Clock) -> str:
    return _value(row, clock) + (" (instrument wrong: not counted)" if row.wrong else "")


def _value(row: Reading, clock: view.Clock) -> str:
    if row.kind == "tile":
        return f"witness tile: {clock.measure(row.mass_g, 'mass_g')}"
    if row.kind == "humidity":
        return f"humidity of the air: {row.rh_pct:g} %"
    if row.kind in DRYING_WORDS:
        return DRYING_WORDS[row.kind]
    if row.kind in LOOK_WORDS:
        return f"corner: {LOOK_WORDS[row.kind]}"
    if row.kind in SET_WORDS:
        return f"set seen, {SET_WORDS[row.kind]}"
    value = clock.measure(row.value_C, "temperature_C")
    if row.kind != "air-min-max":
        return f"{READING_WORDS[row.kind].split(',')[0]}: {value}"
    high = clock.measure(row.value_max_C, "temperature_C")
    return f"air over {row.span_h:g} h: low {value}, high {high}"


def _covers(data: page_data.PourData, clock: view.Clock) -> list[dict[str, Any]]:
    return [
        {
            "words": view.laid_words(row.kind, row.faces)
            + (f" at {clock.measure(row.setpoint_C, 'temperature_C')}" if row.setpoint_C else ""),
            "on": clock(row.from_at),
            "off": clock(row.to_at),
            "lies": row.from_at <= clock.now and (row.to_at is None or row.to_at > clock.now),
            "base": f"/pours/{data.pour.id}/covers/{row.id}",
        }
        for row in data.protections
    ]

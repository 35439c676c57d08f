"""The page of a place: how cold it gets here tonight, in a picture; a logger's file taken in."""

from collections.abc import Sequence
from datetime import timedelta
from typing import Any

from fastapi import APIRouter, Response

from models.errors import Unknown
from models.message import Message
from models.planning.place_conditions import PlaceConditions
from service.actions.weather.show_place import PlaceReport, show_place
from service.pages import calibrated, night, page_data, place_picture, render, view
from service.pages.form_post import PageRoute
from service.request_context import ContextDep, Key
from service.words import Reader, measure, say, say_all

router = APIRouter(route_class=PageRoute, include_in_schema=False)
EVERY_H = 6
HOUR = timedelta(hours=1)
SAME_K = 0.25  # nobody feels less
Cells = tuple[str, ...]
KINDS = {
    "open yard": "open yard: sun, sky, rain and half of the wind",
    "covered": "under a roof: no sun, no rain, a quarter of the wind",
    "unheated room": "unheated room: follows outdoors late and damped",
    "heated room": "heated room, with a small chance that the heating fails",
}


@router.get("/places/{place_id}")
def place(place_id: Key, context: ContextDep) -> Response:
    with context.store.reading() as session:
        data = show_place(session, context.now, place_id)
        weather = page_data.weather(session, context.now, data.place)
    clock = view.Clock(context.now, context.reader(data.place.timezone))
    conditions, reader = data.air, clock.reader
    shown: dict[str, Any] = (
        {"missing": say(conditions.message, reader), "picture": "", "lines": []}
        if isinstance(conditions, Unknown)
        else _shown(data, conditions, clock)
    )
    return render.page(
        "place.html",
        title=data.place.name,
        tab="shop",
        reader=reader,
        place=data.place,
        kind=KINDS[data.place.kind],
        pieces=[(pour_id, name) for pour_id, name, _ in data.pieces],
        calibrated=calibrated.words(data.place, reader),
        official=page_data.official(data.place, clock),
        warnings=say_all(data.warnings, reader),
        weather=weather,
        attribution=page_data.credit(context.weather, [weather]),
        **shown,
    )


def _shown(data: PlaceReport, conditions: PlaceConditions, clock: view.Clock) -> dict[str, Any]:
    """The coming night here in words, the picture, and its numbers."""
    begin, end = night.span(clock.now, data.place.timezone)
    rows = [k for k, at in enumerate(conditions.times) if begin <= at <= end]
    least = min(((k, float(conditions.place_C.p50[k])) for k in rows), key=lambda one: one[1])
    row, value = least
    apart_K = sum(
        float(conditions.place_C.p50[k] - conditions.outdoors_C.p50[k]) for k in rows
    ) / len(rows)
    return {
        "missing": "",
        "least": measure(value, "temperature_C", clock.reader),
        "frost": value < 0.0,
        "cold": measure(float(conditions.place_C.p10[row]), "temperature_C", clock.reader),
        "least_at": clock(conditions.times[row]),
        "apart": _apart(apart_K, clock.reader),
        "picture": place_picture.draw(
            conditions, [concrete for *_, concrete in data.pieces], clock, data.place.name, least
        ),
        "lines": _lines(data, conditions, clock),
    }


def _apart(apart_K: float, reader: Reader) -> str:
    """`1.9 degrees warmer than outdoors`, over the coming night."""
    if abs(apart_K) < SAME_K:
        return say(Message("as_outdoors"), reader)
    size = measure(abs(apart_K), "temperature_difference_K", reader)
    return say(Message("warmer_here" if apart_K > 0 else "colder_here", {"size": size}), reader)


def _lines(data: PlaceReport, conditions: PlaceConditions, clock: view.Clock) -> list[Cells]:
    """Every six hours from now on: when, outdoors, here, humidity, the concrete of its pieces."""
    begin = next((k for k, at in enumerate(conditions.times) if at >= clock.now - HOUR), 0)
    concrete = [place_picture.on_hours(conditions.times, one) for *_, one in data.pieces]
    return [
        _line(conditions, concrete, k, clock) for k in range(begin, len(conditions.times), EVERY_H)
    ]


def _line(
    conditions: PlaceConditions,
    concrete: Sequence[Sequence[float | None]],
    k: int,
    clock: view.Clock,
) -> Cells:
    def told(value: float | None) -> str:
        return "–" if value is None else measure(float(value), "temperature_C", clock.reader)

    moment = clock(conditions.times[k])
    assert moment is not None
    middle, low, high = (getattr(conditions.place_C, part)[k] for part in ("p50", "p10", "p90"))
    return (
        moment.clock,
        told(conditions.outdoors_C.p50[k]),
        f"{told(middle)} ({told(low)} to {told(high)})",
        f"{100 * conditions.rh.p50[k]:.0f} %",
        *([", ".join(told(values[k]) for values in concrete)] if concrete else []),
    )

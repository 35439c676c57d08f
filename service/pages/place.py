"""The page of a place: outdoors, here, and the concrete, in one picture and a few numbers."""

from collections.abc import Sequence
from datetime import timedelta

from fastapi import APIRouter, Response

from models.errors import Unknown
from models.planning.place_conditions import PlaceConditions
from service.actions.weather.show_place import PlaceReport, show_place
from service.pages import calibrated, page_data, picture, render, view
from service.pages.form_post import PageRoute
from service.request_context import ContextDep, Key
from service.words import say, say_all

router = APIRouter(route_class=PageRoute, include_in_schema=False)
EVERY_H = 6
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
    return render.page(
        "place.html",
        title=data.place.name,
        tab="shop",
        reader=reader,
        place=data.place,
        kind=KINDS[data.place.kind],
        missing=say(conditions.message, reader) if isinstance(conditions, Unknown) else "",
        picture=""
        if isinstance(conditions, Unknown)
        else picture.place_conditions(
            conditions, [concrete for *_, concrete in data.pieces], clock, data.place.name
        ),
        lines=[] if isinstance(conditions, Unknown) else _lines(data, conditions, clock),
        pieces=[(pour_id, name) for pour_id, name, _ in data.pieces],
        calibrated=calibrated.words(data.place),
        official=page_data.official(data.place, clock),
        warnings=say_all(data.warnings, reader),
        weather=weather,
        attribution=page_data.credit(context.weather, [weather]),
    )


def _lines(
    data: PlaceReport, conditions: PlaceConditions, clock: view.Clock
) -> list[tuple[str, ...]]:
    """Every six hours from now on: when, outdoors, here, humidity, the concrete of its pieces."""
    begin = next(
        (k for k, at in enumerate(conditions.times) if at >= clock.now - timedelta(hours=1)), 0
    )
    concrete = [picture.on_hours(conditions.times, one) for *_, one in data.pieces]
    return [
        _line(conditions, concrete, k, clock) for k in range(begin, len(conditions.times), EVERY_H)
    ]


def _line(
    conditions: PlaceConditions,
    concrete: Sequence[Sequence[float | None]],
    k: int,
    clock: view.Clock,
) -> Cells:
    moment = clock(conditions.times[k])
    assert moment is not None
    middle, low, high = (getattr(conditions.place_C, part)[k] for part in ("p50", "p10", "p90"))
    of_pieces = ("–" if values[k] is None else f"{values[k]:.1f}" for values in concrete)
    return (
        moment.clock,
        f"{conditions.outdoors_C.p50[k]:.1f}",
        f"{middle:.1f} ({low:.1f} to {high:.1f})",
        f"{100 * conditions.rh.p50[k]:.0f}",
        *([", ".join(of_pieces)] if concrete else []),
    )

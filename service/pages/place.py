"""The page of a place: outdoors, here, and the concrete, in one picture and a few numbers."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import timedelta
from typing import Annotated

from fastapi import APIRouter, Path, Response

from models.errors import Unknown
from models.planning.place_conditions import PlaceConditions
from service.actions.show_place import PlaceSeen, show_place
from service.pages import learned, look, picture, render, view
from service.pages.form_post import ContextDep, PageRoute
from service.words import Reader, say, say_all

router = APIRouter(route_class=PageRoute, include_in_schema=False)
EVERY_H = 6
KINDS = {
    "open yard": "open yard: sun, sky, rain and half of the wind",
    "covered": "under a roof: no sun, no rain, a quarter of the wind",
    "unheated room": "unheated room: follows outdoors late and damped",
    "heated room": "heated room, with a small chance that the heating fails",
}


@dataclass(frozen=True)
class Line:
    """One hour in numbers."""

    at: str
    outdoors: str
    here: str
    rh: str
    concrete: str


@router.get("/places/{place_id}")
def place(place_id: Annotated[int, Path(ge=1)], context: ContextDep) -> Response:
    with context.store.reading() as session:
        seen = show_place(session, context.now, place_id)
        weather = look.weather(session, context.now, seen.place)
    clock = view.Clock(context.now, seen.place.timezone)
    told, reader = seen.air, Reader(seen.place.timezone)
    return render.page(
        "place.html",
        title=seen.place.name,
        tab="shop",
        place=seen.place,
        kind=KINDS[seen.place.kind],
        missing=say(told.message, reader) if isinstance(told, Unknown) else "",
        picture=""
        if isinstance(told, Unknown)
        else picture.place_conditions(
            told, [concrete for *_, concrete in seen.pieces], clock, seen.place.name
        ),
        lines=[] if isinstance(told, Unknown) else _lines(seen, told, clock),
        pieces=[(pour_id, name) for pour_id, name, _ in seen.pieces],
        learned=learned.words(seen.place),
        official=look.official(seen.place, clock),
        warnings=say_all(seen.warnings, reader),
        weather=weather,
        attribution=look.credit(context.weather, [weather]),
    )


def _lines(seen: PlaceSeen, told: PlaceConditions, clock: view.Clock) -> list[Line]:
    """Every six hours from now on."""
    begin = next((k for k, at in enumerate(told.times) if at >= clock.now - timedelta(hours=1)), 0)
    concrete = [picture.on_hours(told.times, one) for *_, one in seen.pieces]
    return [_line(told, concrete, k, clock) for k in range(begin, len(told.times), EVERY_H)]


def _line(
    told: PlaceConditions, concrete: Sequence[Sequence[float | None]], k: int, clock: view.Clock
) -> Line:
    moment = clock(told.times[k])
    assert moment is not None
    middle, low, high = (getattr(told.place_C, part)[k] for part in ("p50", "p10", "p90"))
    of_pieces = ("–" if values[k] is None else f"{values[k]:.1f}" for values in concrete)
    return Line(
        moment.clock,
        f"{told.outdoors_C.p50[k]:.1f}",
        f"{middle:.1f} ({low:.1f} to {high:.1f})",
        f"{100 * told.rh.p50[k]:.0f}",
        ", ".join(of_pieces),
    )

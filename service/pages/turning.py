"""Ways to turn a piece, with their pictures: on the phone, and on one sheet."""

from dataclasses import dataclass

from fastapi import APIRouter, Response
from markupsafe import Markup

from models.facts.handling import ADHESION_KN_M2, DYNAMIC_FACTOR, OPENING_CORNER
from models.piece.flat import flats_of
from models.piece.shape import Shape
from models.piece.turning import turning_ways
from service.actions.windows import scenario_rows
from service.actions.windows.standing import standing
from service.answer_turning import TurningWayResponse
from service.answers import StepWindowResponse, read_answer, told
from service.pages import page_data, render, turning_picture
from service.pages.form_post import PageRoute
from service.pages.view import Clock, Moment, step
from service.request_context import ContextDep, Key
from service.words import word

router = APIRouter(prefix="/pours/{pour_id}", route_class=PageRoute, include_in_schema=False)


@dataclass(frozen=True)
class WayView:
    """One way as it may be told now."""

    told: TurningWayResponse
    words: str
    safe: Moment | None
    likely: Moment | None
    gear: tuple[str, ...]
    picture: Markup


@router.get("/turn")
def ways_page(pour_id: Key, context: ContextDep) -> Response:
    data = page_data.of_pour(context, pour_id)
    clock = Clock(context.now, context.reader(data.place.timezone, data.pour.placed_at))
    shape = scenario_rows.shape_of(data.piece)
    board = scenario_rows.board_of(data.mould).material
    row = data.projection
    answer = None if row is None else read_answer(row.answer)
    density = scenario_rows.mixture_of(data.mix).density_kg_m3
    by_key = {one.key: one for one in turning_ways(shape, density, ADHESION_KN_M2[board])}
    window = next((one for one in answer.steps if one.step == "turn"), None) if answer else None
    turn = step(window, clock, row.checked_at) if window and row else None
    now = standing(window, clock.now, row.checked_at) if window and row else None
    ways = [
        _view(
            told(one, clock.reader),
            turning_picture.draw(by_key[one.way], shape, clock.reader),
            now,
            clock,
        )
        for one in (answer.ways if answer else ())
        if one.way in by_key
    ]
    return render.page(
        "turning.html",
        title=f"Turn it: {data.piece.name}",
        reader=clock.reader,
        data=data,
        turn=turn,
        ways=ways,
        jerk=DYNAMIC_FACTOR,
        corner=_corner(shape),
        board=board,
    )


def _corner(shape: Shape) -> float | None:
    """Stress at an opening's corner over that of the width left, as it was reckoned."""
    if not shape.openings:
        return None
    return max((one.corner for one in flats_of(shape)), default=OPENING_CORNER)


def _view(
    one: TurningWayResponse,
    picture: Markup,
    now: StepWindowResponse | None,
    clock: Clock,
) -> WayView:
    """No hour where the step itself has none any more."""
    told_now = now is not None and now.state not in ("blocked", "frozen")
    sure = now is not None and told_now and now.earliest.safe is not None
    likely = now is not None and told_now and now.earliest.p50 is not None
    shown, _ = clock.window(one.safe if sure else None, None)
    perhaps, _ = clock.window(one.p50 if likely else None, None)
    own = [name for name in one.gear if name != "hoist"]  # which is told as who lifts it
    gear = tuple(word("gear", name, clock.reader) for name in own)
    words = word("turned", one.way, clock.reader)
    return WayView(one, words, shown, perhaps, gear, picture)

"""Do the walls of a mould hold the fresh mix: the verdict, a drawing, what would hold."""

from typing import Any

from fastapi import APIRouter, Request, Response

from models.errors import InputError
from models.message import Message
from models.mould import told
from models.mould.check import WORST, Checked, state_of
from models.mould.walls import Wall
from service.actions.shop.mould_walls import MouldWalls, mould_walls
from service.nouns.controls import Controls
from service.nouns.form import Form
from service.nouns.walls import FillingAsk
from service.pages import render, wall_picture
from service.pages.form_post import PageRoute
from service.request_context import ContextDep, Key
from service.words import Reader, say, say_all, word

router = APIRouter(route_class=PageRoute, include_in_schema=False)
_OF = Controls(FillingAsk)
FIELDS = (
    _OF("fresh_mm", "Fresh at once, where lifts below have set", placeholder="all of it"),
    _OF("placing_h", "From its foot to its top, in"),
    _OF("concrete_C", "The mix, as placed"),
    _OF("slump_mm", "Slump", placeholder="it flows"),
    _OF("shaken", "Vibrated from outside, or all of it at once"),
)


@router.get("/moulds/{mould_id}/walls")
def walls(mould_id: Key, request: Request, context: ContextDep) -> Response:
    """fresh_mm, placing_h, concrete_C, slump_mm, shaken : how it is filled; piece : another one"""
    reader, query = context.reader(), request.query_params
    typed = {name: query.getlist(name) for name in query} if "asked" in query else None
    form = Form.of(FIELDS, typed, reader)
    asked, piece_id = FillingAsk(), _whole(query.get("piece"))
    if typed is not None:
        values = {one.name: form.value(one.name) for one in FIELDS}
        asked = FillingAsk() if form.wrong else FillingAsk(**values)
    with context.store.reading() as session:
        try:
            shown = mould_walls(session, mould_id, asked, piece_id)
        except InputError as error:
            if error.field not in form.fields or typed is None:
                raise
            form.refuse(error)
            shown = mould_walls(session, mould_id, FillingAsk(), piece_id)
        mould, piece = shown.mould, shown.piece
        return render.page(
            "walls.html",
            422 if form.wrong else 200,
            title=mould.name,
            tab="shop",
            reader=reader,
            mould=mould,
            piece=piece,
            form=form,
            missing="" if shown.missing is None else say(shown.missing, reader),
            material_words=word("board", mould.material, reader),
            material=say_all(told.material(mould.material), reader),
            logged=_logged(shown, reader),
            **_shown(shown.found, reader),
        )


def _logged(shown: MouldWalls, reader: Reader) -> tuple[str, str] | None:
    """What the batches of the pour in it tell, and the address of the walls under that."""
    found, fresh_mm = shown.found, shown.logged_mm
    if found is None or fresh_mm is None or fresh_mm >= found.pressed.fresh_mm:
        return None
    values = {"fresh_mm": fresh_mm, "depth_mm": found.pressed.depth_mm}
    asked = f"asked=1&fresh_mm={fresh_mm:g}+mm&shaken=1"
    return say(Message("mould_fresh_logged", values), reader), asked


def _whole(text: str | None) -> int | None:
    return int(text) if text and text.isascii() and text.isdigit() and len(text) < 10 else None


def _shown(found: Checked | None, reader: Reader) -> dict[str, Any]:
    if found is None:
        return {"state": "", "picture": "", "head": ""}
    worst = min(
        found.walls, key=lambda one: (WORST.index(state_of(one)), -_used(one)), default=None
    )
    states = [state_of(one) for one in found.walls] or [found.state]
    values = {"foot_kPa": found.pressure.most_kPa, "fresh_mm": found.pressed.fresh_mm}
    return {
        "state": found.state,
        "head": say(Message(f"mould_state.{found.state}"), reader),
        "pressure": say(Message(f"mould_pressure.{found.pressure.rule}", values), reader),
        "picture": worst and wall_picture.draw(worst, found, reader),
        "drawn": worst and say(Message("mould_picture", {"wall": worst.panel.part}), reader),
        "bowed": worst and say(wall_picture.bowed(worst), reader),
        "walls": list(zip(states, say_all(told.walls(found), reader), strict=True)),
        "screws": say_all(told.screws(found), reader),
        "floats": say_all(told.uplifts(found), reader),
        "bearers": say_all(told.bearers(found), reader),
        "shaken": say(Message("mould_shaken"), reader) if found.placing.shaken else "",
        "estimate": say(Message("mould_estimate"), reader),
    }


def _used(one: Wall) -> float:
    return one.bow_mm[2] / one.allowed_mm

"""A maker says that what was assumed is so, of one value or of all of a thing; or takes it back."""

from collections.abc import Iterable
from typing import Annotated

from fastapi import APIRouter, Path, Response
from sqlmodel import Session

from models.records import Pour
from service.actions.shop.confirm import Confirmed, confirm, take_back
from service.nouns.form import Form
from service.pages.flash import Landing
from service.pages.form_post import FormPost, FormPostDep, PageRoute
from service.pages.poured_too import FIELD
from service.queries.rows import find, key_in
from service.request_context import Key

router = APIRouter(route_class=PageRoute, include_in_schema=False)
Noun = Annotated[str, Path(max_length=20)]


@router.post("/pours/{pour_id}/confirm")
def of_pour(pour_id: Key, post: FormPostDep) -> Response:
    """So it is with this pour, and with what it is of from now on."""

    def store(session: Session) -> Landing:
        pour = find(session, Pour, pour_id, "pour_id")
        noun, names = _what(post)
        row_id = 1 if noun == "shop" else getattr(pour, f"{noun}_id", None) or 0
        pours = [] if noun == "shop" else [pour_id]
        done = confirm(session, post.context.now, noun, row_id, names, pours)
        return _landing(f"/pours/{pour_id}", noun, row_id, done, f"{pour_id}")

    return post.write(Form.of([]), store)


@router.post("/shop/{noun}/{row_id}/confirm")
def of_row(noun: Noun, row_id: Key, post: FormPostDep) -> Response:
    """So it is from now on, and with the pours that are ticked."""

    def store(session: Session) -> Landing:
        pours = _keys(post.fields.get(FIELD, ()))
        done = confirm(session, post.context.now, noun, row_id, _what(post)[1], pours)
        return _landing(f"/shop/{noun}/{row_id}", noun, row_id, done)

    return post.write(Form.of([]), store)


@router.post("/shop/{noun}/{row_id}/unconfirm")
def undo(noun: Noun, row_id: Key, post: FormPostDep) -> Response:
    """Nobody said so after all."""
    pours = _keys(post.text("pours").split())
    names = tuple(post.text("names").split())
    pour = key_in(post.text("pour"))
    page = f"/pours/{pour}" if pour is not None else f"/shop/{noun}/{row_id}"

    def store(session: Session) -> Landing:
        what = Confirmed(names, bool(post.text("of_row")), tuple(pours))
        take_back(session, post.context.now, noun, row_id, what)
        return Landing(page, "saved_unconfirmed")

    return post.write(Form.of([]), store)


def _keys(texts: Iterable[str]) -> list[int]:
    return [key for text in texts if (key := key_in(text)) is not None]


def _what(post: FormPost) -> tuple[str, list[str]]:
    """The thing, and of it one value or, where none is named, all."""
    noun, _, name = post.text("what").partition(".")
    return noun, [name] if name else []


def _landing(page: str, noun: str, row_id: int, done: Confirmed, pour: str = "") -> Landing:
    fields = {
        "names": " ".join(done.names),
        "pours": " ".join(map(str, done.pours)),
        "of_row": "1" if done.of_row else "",
        "pour": pour,
    }
    return Landing(page, "saved_confirmed", undo=f"/shop/{noun}/{row_id}/unconfirm", fields=fields)

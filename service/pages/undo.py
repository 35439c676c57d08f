"""The undo of a save, for that very save."""

from fastapi import APIRouter, Response
from sqlmodel import Session

from service.actions.changes import take_back
from service.nouns.form import Form
from service.pages import flash
from service.pages.flash import Landing
from service.pages.form_post import FormPostDep, PageRoute

router = APIRouter(route_class=PageRoute, include_in_schema=False)


@router.post(flash.UNDO)
def undo(post: FormPostDep) -> Response:
    """What was just saved was a mistake."""

    def store(session: Session) -> Landing:
        key = post.text("removal")
        take_back(session, post.context.now, flash.kept(session, key))
        return Landing(flash.page_of(session, key), "saved_undo")

    return post.write(Form.of([]), store)

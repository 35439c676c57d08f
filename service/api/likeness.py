"""A pour beside another of before: what differs of what shows in the face."""

from typing import Annotated

from fastapi import APIRouter, Query

from models.records.fields import LARGEST_KEY
from service.actions.pours.likeness import likeness
from service.nouns.likeness import LikenessRead
from service.request_context import ContextDep, Key

router = APIRouter(tags=["pours"])


@router.get("/pours/{pour_id}/like")
def like(
    pour_id: Key,
    context: ContextDep,
    other_id: Annotated[
        int | None,
        Query(ge=1, le=LARGEST_KEY, description="left out: the last pour of the piece before it"),
    ] = None,
) -> LikenessRead:
    """Water, warmth, mix, lots, mould, cover and strip of both, and from when to judge a colour."""
    with context.store.reading() as session:
        return LikenessRead.model_validate(likeness(session, pour_id, other_id))

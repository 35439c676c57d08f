"""Photos of a pour: sent and given back as bare image bytes."""

from datetime import datetime
from typing import Annotated, Any

from fastapi import APIRouter, Depends, Query, Request, Response
from fastapi.responses import JSONResponse

from models.records import Pour
from models.records.fields import Instant, Note, Word
from service.actions.pours.keep_photo import keep_photo, photo_of, remove_photo
from service.api.edition import LookDep
from service.api.idempotency import IdempotentPostDep
from service.api.listing import PageDep
from service.nouns.base import ResponseBody
from service.queries.pours import photos_of
from service.queries.rows import find
from service.request_context import ContextDep, Key

router = APIRouter(tags=["photos"])
IMAGES = ("image/jpeg", "image/png", "image/webp")
BYTES: dict[str, Any] = {
    kind: {"schema": {"type": "string", "format": "binary"}} for kind in IMAGES
}


class PhotoRead(ResponseBody):
    id: int
    created_at: datetime
    pour_id: int
    at: datetime
    step: str | None
    note: str
    media_type: str
    size_bytes: int
    sha256: str


async def image(request: Request) -> bytes:
    return await request.body()


@router.post(
    "/pours/{pour_id}/photos",
    status_code=201,
    response_model=PhotoRead,
    openapi_extra={"requestBody": {"required": True, "content": BYTES}},
)
def add_photo(
    pour_id: Key,
    post: IdempotentPostDep,
    content: Annotated[bytes, Depends(image)],
    step: Annotated[Word | None, Query()] = None,
    note: Annotated[Note, Query()] = "",
    at: Annotated[Instant | None, Query()] = None,
) -> JSONResponse:
    """The body is the picture; its kind is judged by content, whatever it is called."""
    now = post.now
    return post.write(
        PhotoRead,
        lambda session: keep_photo(
            session, now, pour_id, content, at=at or now, step=step, note=note
        ),
    )


@router.get("/pours/{pour_id}/photos")
def list_photos(pour_id: Key, context: ContextDep, page: PageDep) -> list[PhotoRead]:
    with context.store.reading() as session:
        find(session, Pour, pour_id, "pour_id")
        rows = photos_of(session, pour_id, page.part)
        return page.told([PhotoRead.model_validate(row) for row in rows])


@router.get(
    "/pours/{pour_id}/photos/{photo_id}",
    response_class=Response,
    responses={200: {"content": BYTES}},
)
def read_photo(
    pour_id: Key,
    photo_id: Key,
    context: ContextDep,
    _: LookDep,
) -> Response:
    """The bytes under the kind they are; no cache but the reader's own may hold them."""
    with context.store.reading() as session:
        photo = photo_of(session, pour_id, photo_id)
        headers = {"ETag": f'"{photo.sha256}"', "Cache-Control": "private, no-cache"}
        return Response(photo.content, media_type=photo.media_type, headers=headers)


@router.delete("/pours/{pour_id}/photos/{photo_id}", status_code=204)
def delete_photo(pour_id: Key, photo_id: Key, context: ContextDep) -> None:
    with context.store.unit_of_work() as session:
        remove_photo(session, pour_id, photo_id)

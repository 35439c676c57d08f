"""Moulds as things: which is free when, released, doubled, found faulty, mended."""

from typing import Annotated

from fastapi import APIRouter, Depends, Query, Response
from fastapi.responses import JSONResponse

from models.records import Mould
from models.records.fields import Instant, Note
from service.actions.shop import keep_mould
from service.actions.shop.mould_states import state_of, states
from service.api.catalogue import NamePart, PutAway
from service.api.edition import LookDep
from service.api.idempotency import IdempotentPostDep
from service.api.listing import PageDep
from service.api.photos import BYTES, image
from service.nouns.mould import (
    MouldFaultRead,
    MouldListed,
    MouldRead,
    MouldReleased,
    MouldStanding,
)
from service.queries.moulds import faults
from service.queries.rows import NoSuchRow, by_name, find
from service.request_context import ContextDep, Key
from service.vocabulary import MouldFaultKind

router = APIRouter(prefix="/moulds", tags=["moulds"])
PICTURE = {"requestBody": {"required": False, "content": BYTES}}
FREE_AT = "those alone that take a pour at this instant, as it is foreseen now"


@router.get("", name="list_moulds")
def rows(
    context: ContextDep,
    page: PageDep,
    q: NamePart = "",
    archived: PutAway = False,
    free_at: Annotated[Instant | None, Query(description=FREE_AT)] = None,
) -> list[MouldListed]:
    with context.store.reading() as session:
        found = by_name(session, Mould, archived=archived, q=q, part=page.part)
        told = states(session, context.now, found)
        return page.told(
            [
                MouldListed(**MouldRead.model_validate(one.mould).model_dump(), standing=one.told())
                for one in told
                if free_at is None or one.free_by(free_at)
            ]
        )


@router.get("/{mould_id}/standing")
def read_mould_standing(mould_id: Key, context: ContextDep) -> MouldStanding:
    """What it is just now: what stands in it, from when it is free."""
    with context.store.reading() as session:
        return state_of(session, context.now, find(session, Mould, mould_id, "mould_id")).told()


@router.post("/{mould_id}/released", response_model=MouldStanding)
def release_mould(
    mould_id: Key, post: IdempotentPostDep, wanted: MouldReleased | None = None
) -> JSONResponse:
    """It is cleaned, and release agent is on."""
    at = (wanted.at if wanted else None) or post.now
    return post.write(
        MouldStanding,
        lambda s: state_of(s, post.now, keep_mould.release(s, post.now, mould_id, at)).told(),
        status=200,
    )


@router.post("/{mould_id}/another", status_code=201, response_model=MouldRead)
def add_another_mould(mould_id: Key, post: IdempotentPostDep) -> JSONResponse:
    """One more of its kind, with a sticker of its own."""
    return post.write(MouldRead, lambda s: keep_mould.one_more(s, post.now, mould_id))


@router.get("/{mould_id}/faults")
def list_mould_faults(mould_id: Key, context: ContextDep, page: PageDep) -> list[MouldFaultRead]:
    """The newest first."""
    with context.store.reading() as session:
        find(session, Mould, mould_id, "mould_id")
        found = faults(session, [mould_id], page.part)[mould_id]
        return page.told([MouldFaultRead.model_validate(row) for row in found])


@router.post(
    "/{mould_id}/faults", status_code=201, response_model=MouldFaultRead, openapi_extra=PICTURE
)
def add_mould_fault(
    mould_id: Key,
    post: IdempotentPostDep,
    kind: Annotated[MouldFaultKind, Query()],
    content: Annotated[bytes, Depends(image)],
    note: Annotated[Note, Query()] = "",
    at: Annotated[Instant | None, Query()] = None,
) -> JSONResponse:
    """What is wrong with it; the body is a picture of it, or empty."""
    now = post.now
    return post.write(
        MouldFaultRead,
        lambda session: keep_mould.keep_fault(
            session, now, mould_id, kind, at=at or now, note=note, photo=content
        ),
    )


@router.post("/{mould_id}/faults/{fault_id}/mended", response_model=MouldFaultRead)
def mend_fault(mould_id: Key, fault_id: Key, post: IdempotentPostDep) -> JSONResponse:
    return post.write(
        MouldFaultRead,
        lambda s: keep_mould.mend(s, post.now, mould_id, fault_id, done=True),
        status=200,
    )


@router.post("/{mould_id}/faults/{fault_id}/unmended", response_model=MouldFaultRead)
def unmend_fault(mould_id: Key, fault_id: Key, post: IdempotentPostDep) -> JSONResponse:
    return post.write(
        MouldFaultRead,
        lambda s: keep_mould.mend(s, post.now, mould_id, fault_id, done=False),
        status=200,
    )


@router.delete("/{mould_id}/faults/{fault_id}", status_code=204)
def remove_mould_fault(mould_id: Key, fault_id: Key, context: ContextDep) -> None:
    """It was none."""
    with context.store.unit_of_work() as session:
        keep_mould.remove_fault(session, context.now, mould_id, fault_id, gone=True)


@router.get(
    "/{mould_id}/faults/{fault_id}/photo",
    response_class=Response,
    responses={200: {"content": BYTES}},
)
def read_fault_photo(mould_id: Key, fault_id: Key, context: ContextDep, _: LookDep) -> Response:
    """The bytes under the kind they are; no cache but the reader's own may hold them."""
    with context.store.reading() as session:
        row = keep_mould.fault_of(session, mould_id, fault_id)
        if row.content is None or row.media_type is None or row.removed_at is not None:
            raise NoSuchRow("fault_id", fault_id, "no photo of this fault", "one with media_type")
        headers = {"ETag": f'"{row.sha256}"', "Cache-Control": "private, no-cache"}
        return Response(row.content, media_type=row.media_type, headers=headers)

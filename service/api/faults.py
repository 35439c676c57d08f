"""Faults of a piece: told, listed, taken back, and what the log speaks for of each."""

from fastapi import APIRouter
from fastapi.responses import JSONResponse

from models.records import Pour
from service.actions.pours.keep_fault import keep_fault, remove_fault
from service.actions.record.causes_of import causes_of
from service.api.edition import LookDep
from service.api.idempotency import IdempotentPostDep
from service.api.listing import PageDep
from service.nouns.fault import CausesRead, PourFaultCreate, PourFaultRead, causes_read
from service.queries.faults import faults_of
from service.queries.pours import zone_of
from service.queries.rows import find
from service.request_context import ContextDep, Key
from service.words import Reader

router = APIRouter(prefix="/pours/{pour_id}/faults", tags=["faults"])


@router.get("")
def list_pour_faults(pour_id: Key, context: ContextDep, page: PageDep) -> list[PourFaultRead]:
    """The oldest first."""
    with context.store.reading() as session:
        find(session, Pour, pour_id, "pour_id")
        rows = faults_of(session, pour_id, page.part)
        return page.told([PourFaultRead.model_validate(row) for row in rows])


@router.post("", status_code=201, response_model=PourFaultRead)
def add_pour_fault(pour_id: Key, wanted: PourFaultCreate, post: IdempotentPostDep) -> JSONResponse:
    """What is wrong, when it was seen, where on the piece; its photo is sent to `photos` first."""
    return post.write(PourFaultRead, lambda session: keep_fault(session, post.now, pour_id, wanted))


@router.get("/{fault_id}/causes")
def read_causes(pour_id: Key, fault_id: Key, context: ContextDep, edition: LookDep) -> CausesRead:
    """Each cause by its own number in the log until the fault was seen."""
    with context.store.reading() as session:
        zone = zone_of(session, pour_id)
    found = causes_of(context.store, context.now, pour_id, fault_id)
    return edition.told(causes_read(found, Reader(zone)))


@router.delete("/{fault_id}", status_code=204)
def remove_pour_fault(pour_id: Key, fault_id: Key, context: ContextDep) -> None:
    """It was none."""
    with context.store.unit_of_work() as session:
        remove_fault(session, pour_id, fault_id)

"""Do the walls of a mould hold the fresh mix?"""

from typing import Annotated

from fastapi import APIRouter, Query
from pydantic import BeforeValidator

from models.records.fields import LARGEST_KEY, Hours, Length, Temperature, Word
from service.actions.shop.mould_walls import mould_walls
from service.nouns import walls
from service.nouns.walls import FillingAsk, WallsRead
from service.request_context import ContextDep, Key


def _bare(value: object) -> object:
    """In an address every number is a text; without a unit it is in that of its name."""
    try:
        return float(value) if isinstance(value, str) else value
    except ValueError:
        return value


BARE = BeforeValidator(_bare)
router = APIRouter(prefix="/moulds", tags=["moulds"])
FRESH = "depth that is fresh at once, where lifts below have set; left out: all of it"


@router.get("/{mould_id}/walls")
def mould_walls_of(
    mould_id: Key,
    context: ContextDep,
    piece_id: Annotated[
        int | None, Query(ge=1, le=LARGEST_KEY, description="another piece than its own")
    ] = None,
    fresh_mm: Annotated[Length | None, BARE, Query(description=FRESH)] = None,
    placing_h: Annotated[Hours | None, BARE, Query(description="from its foot to its top")] = None,
    concrete_C: Annotated[Temperature | None, BARE, Query(description="as placed")] = None,
    slump_mm: Annotated[Length | None, BARE, Query(description="left out: it flows")] = None,
    shaken: Annotated[bool, Query(description="by a vibrator, all of it")] = True,
    cement: Annotated[
        Word, Query(description="plain | retarded | blended | blended-retarded")
    ] = "plain",
) -> WallsRead:
    """Pressure, bow and screws of every wall; what floats; what would hold."""
    asked = FillingAsk(
        fresh_mm=fresh_mm,
        placing_h=placing_h,
        concrete_C=concrete_C,
        slump_mm=slump_mm,
        shaken=shaken,
        cement=cement,
    )
    with context.store.reading() as session:
        told = mould_walls(session, mould_id, asked, piece_id)
        mould, piece = told.mould, told.piece
        return walls.read(
            mould.material,
            mould.thickness_mm,
            told.found,
            told.missing,
            mould.id,
            None if piece is None else piece.id,
            told.logged_mm,
        )

"""Before the pour: how much of everything a piece takes."""

from typing import Annotated, Any

from fastapi import APIRouter, Query
from pydantic import Field, model_validator

from models.facts.finishes import MOST_PRODUCTS
from models.records.fields import LARGEST_KEY
from service.actions.shop.amounts_of import amounts_of, asked
from service.nouns.amounts import AmountsChoices, AmountsRead, CostsRead
from service.request_context import ContextDep, Key

router = APIRouter(tags=["pieces"])
ROWS = {"mix_id", "sealer_id", "sealer_then"}


class AmountsQuery(AmountsChoices):
    """A bare number of an address is in the unit that its name ends in."""

    mix_id: int | None = Field(default=None, ge=1, le=LARGEST_KEY)
    sealer_id: int | None = Field(default=None, ge=1, le=LARGEST_KEY)
    sealer_then: list[Annotated[int, Field(ge=1, le=LARGEST_KEY)]] | None = Field(
        default=None, max_length=MOST_PRODUCTS - 1
    )

    @model_validator(mode="before")
    @classmethod
    def _numbers(cls, told: Any) -> Any:
        return {name: _number(value) for name, value in told.items()}


def _number(value: Any) -> Any:
    try:
        return float(value) if isinstance(value, str) else value
    except ValueError:
        return value


@router.get("/pieces/{piece_id}/amounts")
def piece_amounts(
    piece_id: Key, wanted: Annotated[AmountsQuery, Query()], context: ContextDep
) -> AmountsRead:
    """Mix, bags, water, batches, mesh, sealer and mass, before a pour; nothing is stored.

    Left out, mix, sealer and what goes over it are those of the last pour of the piece."""
    choices = AmountsChoices(**wanted.model_dump(exclude=ROWS)).choices
    with context.store.reading() as session:
        rows = asked(session, piece_id, **wanted.model_dump(include=ROWS))
        found = amounts_of(rows, choices)
        told = AmountsRead.model_validate(
            found.amounts, context=context.reader(), from_attributes=True
        )
        costs = found.costs and CostsRead.model_validate(found.costs)
        return told.model_copy(
            update={"piece_id": found.piece.id, "mix_id": found.mix.id, "costs": costs}
        )

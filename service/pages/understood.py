"""What a figure or a town is taken for, said back beside its box before it is stored."""

from typing import Annotated

from fastapi import APIRouter, Query, Response
from fastapi.responses import PlainTextResponse

from models import quantity
from models.errors import InputError
from service.nouns.units import units_for
from service.pages import where
from service.request_context import ContextDep
from service.words import measure
from service.words.reader import Reader

router = APIRouter()
# what a night of so many degC is called, from the coldest on: common words, no rule
NIGHTS = ((-4.0, "a hard frost"), (0.0, "frost"), (5.0, "near freezing"))
HOT_C, HOT = 35.0, "very hot"


@router.get("/understood")
def understood(
    context: ContextDep,
    text: Annotated[str, Query(max_length=60)],
    dimension: Annotated[str, Query(pattern="^(temperature_C|length_mm|town)$")],
    unit: Annotated[str, Query(max_length=10)] = "",
) -> Response:
    """One line of text; nothing where the figure cannot be read, which sending it will tell, or
    where it stands there as it is understood."""
    reader = context.reader()
    told = where.said(text) if dimension == where.TOWN else _figure(text, dimension, unit, reader)
    return PlainTextResponse(told, headers={"Cache-Control": "no-store"})


def _figure(text: str, dimension: str, unit: str, reader: Reader) -> str:
    own = units_for(dimension, reader.units)
    bare = unit if unit in own else None
    try:
        value = quantity.read("text", text, dimension, bare_unit=bare)
        others = {quantity.read("text", text, dimension, bare_unit=one) for one in own}
    except InputError:
        return ""
    if dimension == "length_mm" and bare == own[0] and len(others) > 1 and not reader.untold:
        return ""  # a bare figure in the unit this reader measures in stands as it is
    return _said(value, dimension, reader)


def _said(value: float, dimension: str, reader: Reader) -> str:
    both = f"{measure(value, dimension, reader)} = {measure(value, dimension, reader, other=True)}"
    if dimension != "temperature_C":
        return both
    name = next((words for below, words in NIGHTS if value < below), "")
    name = HOT if value >= HOT_C else name
    return f"{both}, {name}" if name else both

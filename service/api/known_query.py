"""What stands behind the question mark is one of the names of its address, or is refused."""

from collections.abc import Iterator

from fastapi import Request
from fastapi.dependencies.models import Dependant
from fastapi.routing import APIRoute
from pydantic import BaseModel

from models.errors import InputError


def only_known(request: Request) -> None:
    """Raises InputError for a name nobody reads: a misspelt filter would tell of all."""
    route = request.scope["route"]
    assert isinstance(route, APIRoute)
    known = set(_names(route.dependant))
    for name, value in request.query_params.multi_items():
        if name not in known:
            allowed = " | ".join(sorted(known)) or "an address without a query"
            raise InputError(name[:100], value, "not a name that this address reads", allowed)


def _names(of: Dependant) -> Iterator[str]:
    for one in of.query_params:
        noun = one.field_info.annotation
        if isinstance(noun, type) and issubclass(noun, BaseModel):  # its fields are the names
            yield from noun.model_fields
        else:
            yield one.alias
    for below in of.dependencies:
        yield from _names(below)

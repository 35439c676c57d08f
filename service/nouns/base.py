"""What the nouns share: the bodies of requests and answers, and what a field of a noun is."""

from dataclasses import dataclass
from datetime import datetime
from typing import Annotated, Any, get_args, get_origin

from pydantic import BaseModel, Field, GetCoreSchemaHandler, field_validator
from pydantic_core import CoreSchema
from sqlmodel import SQLModel

from models.errors import InputError
from models.records.fields import Quantity, YesNo


class RequestBody(SQLModel):
    """The body of a request: unknown fields and numbers that are none are refused."""

    model_config = {"extra": "forbid", "allow_inf_nan": False, "populate_by_name": True}

    @field_validator("name", mode="before", check_fields=False)
    @classmethod
    def _one_line(cls, value: object) -> object:
        """A name stands in the title of a notice and in the header of a file."""
        if isinstance(value, str) and not value.isprintable():
            raise InputError(
                "name", value, "holds unprintable characters", "plain text in one line"
            )
        return value


class Confirmable(RequestBody):
    """A request whose figures may fit better in another unit."""

    confirm: YesNo = Field(default=False, description="store it though its unit is doubtful")


class ResponseBody(SQLModel):
    """An answer, made from a row; no field is ever left out."""

    model_config = {
        "from_attributes": True,
        "populate_by_name": True,
        "json_schema_serialization_defaults_required": True,
    }


class Stored(ResponseBody):
    """An answer about one row."""

    id: int
    created_at: datetime


class Owned(Stored):
    """An answer about a row that the shop owns."""

    archived_at: datetime | None = Field(description="since when it is put away; none: in use")


@dataclass(frozen=True)
class As:
    """Marks the body of a handler that is written for many nouns with the one it takes."""

    noun: type[BaseModel]

    def __get_pydantic_core_schema__(
        self, _source: Any, handler: GetCoreSchemaHandler
    ) -> CoreSchema:
        return handler.generate_schema(self.noun)


@dataclass(frozen=True)
class Kind:
    """The type of a field, without None, and the dimension of its quantity, if it is one."""

    type: Any
    dimension: str


def kind_of(noun: type[BaseModel], name: str) -> Kind:
    """What the field of a noun holds."""
    return _kind(noun.model_fields[name].rebuild_annotation())


def _kind(annotation: Any) -> Kind:
    metadata: list[Any] = []
    while get_origin(annotation) not in (None, list, dict):
        inner = [one for one in get_args(annotation) if one is not type(None)]
        if get_origin(annotation) is Annotated:
            metadata += inner[1:]
        annotation = inner[0]
    dimensions = [one.dimension for one in metadata if isinstance(one, Quantity)]
    return Kind(annotation, dimensions[0] if dimensions else "")


READ_AS = {str: "word", bool: "yes or no", int: "whole number", datetime: "instant"}


def keys_of(noun: type[BaseModel], *but: str) -> dict[str, str]:
    """Keys of a noun in a scenario file and how each is read; parts of
    their own, and keys of other rows, are left out."""
    keys = {}
    for name, field in noun.model_fields.items():
        kind = kind_of(noun, name)
        read_as = kind.dimension or READ_AS.get(kind.type) or ""
        if get_origin(kind.type) is list and _kind(get_args(kind.type)[0]).type is str:
            read_as = "words"
        if read_as and name not in but and not name.endswith("_id"):
            keys[field.alias or name] = read_as
    return keys

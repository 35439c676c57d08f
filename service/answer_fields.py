"""How a message, a number, a band or an instant of an answer is told in JSON.

Sentences are made where a reader stands in the context of the validation; what was stored has its
words already.
"""

import math
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Annotated, Any

import numpy as np
from pydantic import (
    AfterValidator,
    AliasChoices,
    BaseModel,
    BeforeValidator,
    GetCoreSchemaHandler,
    PlainSerializer,
    ValidationInfo,
    WithJsonSchema,
)
from pydantic_core.core_schema import CoreSchema, with_info_before_validator_function

from models.message import Message
from models.sources import SOURCES
from service.words import Reader, say, say_all, sentence

DECIMALS = 3


@dataclass(frozen=True)
class InWords:
    """Makes words where a reader stands in the context; what was stored has its words already."""

    make: Callable[[Any, Reader], object]

    def __get_pydantic_core_schema__(
        self, source: Any, handler: GetCoreSchemaHandler
    ) -> CoreSchema:
        def convert(value: Any, info: ValidationInfo) -> object:
            return self.make(value, info.context) if isinstance(info.context, Reader) else value

        return with_info_before_validator_function(convert, handler(source))


def _message_text(message: Message | None, reader: Reader) -> str:
    return "" if message is None else say(message, reader)


def _sentences(messages: Iterable[Message], reader: Reader) -> list[str]:
    return [sentence((one,), reader) for one in messages]


def danger(risk: str, reader: Reader) -> str:
    return say(Message("risk", {"risk": risk}), reader)


def _titled(keys: Iterable[str], _reader: Reader) -> list[str]:
    return [f"{key}: {SOURCES[key].title}" for key in dict.fromkeys(keys)]


def _code(value: Any) -> Any:
    """None for the sentence of a row of before codes."""
    return None if isinstance(value, str) else value


def _codes(values: Iterable[Any]) -> list[Any]:
    return [one for one in values if not isinstance(one, str)]


def as_json(value: Any) -> Any:
    """A message, several, or a value of one, as JSON tells it."""
    if isinstance(value, Message):
        return {"code": value.code, "values": as_json(value.values)}
    if isinstance(value, datetime):
        return value.isoformat(timespec="seconds")
    if isinstance(value, tuple):
        return [as_json(one) for one in value]
    if isinstance(value, Mapping):
        return {key: as_json(one) for key, one in value.items()}
    return value


def _numbers(band: Any) -> Any:
    """A band to three decimals; None where there is no number."""
    if not isinstance(band, np.ndarray):
        return band
    numbers: list[float | None] = np.round(band, DECIMALS).tolist()
    if np.isfinite(band).all():
        return numbers
    return [one if one is not None and math.isfinite(one) else None for one in numbers]


def _to_the_second(at: datetime) -> datetime:
    """To the second and at its offset, as it is read again from what was stored."""
    return datetime.fromisoformat(at.isoformat(timespec="seconds"))


MessageText = Annotated[str, InWords(_message_text)]  # of one message, or none
Clauses = Annotated[str, InWords(sentence)]  # one sentence of several messages
MessageTexts = Annotated[list[str], InWords(say_all)]
Sentences = Annotated[list[str], InWords(_sentences)]  # a sentence of each message
Titled = Annotated[list[str], InWords(_titled)]  # `KEY: title` of each source, once
Rounded = Annotated[float, AfterValidator(lambda value: round(value, DECIMALS))]
Band = Annotated[list[float | None], BeforeValidator(_numbers)]
Instant = Annotated[
    datetime,
    AfterValidator(_to_the_second),
    PlainSerializer(lambda at: at.isoformat(timespec="seconds"), when_used="json"),
    WithJsonSchema({"type": "string", "format": "date-time"}, mode="serialization"),
]


def also(name: str, attribute: str) -> AliasChoices:
    """A key of an answer that is made of an attribute of another name."""
    return AliasChoices(name, attribute)


class MessageResponse(BaseModel):
    """What is said, as a code and the values that go with it."""

    code: str
    values: Annotated[dict[str, Any], BeforeValidator(as_json)]

    @property
    def message(self) -> Message:
        """The same as words take it."""
        return Message(self.code, self.values)


Code = Annotated[MessageResponse | None, BeforeValidator(_code)]
Codes = Annotated[list[MessageResponse], BeforeValidator(_codes)]

"""What is to be said, as a code and its numbers; service/words makes sentences of it."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from typing import Union

from typing_extensions import TypeAliasType

Value = TypeAliasType(
    "Value",
    Union[
        float,
        str,
        datetime,
        None,
        "Message",
        "tuple[Value, ...]",
        "Mapping[str, Value]",
    ],
)


@dataclass(frozen=True)
class Message:
    """A code, and the values that go with it.

    values : each key ends in its quantity (`low_C`, `limit_kg_m2h`, `after_h`, `chance`), so that
        words can convert it; an instant is `at` or ends in `_at`; a word of a vocabulary (a step, a
        cover) is a plain text under the name of that vocabulary

    Raises ValueError for an instant under another name: read from JSON it would stay a text.
    """

    code: str
    values: Mapping[str, Value] = field(default_factory=dict)

    def __post_init__(self) -> None:
        read = {key: _value(key, value) for key, value in self.values.items()}
        object.__setattr__(self, "values", read)

    def __hash__(self) -> int:
        return hash(self.code)


Sentence = tuple[Message, ...]  # the parts of one sentence, in their order


def text(sentence: str) -> Message:
    """A sentence that is ready made, on its way to a code of its own."""
    return Message("text", {"text": sentence})


def _value(key: str, value: Value) -> Value:
    """A value as it was before it went through JSON."""
    instant = key == "at" or key.endswith("_at")
    if isinstance(value, datetime) and not instant:
        raise ValueError(f"{key} = {value}: an instant; name it `at` or end its name in `_at`.")
    if isinstance(value, str):
        return datetime.fromisoformat(value) if instant else value
    if isinstance(value, Mapping):
        if value.keys() == {"code", "values"}:
            code, values = value["code"], value["values"]
            assert isinstance(code, str)
            assert isinstance(values, Mapping)
            return Message(code, values)
        return {name: _value(name, inner) for name, inner in value.items()}
    if isinstance(value, Sequence):
        return tuple(_value(key, inner) for inner in value)
    return value

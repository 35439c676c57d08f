"""Sentences laid out for a terminal of 100 columns."""

import textwrap
from collections.abc import Iterable

from models.message import Message, Value
from service.words import say
from service.words.reader import PLAIN

WIDTH = 100


def plain(code: str, **values: Value) -> str:
    """The sentence of a code that holds no instants."""
    return say(Message(code, values), PLAIN)


def wrapped(text: str, first: str = "", then: str | None = None, width: int = WIDTH) -> list[str]:
    """Lines of at most `width`; `first` stands before the first, `then` before the others."""
    return textwrap.wrap(
        text, width, initial_indent=first, subsequent_indent=first if then is None else then
    )


def listed(title: str, items: Iterable[str]) -> list[str]:
    """A title over its items, after an empty line; nothing where there are none."""
    rows = [line for item in items for line in wrapped(item, "  - ", "    ")]
    return ["", title, *rows] if rows else []

"""A message becomes a text, and the parts of a sentence one sentence."""

import re
from collections.abc import Iterable, Mapping
from datetime import datetime
from functools import cache
from string import Formatter

from models.message import Message, Value
from service.words import en, numbers
from service.words.instants import instant
from service.words.reader import PLAIN, Reader
from service.words.spelling import american
from service.words.typed_source import source

_NUMBER = re.compile(r"(-?\d+(?:\.\d+)?)_")


def say(message: Message, reader: Reader) -> str:
    """One message as its template says it, or that of its code and quantity, as
    `needs.of_initial_set`.

    Raises KeyError for a code without a template, or a template that asks for a value not content.
    """
    words, quantity = templates(reader.language), message.values.get("quantity")
    own = f"{message.code}.{quantity.code}" if isinstance(quantity, Message) else ""
    template = words[own] if own in words else words[message.code]
    return _Template(reader).vformat(template, (), message.values)


def sentence(parts: Iterable[Message], reader: Reader) -> str:
    """The parts as one sentence: clauses parted by semicolons; a part with a full stop ends one."""
    out = ""
    for text in filter(None, (say(part, reader) for part in parts)):
        if not out:
            out = text[:1].upper() + text[1:]
        elif out.endswith("."):
            out += f" {text[:1].upper()}{text[1:]}"
        else:
            out += f"; {text[:1].lower()}{text[1:]}" if text[1:2].islower() else f"; {text}"
    return f"{out.rstrip('.')}." if out else ""


def word(vocabulary: str, key: str, reader: Reader = PLAIN) -> str:
    """A word of a vocabulary, as `word("cover", "blanket")`; the key where it has no other word."""
    return templates(reader.language).get(f"{vocabulary}.{key}", key)


@cache
def templates(language: str) -> Mapping[str, str]:
    """The catalogue of a language: code -> template. It is written in British English."""
    if language != "en-US":
        return en.TEMPLATES
    return {code: american(template) for code, template in en.TEMPLATES.items()}


class _Template(Formatter):
    """{low_C:1}: the value in the reader's units, one decimal, with its unit; {20_C:0}: 20 degC.

    A number : decimals, or `g`; `%` percent; `n` after it leaves the unit away; `one|more` chooses;
        `days` of hours: hours, from two days on days; `odds` of a chance, in words,
        `hope` of what one hopes for
    An instant : day and time; `time` or `day` alone; `near` leaves the day away where it is today;
        `up` or `down` rounds an hour that opens or closes to what it deserves
    A text : a word of the vocabulary of its name where the catalogue has `name.text`
    A message, or several : said; several are joined by what stands after the colon
    """

    def __init__(self, reader: Reader) -> None:
        self.reader = reader

    def get_field(
        self, field_name: str, args: object, kwargs: Mapping[str, Value]
    ) -> tuple[object, str]:
        number = _NUMBER.match(field_name)  # of the sentence itself, in its reader's units too
        return (field_name, float(number[1]) if number else kwargs[field_name]), field_name

    def format_field(self, value: tuple[str, Value], format_spec: str) -> str:
        name, content = value
        reader = self.reader
        if isinstance(content, Message):
            return say(content, reader)
        if isinstance(content, tuple):
            return format_spec.join(self.format_field((name, one), "") for one in content)
        if isinstance(content, str) and name in ("source", "provider"):
            return source(content, reader)
        if isinstance(content, str):
            return templates(reader.language).get(f"{name}.{content}", content)
        if content is None or isinstance(content, datetime):
            return instant(content, format_spec, reader)
        if isinstance(content, Mapping):
            raise TypeError(f"{name}: a mapping has no words")
        if "|" in format_spec:
            one, more = format_spec.split("|")
            return one if content == 1 else more
        return numbers.quantity(name, float(content), format_spec, reader)


def with_numbers(text: str, reader: Reader) -> str:
    """A text of ours, `at {20_C:0}`, with its own numbers in the reader's units."""
    return _Template(reader).vformat(text, (), {})


def say_all(messages: Iterable[Message], reader: Reader) -> list[str]:
    """Each message by itself."""
    return [say(message, reader) for message in messages]

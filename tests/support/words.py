"""How tests ask for a sentence on a screen: through the catalogue, by its code, never by its text.

What a sentence is beyond that is asked in tests/words alone, so that every sentence may be worded
anew without another test noticing.
"""

import html
import re
from collections.abc import Iterator, Mapping
from string import Formatter

from models.concrete.section import Covering
from models.message import Message, Value
from service.words import en, say
from service.words.reader import PLAIN

BARE, INDOORS, WARM_WATER = Message("way_bare"), Message("way_indoors"), Message("way_warm_water")


def laid(kind: str, faces: str = "sides") -> Message:
    """A cover as it is proposed, with where it lies if it insulates."""
    if not Covering(0.0, None, kind).insulates:
        return Message("cover", {"cover": kind})
    return Message("cover_with", {"cover": kind, "with": (Message(f"cover_{faces}"),)})


def cover(kind: str, code: str = "way_cover", faces: str = "sides") -> Message:
    """The way under a cover of its usual resistance."""
    return Message(code, {"cover": laid(kind, faces)})


def said(code: str, **values: Value) -> str:
    """The sentence of a code and its values, for a reader of SI units."""
    return say(Message(code, values), PLAIN)


def number(told: Message, name: str) -> float:
    """A value of a sentence that is a number."""
    value = told.values[name]
    assert isinstance(value, float | int), (told.code, name, value)
    return value


def parts(told: Message, name: str) -> list[Message]:
    """The sentences that a value of a sentence is made of."""
    value = told.values[name]
    assert isinstance(value, tuple), (told.code, name, value)
    found = [one for one in value if isinstance(one, Message)]
    assert len(found) == len(value), (told.code, name, value)
    return found


def within(*told: Value) -> Iterator[Message]:
    """Every sentence in messages and in their values, the outer ones first."""
    for one in told:
        if isinstance(one, Message):
            yield one
            yield from within(*one.values.values())
        elif isinstance(one, tuple):
            yield from within(*one)
        elif isinstance(one, Mapping):
            yield from within(*one.values())


def codes(*told: Value) -> set[str]:
    """The codes of all sentences in messages and in their values."""
    return {one.code for one in within(*told)}


def tells(text: str, code: str, **values: str) -> bool:
    """Whether a page or a printed text has the sentence of a code.

    values : what stands in a place of its template; anything where it is not given
    """
    seen = " ".join(html.unescape(re.sub(r"<[^>]+>", "", text)).split())
    out = ""
    for literal, field, spec, _ in Formatter().parse(en.TEMPLATES[code]):
        out += re.escape(re.sub(r"\s+", " ", literal))
        if field:
            given = field in values and "|" not in (spec or "")
            out += re.escape(values[field]) if given else ".+?"
    return re.search(out, seen, re.IGNORECASE) is not None

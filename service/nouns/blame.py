"""What is wrong with a value, in the words, units and clock of whoever typed it."""

import re
from datetime import UTC, datetime
from typing import TYPE_CHECKING

from models.errors import InputError
from models.facts.conversions import DIMENSIONS
from service.nouns.units import either, in_readers, sign
from service.words import instants
from service.words.reader import Reader

if TYPE_CHECKING:
    from service.nouns.form import Control

ISO = re.compile(r"\d{4}-\d\d-\d\d[T ]\d\d:\d\d(?::\d\d(?:\.\d+)?)?(?:Z|[+-]\d\d:?\d\d)?")
WORDS = {
    "empty": "empty",
    "not a quantity": "not a number",
    "the unit is missing": "the unit is missing",
    "the part after the first unit is not read": "not one number with one unit",
    "two quantities in one box": "not one number with one unit",
    "outside the allowed range": "not possible",
    "is no unit of this quantity": "not a unit of this",
}


def beside(error: InputError, one: "Control", reader: Reader) -> str:
    """The error beside its box, where what was typed still stands."""
    wrong = next((words for text, words in WORDS.items() if text in error.wrong), error.wrong)
    allowed = error.allowed
    if one.dimension and allowed == DIMENSIONS[one.dimension].examples:
        allowed = _example(one, reader)
    if one.units and one.dimension:
        wrong = in_readers(wrong, one.dimension, one.units)
        allowed = in_readers(allowed, one.dimension, one.units)
    return _sentence(wrong, allowed, reader)


def plainly(error: InputError, reader: Reader) -> str:
    """The error where its own words stand elsewhere."""
    return _sentence(error.wrong, error.allowed, reader)


def above(error: InputError, reader: Reader) -> str:
    """The error of what has no box on the page."""
    value = "" if error.value in (None, "") else f" {str(error.value)[:80]}"
    name = re.sub(r"[_.]", " ", re.sub(r"_(C|K|mm|kg|h|l|MPa|id)$", "", error.field))
    return f"{name}{_clocked(value, reader)}: {_sentence(error.wrong, error.allowed, reader)}"


def _example(one: "Control", reader: Reader) -> str:
    """A figure as it would be typed here."""
    if one.untold:
        return "a number, and choose its unit"
    text = either(one.hint or one.placeholder, one.dimension, reader.units)
    if text and any(char.isdigit() for char in text):
        return f"a number, as {text}"
    return f"a number of {sign(one.units[0])}" if one.units else "a number, as 2 or 1 1/2"


def _sentence(wrong: str, allowed: str, reader: Reader) -> str:
    text = f"{wrong}; give {allowed}." if allowed else f"{wrong}."
    text = _clocked(text, reader)
    return text[:1].upper() + text[1:]


def _clocked(text: str, reader: Reader) -> str:
    """Instants as the reader's clock shows them."""

    def told(found: re.Match[str]) -> str:
        at = datetime.fromisoformat(found.group())
        if at.tzinfo is None:
            return found.group().replace("T", " ")
        return instants.instant(at.astimezone(UTC), "near", reader)

    return ISO.sub(told, text)

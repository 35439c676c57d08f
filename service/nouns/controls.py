"""Controls of a noun: made from its fields, read into values, filled from a row."""

from collections.abc import Container, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, time
from typing import Any

from pydantic import BaseModel

from models import quantity
from models.errors import InputError
from service.nouns.base import kind_of
from service.nouns.form import Control, Form

KINDS = {bool: "check", time: "clock", datetime: "moment"}
SPARE_ROWS, MOST_ROWS = 2, 12
Options = tuple[tuple[str, str], ...]


def listed(words: Mapping[str, str]) -> Options:
    return tuple(words.items())


def room(rows: Sequence[object]) -> int:
    """Rows of a small table that is shown with some to spare."""
    return min(len(rows) + SPARE_ROWS, MOST_ROWS)


@dataclass(frozen=True)
class Controls:
    """Makes controls of the fields of a noun; quantity, unit and kind are those of the field."""

    noun: type[BaseModel]
    prefix: str = ""

    def __call__(
        self,
        name: str,
        label: str,
        kind: str = "",
        *,
        options: Options = (),
        bare: str = "",
        hint: str = "",
        placeholder: str = "",
        needed: bool = False,
        default: str = "",
    ) -> Control:
        held = kind_of(self.noun, name)
        counted = held.type is int and not kind
        return Control(
            self.prefix + name,
            label,
            kind or KINDS.get(held.type, "text"),
            "count" if counted else held.dimension,
            bare,
            options,
            hint,
            placeholder,
            needed,
            default,
            whole=counted,
        )


def values_of(
    form: Form, noun: type[BaseModel], prefix: str = "", unread: Container[str] = ()
) -> dict[str, Any]:
    """What a form says of a noun; where it says nothing, what the noun has then.

    unread : controls that are of no account, whatever stands in them
    """
    values = {}
    for name, field in noun.model_fields.items():
        if prefix + name in form.fields:
            value = None if prefix + name in unread else form.value(prefix + name)
            empty = value is None and not field.is_required()
            values[name] = field.get_default(call_default_factory=True) if empty else value
    return values


def told_of(form: Form, noun: type[BaseModel], prefix: str) -> dict[str, Any] | None:
    """What a form says of a part of a noun; None where it says nothing at all."""
    values = {name: form.value(prefix + name) for name in noun.model_fields}
    return {name: value for name, value in values.items() if value is not None} or None


def rows_of(form: Form, noun: type[BaseModel], prefix: str) -> list[dict[str, Any]]:
    """Rows of a small table; a row whose needed boxes are all empty is none."""
    needed = [name for name, field in noun.model_fields.items() if field.is_required()]
    out: list[dict[str, Any]] = []
    for k in range(MOST_ROWS):
        before = f"{prefix}{k}."
        if before + needed[0] not in form.fields:
            break
        filled = [name for name in needed if form.shown(before + name).strip()]
        if not filled:
            continue
        for name in needed:
            if name not in filled:
                form.refuse(InputError(before + name, None, "empty", "both boxes, or neither"))
        out.append(told_of(form, noun, before) or {})
    return out


def names_of_rows(noun: type[BaseModel], science: str, prefix: str) -> dict[str, str]:
    """Names that the science gives to parts of a row, and the controls they are here."""
    return {
        f"{science}[{k}].{name}": f"{prefix}{k}.{name}"
        for k in range(MOST_ROWS)
        for name in noun.model_fields
    }


def typed_of(row: object, controls: Iterable[Control], prefix: str) -> dict[str, list[str]]:
    """A row as if it had been typed."""
    return {
        one.name: as_typed(one, getattr(row, one.name.removeprefix(prefix)))
        for one in controls
        if hasattr(row, one.name.removeprefix(prefix))
    }


def typed_parts(
    rows: Sequence[Mapping[str, Any]], controls: Iterable[Control], prefix: str
) -> dict[str, list[str]]:
    """Rows of a small table as if they had been typed."""
    typed: dict[str, list[str]] = {}
    for one in controls:
        number, _, name = one.name.removeprefix(prefix).partition(".")
        if one.name.startswith(prefix) and number.isdigit():
            inside = int(number) < len(rows)
            typed[one.name] = (
                as_typed(one, rows[int(number)].get(name)) if inside else [one.default]
            )
    return typed


def as_typed(one: Control, value: Any) -> list[str]:
    """A stored value in the control's own words; nothing for an unticked box."""
    if one.kind == "boxes":
        return list(value)
    if one.kind == "check":
        return ["1"] if value else []
    if value is None:
        return [""]
    if one.kind == "clock":
        return [f"{value:%H:%M}"]
    if one.dimension in ("count", "fraction", "angle_deg", "percent"):
        return [f"{value:.12g}"]
    if one.dimension == "time_h" and one.bare == "d":
        return [f"{value / 24:.12g} d" if value >= 48 else f"{value:.12g} h"]
    if one.dimension:
        return [_in_few_digits(one, value)]
    return [str(value)]


def _in_few_digits(one: Control, value: float) -> str:
    """The shortest text that reads back as the very same value: 80 lb rather than 36.2873896 kg."""
    us = quantity.show(value, one.dimension, "us").split(" = ")[0].removeprefix("about ")
    for text in (f"{value:.6g} {one.bare}", us):
        if quantity.read(one.name, text, one.dimension, bare_unit=one.bare) == value:
            return text
    return f"{value:.12g} {one.bare}"

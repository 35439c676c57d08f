"""Controls of a noun: made from its fields, filled from a row."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, time
from typing import Any

from pydantic import BaseModel

from models.facts.conversions import DIMENSIONS
from service.nouns.base import kind_of
from service.nouns.form import MOST_ROWS, Control

KINDS = {bool: "check", time: "clock", datetime: "moment", date: "date"}
SPARE_ROWS = 2
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
        us: str = "",
        hint: str = "",
        placeholder: str = "",
        needed: bool = False,
        default: str = "",
    ) -> Control:
        field_kind = kind_of(self.noun, name)
        counted = field_kind.type is int and not kind
        return Control(
            self.prefix + name,
            label,
            kind or KINDS.get(field_kind.type, "text"),
            "count" if counted else field_kind.dimension,
            bare,
            options,
            hint,
            placeholder,
            needed,
            default,
            whole=counted,
            us=us,
        )


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
    if one.dimension:
        row = DIMENSIONS[one.dimension]
        return [f"{value:.12g}" if row.unitless else f"{value:.12g} {row.own.removeprefix('deg')}"]
    return [str(value)]

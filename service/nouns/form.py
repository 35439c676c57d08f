"""Fields of a form: how each is shown, read, and blamed. What was typed is never lost."""

from collections.abc import Container, Iterable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, field, replace
from typing import Any

from pydantic import BaseModel

from models import quantity
from models.doubt import Doubt
from models.errors import InputError
from models.facts.conversions import DIMENSIONS
from models.units import one_of
from service import region
from service.nouns import blame
from service.nouns import units as of_box
from service.nouns.moments import ComesTwice, clock, day, moment
from service.nouns.units import Box
from service.words import say
from service.words.reader import PLAIN, Reader
from service.words.say import with_numbers
from service.words.spelling import american

LONGEST_TEXT = 500
MOST_ROWS = 12  # of a small table
NEW = "new"  # the choice of a row that is described in the same form


@dataclass(frozen=True)
class Control:
    """One control. `dimension` (of models.quantity) makes it a quantity, which is read in the unit
    that was chosen beside it, else in that of its reader.

    kind : text | secret | choice | radio | boxes | check | moment | clock | zone | key
    bare, us : the unit that is offered first, in any shop and in one that measures in inches
    said : what of a text is said back while it is typed: town
    hint, default : "36 kg or 80 lb" is told by its half
    """

    name: str
    label: str
    kind: str = "text"
    dimension: str = ""
    bare: str = ""
    options: tuple[tuple[str, str], ...] = ()
    hint: str = ""
    placeholder: str = ""
    needed: bool = False
    default: str = ""
    whole: bool = False
    us: str = ""
    said: str = ""
    units: tuple[str, ...] = ()  # that may be chosen; the first is its reader's
    typed: bool = False  # people named its options
    untold: bool = False  # nobody knows the shop's units: a bare number is refused

    def read_by(self, reader: Reader) -> "Control":
        """The field as its reader spells and measures; names of rows stay as they were typed."""
        told = self._american() if reader.language == "en-US" else self
        if "{" in told.label:  # `at {20_C:0}`
            told = replace(told, label=with_numbers(told.label, reader))
        return told._measured_by(reader) if self.dimension else told

    def _american(self) -> "Control":
        own = self.typed or self.kind == "key"
        return replace(
            self,
            label=american(self.label),
            hint=american(self.hint),
            placeholder=american(self.placeholder),
            options=tuple((key, w if own else american(w)) for key, w in self.options),
        )

    def _measured_by(self, reader: Reader) -> "Control":
        units = of_box.units_for(self.dimension, reader.units, self.bare or self.us)
        measured = bool(units) and bool(of_box.CHOICES[self.dimension][0])

        def told(text: str) -> str:
            return of_box.either(text, self.dimension, reader.units)

        example = told(self.hint)

        return replace(
            self,
            units=units,
            untold=measured and reader.untold,
            hint=example if example == self.hint else f"for example {example}",
            default=told(self.default),
            placeholder=told(self.placeholder),
        )

    @property
    def unit_options(self) -> list[tuple[str, str]]:
        """What may be chosen beside the box; nothing where only one unit is possible."""
        options = [(one, of_box.sign(one)) for one in self.units]
        return [("", "unit?"), *options] if self.untold else options if len(options) > 1 else []

    @property
    def echoes(self) -> bool:
        """Whether a wrong unit does harm, so that what was understood is said back."""
        return self.dimension in ("temperature_C", "length_mm")


@dataclass
class Form:
    """Fields, what was typed into them, and what is wrong with it."""

    fields: dict[str, Control]
    typed: dict[str, list[str]] | None = None
    wrong: dict[str, str] = field(default_factory=dict)
    messages: list[str] = field(default_factory=list)
    doubted: list[str] = field(default_factory=list)  # fields to be confirmed
    reader: Reader = PLAIN
    twice: set[str] = field(default_factory=set)  # hours of which it is asked which they are

    @classmethod
    def of(
        cls,
        fields: Iterable[Control],
        typed: dict[str, list[str]] | None = None,
        reader: Reader = PLAIN,
    ) -> "Form":
        """reader : in whose units bare numbers are, and to whom errors are told"""
        return cls({one.name: one.read_by(reader) for one in fields}, typed, reader=reader)

    @property
    def confirmed(self) -> bool:
        """The maker was asked about a figure and says that it is so."""
        return bool(self.typed and self.typed.get("confirm"))

    @property
    def typed_F(self) -> frozenset[str]:
        """Fields whose figure is in degF."""
        return frozenset(
            name
            for name, one in self.fields.items()
            if one.dimension == "temperature_C" and self._unit_of(one) == "F"
        )

    @property
    def with_unit(self) -> frozenset[str]:
        """Fields in which a unit was typed, or another one chosen than was offered."""
        return frozenset(
            name
            for name, one in self.fields.items()
            if one.dimension
            and (
                any(char.isalpha() for char in self.shown(name))
                or (self._chosen(one) or one.units[:1] or ("",))[0] != (one.units[:1] or ("",))[0]
            )
        )

    def ask(self, doubts: Iterable[Doubt]) -> None:
        """Put each question beside its field; the form is sent again as it is to confirm."""
        for one in doubts:
            if one.field in self.fields:
                question = say(one.question, self.reader).replace("deg", "\u00b0")
                self.wrong.setdefault(one.field, question)
            else:
                self.messages.append(say(one.message, self.reader))
            self.doubted.append(one.field)

    def below(self, prefix: str, above: Container[str]) -> list[str]:
        """Controls right under a prefix, without those that stand above already."""
        return [
            name
            for name in self.fields
            if name.startswith(prefix) and "." not in name[len(prefix) :] and name not in above
        ]

    def shown(self, name: str) -> str:
        """What stands in the control: what was typed, else the default."""
        if self.typed is None:
            return self.fields[name].default
        values = self.typed.get(name)
        return values[-1] if values else ""

    def box(self, name: str) -> Box:
        """What stands in a quantity's box, and the unit beside it."""
        one, text = self.fields[name], self.shown(name)
        if self._chosen(one) is None:
            box = of_box.shown_in(name, text, one.dimension, one.units)
            return (
                replace(box, unit="") if one.untold and not box.kept and box.text == text else box
            )
        return Box(text, self._chosen(one) or "", self._sent(f"{name}.kept"))

    def said(self, name: str) -> str:
        """The figure with its unit, to be sent on; of another field what stands in it."""
        if not self.fields[name].dimension:
            return self.shown(name)
        box = self.box(name)
        bare = not any(char.isalpha() for char in box.text)
        return f"{box.text} {box.unit}".strip() if box.text and bare else box.text

    def _sent(self, name: str) -> str:
        values = (self.typed or {}).get(name)
        return values[-1] if values else ""

    def _chosen(self, one: Control) -> str | None:
        """The unit that was sent with a field; None where none was."""
        return self._sent(f"{one.name}.unit") if f"{one.name}.unit" in (self.typed or {}) else None

    def _unit_of(self, one: Control) -> str:
        """The unit a figure is in: typed, else chosen, else its reader's."""
        letters = [char for char in self.shown(one.name) if char.isalpha()]
        if letters:
            return letters[-1].upper()
        return self._chosen(one) or ("" if one.untold else (one.units or ("",))[0])

    def ticked(self, name: str, option: str) -> bool:
        """Whether one of several boxes is on."""
        if self.typed is None:
            return option in self.fields[name].default.split("|")
        return option in self.typed.get(name, [])

    def value(self, name: str, zone: str = "UTC") -> Any:
        """The value of a field; None where it is empty or wrong, and then it is blamed."""
        one = self.fields[name]
        if one.kind == "boxes":
            return [option for option, _ in one.options if self.ticked(name, option)]
        unit, text = self._chosen(one), self.shown(name).strip()
        if unit is not None:
            kept = of_box.kept_value(self._sent(f"{name}.kept"), text, unit)
            if kept is not None:
                return kept
        try:
            return read(one, text, zone, unit, self._sent(f"{name}.pass"))
        except InputError as error:
            self.refuse(error)
            return None

    def values(self, names: Iterable[str]) -> dict[str, Any]:
        return {name: self.value(name) for name in names}

    def values_of(
        self, noun: type[BaseModel], prefix: str = "", unread: Container[str] = ()
    ) -> dict[str, Any]:
        """What is said of a noun; where nothing is said, what the noun has then.

        unread : fields that are of no account, whatever stands in them
        """
        values = {}
        for name, one in noun.model_fields.items():
            if prefix + name in self.fields:
                value = None if name in unread else self.value(prefix + name)
                empty = value is None and not one.is_required()
                values[name] = one.get_default(call_default_factory=True) if empty else value
        return values

    def part_of(self, noun: type[BaseModel], prefix: str) -> dict[str, Any] | None:
        """What is said of a part of a noun; None where nothing is said at all."""
        values = {name: self.value(prefix + name) for name in noun.model_fields}
        return {name: value for name, value in values.items() if value is not None} or None

    def rows_of(self, noun: type[BaseModel], prefix: str) -> list[dict[str, Any]]:
        """Rows of a small table; a row whose needed boxes are all empty is none."""
        needed = [name for name, one in noun.model_fields.items() if one.is_required()]
        out: list[dict[str, Any]] = []
        for k in range(MOST_ROWS):
            before = f"{prefix}{k}."
            if before + needed[0] not in self.fields:
                break
            filled = [name for name in needed if self.shown(before + name).strip()]
            if not filled:
                continue
            for name in needed:
                if name not in filled:
                    wrong = InputError(before + name, None, "empty", "both boxes, or neither")
                    self.refuse(wrong)
            out.append(self.part_of(noun, before) or {})
        return out

    def pass_of(self, name: str) -> str | None:
        """Of an hour that comes twice, which was chosen or none yet; None where nobody asks."""
        sent = self._sent(f"{name}.pass")
        return sent if sent or name in self.twice else None

    def refuse(self, error: InputError) -> None:
        """Put the error beside its field, or on top of the form."""
        if isinstance(error, ComesTwice):
            self.twice.add(error.field)
        if error.field in self.fields:
            text = blame.beside(error, self.fields[error.field], self.reader)
            self.wrong.setdefault(error.field, text)
        else:
            self.messages.append(blame.above(error, self.reader))

    @contextmanager
    def named(self, prefix: str, other: Mapping[str, str] | None = None) -> Iterator[None]:
        """Errors of an action under the names that the fields have here."""
        try:
            yield
        except InputError as error:
            name_shown = (other or {}).get(error.field, prefix + error.field)
            if name_shown not in self.fields:
                raise
            raise InputError(name_shown, error.value, error.wrong, error.allowed) from None


def read(one: Control, text: str, zone: str, unit: str | None = None, passed: str = "") -> Any:
    """The value in a field's text; None when it is empty and may be."""
    if one.kind == "check":
        return text != ""
    if not text:
        if one.needed:
            example = DIMENSIONS[one.dimension].examples if one.dimension else "a value"
            raise InputError(one.name, "", "empty", one.hint or example)
        return None
    if len(text) > LONGEST_TEXT:
        raise InputError(one.name, text, "too long", f"at most {LONGEST_TEXT} characters")
    if not text.isprintable():
        raise InputError(one.name, text, "holds unprintable characters", "plain text")
    if one.kind in ("choice", "radio"):
        return one_of(one.name, text, [key for key, _ in one.options])
    if one.kind == "key":
        chosen = _one_of_rows(one, text)
        return chosen if chosen == NEW else int(chosen)
    if one.kind == "moment":
        return moment(one.name, text, zone, passed)
    if one.kind == "clock":
        return clock(one.name, text)
    if one.kind == "date":
        return day(one.name, text)
    if one.kind == "zone":
        return region.known_zone(one.name, text).key
    if one.dimension:
        number = quantity.read(one.name, text, one.dimension, bare_unit=_bare(one, unit))
        return _whole(one, number) if one.whole else number
    return text


def _bare(one: Control, unit: str | None) -> str | None:
    """The unit of a bare number; None where none is known."""
    if unit:
        return one_of(f"{one.name}.unit", unit, one.units)
    return None if one.untold or not one.units else one.units[0]


def _one_of_rows(one: Control, text: str) -> str:
    if text in [key for key, _ in one.options]:
        return text
    words = ", ".join(words for _, words in one.options[:8]) or "a row that exists"
    raise InputError(one.name, text, "no longer there", words)


def _whole(one: Control, number: float) -> int:
    if number != int(number):
        raise InputError(one.name, number, "not a whole number", "a whole number")
    return int(number)

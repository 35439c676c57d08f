"""What is assumed, in a maker's words and units, where it is told, and what confirms it."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from models.records import Pour
from service.nouns import mix, place, sealer, units
from service.nouns.controls import as_typed
from service.nouns.form import Form
from service.nouns.mould import usual_board
from service.words import Reader, measure, word

WORDS = {
    "mix.strength": "its strength",
    "mix.cement_kg_m3": "how much cement",
    "mix.water_cement": "water/cement ratio",
    "mix.initial_set_h": "when it sets",
    "mix.final_set_h": "when it is hard",
    "place.lag_h": "how slowly it follows outdoors",
    "place.offset_K": "how much warmer it is than outdoors",
    "shop.protection": "which covers you own",
    "pour.concrete_C": "how warm the concrete was: as the air",
}
OF_SEALER = "what its sheet says"
NOUNS = {
    "mix": ("Mix", "/shop/mix/{mix_id}"),
    "place": ("Place", "/shop/place/{place_id}"),
    "sealer": ("Sealer", "/shop/sealer/{sealer_id}"),
    "shop": ("Shop", "/shop/settings"),
    "pour": ("Pour", "/pours/{id}/edit"),
    "mould": ("Mould", "/pours/{id}/edit"),
}
_CONTROLS = {one.name: one for one in (*mix.controls(0), *place.controls(""), *sealer.controls())}


@dataclass(frozen=True)
class Part:
    """One value: what is confirmed by it, and how it reads."""

    what: str
    words: str


@dataclass(frozen=True)
class Assumed:
    """What is assumed of one thing, where it is told, and what of it may be confirmed."""

    noun: str
    words: str
    href: str
    parts: tuple[Part, ...]
    key: str  # what confirms all of it


def of_pour(
    keys: Iterable[str],
    usual: Mapping[str, Mapping[str, Any]],
    reader: Reader,
    pour: Pour | None = None,
) -> list[Assumed]:
    """One line for each thing of a pour, with the values that may be confirmed; those of a sealer's
    sheet all at once, and those that have no usual number not at all.

    pour : whose things can be told, for links
    """
    own = WORDS | {"mould.material": usual_board(reader)}
    by_noun: dict[str, list[str]] = {}
    for key in keys:
        by_noun.setdefault(key.partition(".")[0], []).append(key)
    lines = []
    for noun, found in by_noun.items():
        parts = of_row(noun, usual.get(noun, {}), reader)
        valued = {part.what: part.words for part in parts}
        words = [valued.get(key) or own.get(key, "") for key in found]
        if noun == "sealer":
            parts = (Part(noun, OF_SEALER),) if parts else ()
            words = [part.words for part in parts]
        if any(words):
            told = ", ".join(one for one in words if one)
            lines.append(Assumed(NOUNS[noun][0], told, _href(noun, pour), parts, noun))
    return lines


def of_row(noun: str, usual: Mapping[str, Any], reader: Reader) -> tuple[Part, ...]:
    """Each value that stands for what nobody told of a row."""
    return tuple(
        Part(f"{noun}.{name}", f"{_label(noun, name, reader)}: {_shown(noun, name, value, reader)}")
        for name, value in usual.items()
    )


def _href(noun: str, pour: Pour | None) -> str:
    return NOUNS[noun][1].format(**pour.model_dump()) if pour else ""


def _label(noun: str, name: str, reader: Reader) -> str:
    key = f"{noun}.{name}"
    label = _CONTROLS[key].read_by(reader).label if key in _CONTROLS else ""
    return WORDS.get(key) or label[:1].lower() + label[1:]


def _shown(noun: str, name: str, value: Any, reader: Reader) -> str:
    if name == "strength":
        (label,) = value
        return f"{measure(label['MPa'], 'stress_MPa', reader)} at {label['age_h'] / 24:g} days"
    if name == "protection":
        return ", ".join(word("cover", one["kind"]) for one in value)
    control = _CONTROLS[f"{noun}.{name}"]
    form = Form.of([control], {control.name: as_typed(control, value)}, reader)
    box = form.box(control.name)
    return f"{box.text} {units.sign(box.unit)}".strip()

"""What is assumed of a pour, in a maker's words, and where it is told."""

from collections.abc import Iterable
from dataclasses import dataclass

from models.records import Pour
from service.nouns.mould import usual_board
from service.words import Reader

WORDS = {
    "mix.strength": "its strength",
    "mix.cement_kg_m3": "how much cement",
    "mix.water_cement": "water/cement ratio",
    "mix.initial_set_h": "when it sets",
    "mix.final_set_h": "when it sets",
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
    "shop": ("Shop", "/shop"),
    "pour": ("Pour", "/pours/{id}/edit"),
    "mould": ("Mould", "/pours/{id}/edit"),
}


@dataclass(frozen=True)
class Assumed:
    """What is assumed of one thing, and where it is told."""

    noun: str
    words: str
    href: str = ""


def by_thing(keys: Iterable[str], reader: Reader, pour: Pour | None = None) -> list[Assumed]:
    """One line for each thing; pour : whose things can be told, for links"""
    own = WORDS | {"mould.material": usual_board(reader)}
    found: dict[str, list[str]] = {}
    for key in keys:
        noun = key.partition(".")[0]
        words = OF_SEALER if noun == "sealer" else own.get(key)
        if words and words not in found.setdefault(noun, []):
            found[noun].append(words)
    lines = []
    for noun, parts in found.items():
        name, href = NOUNS[noun]
        where = href.format(**pour.model_dump()) if pour else ""
        lines.append(Assumed(name, ", ".join(parts), where))
    return [line for line in lines if line.words]

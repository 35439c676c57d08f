"""Where a new place is: a town by name, which gives position and clock."""

from typing import Any

from service import towns
from service.nouns.form import Control, Form

TOWN, KEY = "town", "town_key"
NO_TOWN = "No town here is called so; name a larger one near you."
HINT = "the nearest larger one will do; St. Louis, or York, United Kingdom"


def controls(typed: str = "") -> list[Control]:
    """The field for a town, and where several are called as typed, these."""
    several = tuple((town.key, town.words) for town in towns.named(typed))
    return [
        Control(TOWN, "Nearest town", hint=HINT, said=TOWN),
        Control(KEY, "Which one is it?", "radio", options=several if len(several) > 1 else ()),
    ]


def said(typed: str) -> str:
    """The town that a name is taken for, and its clock; of a common name how many there are."""
    found = towns.named(typed)
    if len(found) == 1:
        return f"{found[0].words}; clock of {found[0].timezone.replace('_', ' ')}"
    return f"{len(found)} towns are called so: you choose yours next." if found else NO_TOWN


def of_town(form: Form) -> dict[str, Any]:
    """What the town that was typed says of the place; nothing where none was typed, or where its
    coordinates were. A name that is none, or several, is blamed."""
    if TOWN not in form.fields or form.shown("place.latitude").strip():
        return {}
    text = form.shown(TOWN).strip()
    found = towns.named(text)
    chosen = [town for town in found if town.key == form.shown(KEY)] or found
    if text and not found:
        form.wrong[TOWN] = NO_TOWN
    elif len(chosen) > 1:
        form.wrong[KEY] = "Several towns are called so; choose yours."
    if not text or len(chosen) != 1:
        return {}
    (town,) = chosen
    return {"latitude": town.latitude, "longitude": town.longitude, "timezone": town.timezone}

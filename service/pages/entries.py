"""What can be put down about a pour: the words of each kind, and the controls of its form."""

from typing import Protocol

from service.nouns import batch, cover, reading, strength_test
from service.nouns.form import Control
from service.pages import view

MOMENT = Control("at", "When (empty: now)", "moment")


NIGHT = [
    Control(
        "night_low_C", "Tonight's low", hint="-1 C or 30 F", needed=True, dimension="temperature_C"
    ),
    Control(
        "day_high_C", "Tomorrow's high", hint="9 C or 48 F", needed=True, dimension="temperature_C"
    ),
]


FORMS = {
    "reading": ("Add a reading", "Save the reading", reading.CONTROLS),
    "set": ("It has set", "Save what was seen", reading.SET_CONTROLS),
    "dryness": ("How dry is it?", "Save what was found", reading.DRYING_CONTROLS),
    "cover": ("Put a cover on", "Cover is on", cover.CONTROLS),
    "test": ("A strength test", "Save the test", strength_test.CONTROLS),
    "batch": ("A batch", "Save the batch", batch.CONTROLS),
    "weather": ("Type the weather", "Use these two", NIGHT),
}


class Mixed(Protocol):
    """A batch, from the rows or from the record."""

    @property
    def bags(self) -> float | None: ...

    @property
    def water_l(self) -> float | None: ...

    @property
    def concrete_C(self) -> float | None: ...


def batch_words(one: Mixed) -> str:
    """`batch of 3 bags, 6 l of water, 18 C`."""
    parts = [
        f"{one.bags:g} bags" if one.bags is not None else "",
        f"{view.both(one.water_l, 'volume_l')} of water" if one.water_l is not None else "",
        view.both(one.concrete_C, "temperature_C") if one.concrete_C is not None else "",
    ]
    return "batch of " + ", ".join(part for part in parts if part)

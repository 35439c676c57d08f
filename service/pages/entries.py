"""What can be put down about a pour: the words of each kind, and the controls of its form."""

from typing import Protocol

from models.facts.protection import COVERS
from models.projection.scenario import READING_KINDS, TEST_KINDS
from service.nouns.controls import listed
from service.nouns.form import Control
from service.pages import view
from service.words import word

READING_WORDS = {
    "air-min-max": "air, low and high",
    "air": "air, now",
    "concrete": "in the concrete",
    "surface": "on the face",
}


SET_WORDS = {
    "initial-set": "firm: a thumb leaves no mark",
    "final-set": "hard: a nail leaves no dent",
}


DRYING_WORDS = {
    "tile": "witness tile, weighed",
    "film-wet": "taped film: water or a dark patch under it",
    "film-dry": "taped film: dry under it",
}


TEST_WORDS = {"cube": "cube, crushed", "cylinder": "cylinder, crushed", "bar": "bar, bent"}


MOMENT = Control("at", "When (empty: now)", "moment")


READING = [
    Control(
        "kind",
        "Where",
        "radio",
        default="air-min-max",
        needed=True,
        options=listed(
            {kind: READING_WORDS[kind] for kind in READING_WORDS if kind in READING_KINDS}
        ),
    ),
    Control("value_C", "Temperature", hint="4 C or 39 F", needed=True, dimension="temperature_C"),
    Control("value_max_C", "High", hint="11 C or 52 F", dimension="temperature_C"),
    Control("span_h", "over the last", dimension="time_h", default="12 h"),
    MOMENT,
    Control("note", "Note"),
]


COVER = [
    Control(
        "kind",
        "Cover",
        "radio",
        default="blanket",
        needed=True,
        options=listed({kind: word("cover", kind) for kind in COVERS}),
    ),
    Control("setpoint_C", "Enclosure kept at", default="15 C", dimension="temperature_C"),
    Control(
        "faces",
        "Where",
        "radio",
        default="top",
        needed=True,
        options=(("top", "over the top"), ("all", "all round, underside too")),
    ),
    Control(
        "R_m2K_W",
        "Its own insulation value",
        dimension="resistance_m2K_W",
        hint="0.5 m2K/W; empty: typical",
    ),
    MOMENT,
]


SET = [
    Control(
        "kind",
        "What was seen",
        "radio",
        default="initial-set",
        needed=True,
        options=listed(SET_WORDS),
    ),
    MOMENT,
    Control("note", "Note"),
]


DRYING = [
    Control(
        "kind",
        "What was looked at",
        "radio",
        default="tile",
        needed=True,
        options=listed(DRYING_WORDS),
    ),
    Control("mass_g", "Mass of the tile", dimension="mass_g", hint="1840 g or 64.9 oz"),
    MOMENT,
    Control("note", "Note"),
]


TEST = [
    Control(
        "kind",
        "What was broken",
        "radio",
        default="cube",
        needed=True,
        options=listed({kind: TEST_WORDS[kind] for kind in TEST_KINDS}),
    ),
    Control(
        "MPa",
        "Strength",
        dimension="stress_MPa",
        hint="12.5 MPa or 1800 psi",
        needed=True,
    ),
    MOMENT,
    Control("note", "Note"),
]


BATCH = [
    Control("bags", "Bags", dimension="count", hint="3 or 2 1/2"),
    Control("water_l", "Water", dimension="volume_l", hint="6 l or 6.3 qt"),
    Control("concrete_C", "Its temperature", hint="18 C or 64 F", dimension="temperature_C"),
    MOMENT,
    Control("note", "Note"),
]


NIGHT = [
    Control(
        "night_low_C", "Tonight's low", hint="-1 C or 30 F", needed=True, dimension="temperature_C"
    ),
    Control(
        "day_high_C", "Tomorrow's high", hint="9 C or 48 F", needed=True, dimension="temperature_C"
    ),
]


FORMS = {
    "reading": ("Add a reading", "Save the reading", READING),
    "set": ("It has set", "Save what was seen", SET),
    "dryness": ("How dry is it?", "Save what was found", DRYING),
    "cover": ("Put a cover on", "Cover is on", COVER),
    "test": ("A strength test", "Save the test", TEST),
    "batch": ("A batch", "Save the batch", BATCH),
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

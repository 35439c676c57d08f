"""For whom a sentence is made: the units, the language, the clock and the calendar of a reader."""

from dataclasses import dataclass
from datetime import datetime, time
from zoneinfo import ZoneInfo

# kind of quantity -> the two units that it may be told in, SI first
UNITS: dict[str, tuple[str, str]] = {
    "temperature": ("C", "F"),
    "length": ("mm", "in"),
    "mass": ("kg", "lb"),
    "volume": ("l", "gal"),
    "strength": ("MPa", "psi"),
}
LANGUAGES = ("en-GB", "en-US")
HOURS = (24, 12)  # of the clock
ORDERS = ("dmy", "mdy")  # of day, month and year


@dataclass(frozen=True)
class Units:
    """The unit of each kind of quantity, one of the two in UNITS."""

    temperature: str = "C"
    length: str = "mm"
    mass: str = "kg"
    volume: str = "l"
    strength: str = "MPa"

    def customary(self, kind: str) -> bool:
        """Whether a kind of quantity is told in US customary units."""
        return bool(kind) and getattr(self, kind) == UNITS[kind][1]

    @property
    def flipped(self) -> "Units":
        """Each kind in its other unit."""
        other = {kind: pair[not self.customary(kind)] for kind, pair in UNITS.items()}
        return Units(**other)

    @property
    def preset(self) -> str:
        """`si` or `us`; nothing where they are mixed."""
        return next((name for name, one in PRESETS.items() if one == self), "")


SI = Units()
US = Units(**{kind: pair[1] for kind, pair in UNITS.items()})
PRESETS = {"si": SI, "us": US}


@dataclass(frozen=True)
class Reader:
    """Who reads, and when.

    timezone : of the hours that are told
    elsewhere : zone of the place that is spoken of, where it is another: its hour stands beside
    now : so that an hour of the same day is told without its day
    placed_at : of the pour that is spoken of: its hours are told as fine as its age deserves
    works : when the shop begins and ends its day
    """

    timezone: str
    units: Units = SI
    language: str = "en-GB"
    now: datetime | None = None
    hours: int = 24
    order: str = "dmy"
    placed_at: datetime | None = None
    elsewhere: str = ""
    works: tuple[time, time] | None = None
    untold: bool = False  # nobody chose the units, and the zone tells none

    def clock(self, at: datetime) -> datetime:
        """An instant on the clock of the place."""
        return at.astimezone(ZoneInfo(self.timezone))

    @property
    def locale(self) -> str:
        """The language as Babel names it."""
        return self.language.replace("-", "_")


PLAIN = Reader("UTC")  # for words without instants
